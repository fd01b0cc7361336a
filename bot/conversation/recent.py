"""What was said just before: the context a message may lean on, and what "undo" and "make that 4" are about."""

from __future__ import annotations

import re
from collections.abc import Iterator, Sequence
from dataclasses import replace
from datetime import datetime, timedelta
from typing import Any

from bot.conversation.echo import entry_of, shown
from bot.conversation.pending import from_json
from bot.conversation.scene import Scene
from bot.conversation.targets import answered_by, did
from bot.language.meaning import Ask, Context, Entry, Meaning
from storage import inbox, journal, labels, outbox
from storage.inbox import InboxRow
from storage.outbox import OutboxRow

FRESH = timedelta(minutes=15)
"""How long "she" and "same again" may lean on what was said."""

# Only such a word takes the place last talked of; a message that just names nobody is asked about.
_PRONOUN = re.compile(
    r"\b(they|them|their|theirs|themselves|she|her|hers|he|him|his|it|its|these|those|that one|this one|same|again)\b",
    re.IGNORECASE,
)

_OF_ONE = frozenset(
    {"last", "did", "history", "headcount", "size", "climate", "next", "sheet", "losses", "crowding", "handover"}
)
"""Questions that may be about one place as well as about all."""

_OF_ALL = re.compile(
    r"\b(all|any|every(one|body|thing|where)?|any(one|body|thing)?|which|who|altogether|total|do (i|we) (have|keep))\b",
    re.IGNORECASE,
)

_LOOK_BACK = 200
"""Messages of a member that are looked through for what that one did last."""


def context(scene: Scene, target: int | None) -> Context:
    """What the reader may lean on: for a pronoun the one place last talked of, and the entries last written, while fresh.

    A message that answers an earlier one (`target`, its inbox id) leans on that one, however old. Whoever stands before an
    enclosure, by its label, need not name it at all.
    """
    if target is not None:
        rows = shown(journal.entries_of_message(scene.session, target))
        entries = tuple(entry_of(scene, row) for row in rows)
        return Context(_one_place(scene, [name for entry in entries for name in entry.subjects]), entries)
    leans = _PRONOUN.search(scene.message.text) is not None
    return Context(_focus(scene) if leans else before_label(scene), _last(scene))


def before_label(scene: Scene) -> tuple[str, ...]:
    """The name of what the member stands before by its label: who lives there, if that is one, else the enclosure."""
    enclosure_id = labels.stands_before(scene.session, scene.member.id, scene.now)
    place = next((row for row in scene.names.places if row.id == enclosure_id), None)
    if place is None:
        return ()
    living = scene.names.living_in(place.id)
    return (living[0].name if len(living) == 1 else place.name,)


def about_label(scene: Scene, meaning: Meaning) -> Meaning:
    """A Meaning whose question names nobody, and is none about everybody, asked of what the member stands before."""
    ask = meaning.ask
    if ask is None or ask.subjects or ask.about not in _OF_ONE or _OF_ALL.search(scene.message.text):
        return meaning
    return replace(meaning, ask=replace(ask, subjects=before_label(scene)))


def about_reason(scene: Scene, meaning: Meaning) -> Meaning:
    """A bare "why" asked of the answer just given, or of the one that the message replies to, where that can be explained."""
    ask = meaning.ask
    if meaning.intent != "ask" or ask is None or ask.about != "why" or ask.subjects or ask.kind is not None:
        return meaning
    because = _because(scene)
    return meaning if because is None else replace(meaning, ask=because)


def about_task(scene: Scene, meaning: Meaning) -> Meaning:
    """A task let go without its name ("skip it this week") as the one just asked about; any other Meaning as it is."""
    nameless = [plan for plan in meaning.plans if plan.kind == "skip" and plan.of is None]
    if not nameless or _PRONOUN.search(scene.message.text) is None:
        return meaning
    asked = next((row.body["asked"] for row in _just_answered(scene) if "asked" in row.body), None)
    plans = tuple(replace(plan, of=asked) if plan in nameless else plan for plan in meaning.plans)
    return replace(meaning, plans=plans)


def _just_answered(scene: Scene) -> Sequence[OutboxRow]:
    """The answers to the member's last message, while fresh."""
    last = next(_earlier(scene), None)
    fresh = last is not None and scene.now - last.sent_at <= FRESH
    return outbox.answers_to(scene.session, last.id) if last is not None and fresh else []


def _because(scene: Scene) -> Ask | None:
    """The question that tells what the answer in question rests on; None where it was none of the reckoning, or long ago."""
    hung = answered_by(scene)
    rows = _just_answered(scene) if hung is None else [hung]
    return next((from_json(row.body["because"]).ask for row in rows if "because" in row.body), None)


def acting_message(scene: Scene) -> tuple[int | None, dict[str, Any]]:
    """The message by which the member last changed something that stands, and what it did beside entries (may be empty)."""
    by_entries = journal.last_message_with_entries(scene.session, scene.member.id)
    undone: set[int] = set()
    for message in _earlier(scene):
        if by_entries is not None and message.id < by_entries:
            break
        done = did(scene, message.id)
        if "undid" in done:
            undone.add(done["undid"])
        elif done and message.id not in undone:
            return message.id, done
    return by_entries, {}


def next_page(scene: Scene) -> Ask | None:
    """The question that goes on where the reply to the member's last message stopped; None if that reply was whole."""
    message = next(_earlier(scene), None)
    rows = [] if message is None else outbox.answers_to(scene.session, message.id)
    return next((from_json(row.body["more"]).ask for row in rows if "more" in row.body), None)


def last_spoke(scene: Scene) -> datetime | None:
    """When the member sent the message before this one; None if there is none."""
    message = next(_earlier(scene), None)
    return None if message is None else message.sent_at


def _focus(scene: Scene) -> tuple[str, ...]:
    """The names in the last reply that named any, if it is fresh and they are one place."""
    for message in _earlier(scene):
        if scene.now - message.sent_at > FRESH:
            break
        for row in outbox.answers_to(scene.session, message.id):
            names = [name for name in row.body.get("focus", ()) if scene.names.subject(name) is not None]
            if names:
                return _one_place(scene, names)
    return ()


def _last(scene: Scene) -> tuple[Entry, ...]:
    message_id = journal.last_message_with_entries(scene.session, scene.member.id)
    if message_id is None:
        return ()
    rows = shown(journal.entries_of_message(scene.session, message_id))
    return tuple(entry_of(scene, row) for row in rows if scene.now - row.told_at <= FRESH)


def _one_place(scene: Scene, names: list[str]) -> tuple[str, ...]:
    subjects = {name: scene.names.subject(name) for name in names}
    places = {subject and (scene.names.place_of(subject) or subject) for subject in subjects.values()}
    return tuple(subjects) if len(places) == 1 else ()


def _earlier(scene: Scene) -> Iterator[InboxRow]:
    """The member's messages before this one, newest first, each looked up when it is asked for; however many others wrote between."""
    message: InboxRow | None = scene.message
    for _ in range(_LOOK_BACK):
        message = None if message is None else inbox.before(scene.session, message)
        if message is None:
            return
        yield message
