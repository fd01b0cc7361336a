"""What was said in a group to nobody in particular: what is plainly about the animals is taken, the rest is other people's talk."""

from __future__ import annotations

import re

from bot.conversation.recent import context
from bot.conversation.scene import Scene
from bot.language.meaning import Ask, Meaning
from storage import inbox
from storage.questions import QuestionRow

_OF_THE_COLLECTION = frozenset({"due", "who", "feeders", "day"})
"""Questions that are about the animals though they name none."""

_NOTE = re.compile(r"\s*note( that)?[:,]?\s+\S", re.IGNORECASE)


def is_for_us(scene: Scene, meaning: Meaning) -> bool:
    """Whether a message is to be dealt with; one that was said to the bot always is."""
    if not scene.message.overheard:
        return True
    match meaning.intent:
        case "unclear":
            return _is_of_care(meaning) and names_somebody(scene, scene.message.text)
        case "chat":
            return _NOTE.match(scene.message.text) is not None
        case "ask":
            return meaning.ask is not None and _is_of_animals(meaning.ask)
        case "amend":
            return bool(context(scene, None).last)
        case _:
            return True


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


def _is_of_care(meaning: Meaning) -> bool:
    """Whether it is known what was done, and only not with whom, when or how many."""
    return "kind" not in meaning.missing and bool(meaning.entries or meaning.plans)


def _is_of_animals(ask: Ask) -> bool:
    return bool(ask.subjects) or ask.kind is not None or ask.about in _OF_THE_COLLECTION
