"""Messages that are more, or other, than words: photos are kept, of the rest it is said what becomes of it."""

from __future__ import annotations

from collections.abc import Callable, Mapping

from bot.conversation.answer import SILENT, Answer, said
from bot.conversation.limits import has_words, readable
from bot.conversation.reply import Reply
from bot.conversation.scene import Scene
from bot.conversation.writing import Origin

Hear = Callable[[Scene, Origin, int | None], Answer]
"""How the words of a message are dealt with."""

PHOTO = "photo"

_SENTENCES: Mapping[str, str] = {
    "document": "I keep photos, not files, so that file was not kept. Send a picture as a photo.",
    "voice": "I cannot listen to voice messages, so nothing was written of it: write it, please.",
    "sticker": "I cannot read stickers: I need words to write something down.",
    "unreadable": "A message of yours came that I could not read, so nothing was written of it. Say it in plain words, please.",
}
_OTHER = "I keep photos and words, and nothing else, so that was not kept. Say in words what it was about."


def take(scene: Scene, origin: Origin, target: int | None, hear: Hear) -> Answer:
    """Deal with a message that carries something; its words as ever."""
    if scene.message.carries == PHOTO:
        from bot.conversation import photos  # noqa: PLC0415 - what carries no photo does without

        return photos.take(scene, origin, target, hear)
    sentence = _SENTENCES.get(scene.message.carries or "", _OTHER)
    if not has_words(readable(scene.message.text)):
        return SILENT if scene.message.overheard else said(sentence)
    heard = hear(scene, origin, target)
    return heard if heard.silent else heard.followed(Reply(sentence))
