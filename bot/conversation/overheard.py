"""What was said in a group to nobody in particular: what is plainly about the animals is taken, the rest is other people's talk."""

from __future__ import annotations

import re
from collections.abc import Callable, Mapping

from bot.conversation.recent import context
from bot.conversation.scene import Scene
from bot.language.meaning import Meaning
from storage import inbox
from storage.questions import QuestionRow

_OF_THE_COLLECTION = frozenset({"due", "who", "feeders", "day"})
"""Questions that are about the animals though they name none."""

_NOTE = re.compile(r"\s*note( that)?[:,]?\s+\S", re.IGNORECASE)


def is_for_us(scene: Scene, meaning: Meaning) -> bool:
    """Whether a message is to be dealt with; one that was said to the bot always is."""
    return not scene.message.overheard or _WORTH.get(meaning.intent, _is_told)(scene, meaning)


def put_elsewhere(scene: Scene, asked: QuestionRow) -> bool:
    """Whether a question was put to the member in another chat than that of the message."""
    message = None if asked.inbox_id is None else inbox.row(scene.session, asked.inbox_id)
    return scene.message.chat != (scene.member.home if message is None else message.chat)


def names_somebody(scene: Scene, text: str) -> bool:
    """Whether a text names a place, an animal or a tag of the roster as it is written there; a name of a letter or two exactly so."""
    words = [word for row in scene.names.animals for word in (row.name, *row.aliases)]
    words += [word for row in scene.names.places for word in (row.name, *row.aliases, *row.tags)]
    return any(_stands_in(text, word) for word in words)


def _stands_in(text: str, word: str) -> bool:
    flags = re.IGNORECASE if len(word) > 2 else re.NOFLAG
    return re.search(rf"(?<!\w){re.escape(word)}(?!\w)", text, flags) is not None


def _is_told(_scene: Scene, meaning: Meaning) -> bool:
    """What is done and planned, and changes of the roster; the zone of the collection is no matter of the animals."""
    return meaning.setup is None or meaning.setup.action != "zone"


def _is_of_care(scene: Scene, meaning: Meaning) -> bool:
    """Of what is in doubt, that of which it is known what was done, and only not with which of those named, when or how many."""
    known = "kind" not in meaning.missing and bool(meaning.entries or meaning.plans)
    return known and names_somebody(scene, scene.message.text)


def _is_note(scene: Scene, _meaning: Meaning) -> bool:
    return _NOTE.match(scene.message.text) is not None


def _is_of_animals(_scene: Scene, meaning: Meaning) -> bool:
    ask = meaning.ask
    return ask is not None and (bool(ask.subjects) or ask.kind is not None or ask.about in _OF_THE_COLLECTION)


def _is_fresh(scene: Scene, _meaning: Meaning) -> bool:
    """A correction of what the member told just before."""
    return bool(context(scene, None).last)


_WORTH: Mapping[str, Callable[[Scene, Meaning], bool]] = {
    "unclear": _is_of_care,
    "chat": _is_note,
    "ask": _is_of_animals,
    "amend": _is_fresh,
}
"""For each intent whether such a message, overheard, is dealt with; all others are where they tell of animals."""
