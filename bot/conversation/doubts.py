"""Questions: asking what is in doubt, and taking what comes next as the answer, or not."""

from __future__ import annotations

import re
from dataclasses import dataclass, replace
from datetime import timedelta

from bot.conversation.answer import Answer
from bot.conversation.changes import picked, with_choice
from bot.conversation.limits import shorten
from bot.conversation.pending import from_json, to_json
from bot.conversation.reply import Reply
from bot.conversation.scene import Scene
from bot.conversation.writing import Origin, write_note
from bot.language.completion import beside
from bot.language.meaning import Choice, Entry, Meaning, Plan, Setup
from bot.wording import join_names, say_day
from storage import inbox, journal, questions
from storage.questions import QuestionRow

NEVER_MIND = re.compile(
    r"(never ?mind|nvm|nm|cancel( that)?|leave it|forget (it|that|about it)|drop it|skip( it)?|no matter|doesn'?t matter|stop)",
    re.IGNORECASE,
)

STALE = timedelta(hours=12)
"""A question older than this is no longer waited on: what comes then is about something else."""

MOST_OFFERED = 6
"""Choices of a question; more than these are slower to read than to answer in words."""

OURS = frozenset({"part_of_group"})
"""What our own questions about entries change; the reader does not know of it."""

PHOTO_ALONE = "photo"
"""The words of a note that says no more than that there is a photo."""

_DEFAULTS = {
    "subjects": "Which place or animal was that?",
    "kind": "What was done, or seen?",
    "on": "Which day was that?",
    "quantity": "How many?",
    "to": "Where to?",
}


@dataclass(frozen=True, slots=True)
class Doubt:
    """An open question: what it is about, the message whose words it came from, and the message that a correction is of."""

    row: QuestionRow
    meaning: Meaning
    origin: Origin
    target: int | None


def ask(scene: Scene, meaning: Meaning, origin: Origin, target: int | None = None) -> Answer:
    """Put a question to the member, with its choices, and keep what waits for the answer."""
    text = meaning.question or next(
        (_DEFAULTS[name] for name in meaning.missing if name in _DEFAULTS), _DEFAULTS["kind"]
    )
    meaning = replace(meaning, question=text, choices=meaning.choices or _offers(scene, meaning))
    pending = {"meaning": to_json(meaning), "words": origin.words, "message": origin.message_id, "target": target}
    asked = questions.ask(scene.session, scene.collection.id, scene.member.id, scene.message.id, pending, scene.now)
    labels = tuple(choice.label for choice in meaning.choices)
    return Answer(Reply(text, labels), about=origin.message_id, question=asked)


def _offers(scene: Scene, meaning: Meaning) -> tuple[Choice, ...]:
    """Choices for a question that came without: who it may be about, or which day; none where there would be too many."""
    if meaning.missing == ("subjects",):
        sure = beside(meaning)
        alone = (Choice(f"only {join_names(sure)}", {"subjects": ()}),) if sure else ()
        likely = (name for name in _likely(scene) if name not in sure)
        return (*(Choice(name, {"subjects": (name,)}) for name in likely), *alone)
    if meaning.missing == ("on",) and meaning.entries:
        yesterday = scene.today - timedelta(days=1)
        return (Choice("today", {"on": scene.today}), Choice("yesterday", {"on": yesterday}))
    return ()


def _likely(scene: Scene) -> tuple[str, ...]:
    """Everybody on a short roster; of a long one those that something was told of in the last two weeks, latest first."""
    animals = [row.name for row in scene.names.animals]
    if len(animals) <= MOST_OFFERED:
        return tuple(animals)
    recent = journal.between(scene.session, scene.collection.id, scene.today - timedelta(days=14), scene.today)
    told: dict[object, str] = {}
    for row in reversed(recent):
        for subject in row.subjects:
            name = scene.names.name(subject)
            if scene.names.subject(name) is not None:
                told.setdefault(scene.names.place_of(subject) or subject, name)
    return tuple(told.values())[:MOST_OFFERED]


def open_doubt(scene: Scene) -> Doubt | None:
    """The question that the member has not answered; None if there is none."""
    row = questions.open_question(scene.session, scene.member.id)
    return None if row is None else doubt_of(row)


def doubt_of(row: QuestionRow) -> Doubt:
    """A question about a message, as it was kept."""
    held = row.pending
    return Doubt(row, from_json(held["meaning"]), Origin(held["message"], held["words"]), held["target"])


def is_stale(scene: Scene, doubt: Doubt) -> bool:
    """Whether the question was asked too long ago for this message to be its answer."""
    return scene.now - doubt.row.asked_at > STALE


def completed(scene: Scene, doubt: Doubt, text: str) -> Meaning | None:
    """What the question was about with the answer worked in, perhaps still in doubt; None if the text does not answer it."""
    choice = picked(doubt.meaning.choices, text)
    if choice is None and (doubt.meaning.amend or doubt.meaning.setup):
        return None
    if choice is not None:
        return _with_choice(scene, doubt.meaning, choice)
    answered = scene.language.complete(doubt.meaning, text, scene.local_now, scene.roster)
    return None if answered is None or _stands_alone(scene, answered, text) else answered


def still_open(doubt: Doubt, answer: Answer) -> Answer:
    """An answer to something else, with the question put again after it."""
    labels = tuple(choice.label for choice in doubt.meaning.choices)
    put = answer.followed(Reply(f"Still open: {doubt.meaning.question}", labels))
    return put if answer.reply.choices else replace(put, question=doubt.row.id)


def settle(scene: Scene, doubt: Doubt, how: str) -> None:
    """Close the question; `how` in a word."""
    questions.settle(scene.session, doubt.row.id, scene.message.id, how)


def keep_as_note(scene: Scene, doubt: Doubt, how: str) -> str:
    """Close the question and keep the words it was about as a note; a sentence that says so. A correction leaves no note."""
    settle(scene, doubt, how)
    if doubt.meaning.amend or doubt.meaning.setup:
        return f"“{shorten(doubt.origin.words, 60)}” was left open: nothing was changed by it."
    if not doubt.meaning.entries and not doubt.meaning.plans and doubt.meaning.ask:
        return f"“{shorten(doubt.origin.words, 60)}” was left unanswered."
    said_on = doubt.row.asked_at.astimezone(scene.zone).date()
    write_note(scene, doubt.origin.words, doubt.origin.message_id, said_on)
    if is_of_photo(scene, doubt):
        day, words = say_day(said_on, scene.today), doubt.origin.words
        said_with = "" if words == PHOTO_ALONE else f", with its words: “{shorten(words, 60)}”"
        return f"The photo is kept as a note of {day}{said_with}."
    return f"Kept your words as a note: “{shorten(doubt.origin.words, 60)}”."


def is_of_photo(scene: Scene, doubt: Doubt) -> bool:
    """Whether what is in doubt came with a photo."""
    message = inbox.row(scene.session, doubt.origin.message_id)
    return message is not None and message.carries == "photo"


def is_never_mind(text: str) -> bool:
    """Whether the text drops a question."""
    return NEVER_MIND.fullmatch(text.strip(" .!,")) is not None


def _stands_alone(scene: Scene, answered: Meaning, text: str) -> bool:
    """Whether the text tells by itself, with nobody to lean on, of other acts or places than it would as an answer.

    "Misted everyone" is no answer to what was done with B; "fed B" is one to which of them was fed.
    """
    fresh = scene.language.read(text, scene.local_now, scene.roster)
    if fresh.intent in ("ask", "setup"):
        return len(text.split()) > 2  # "B?" is an unsure answer, "show me B" a question
    named = [entry.subjects for entry in fresh.entries] + [plan.subjects for plan in fresh.plans]
    if fresh.intent not in ("log", "plan") or not all(named):
        return False
    return not _acts(scene, fresh) <= _acts(scene, answered)


def _acts(scene: Scene, meaning: Meaning) -> set[tuple[str, object]]:
    """What was done where: each kind with each place."""
    items: list[Entry | Plan] = [*meaning.entries, *meaning.plans]
    found = ((item.kind, scene.names.subject(name)) for item in items for name in item.subjects)
    return {(kind, subject and (scene.names.place_of(subject) or subject)) for kind, subject in found}


def _with_choice(scene: Scene, meaning: Meaning, choice: Choice) -> Meaning:
    if meaning.setup is not None:
        fields = {**meaning.setup.fields, **choice.changes}
        return Meaning("setup", setup=Setup(meaning.setup.action, fields))
    if meaning.amend is not None:
        return replace(meaning, intent="amend", choices=(choice,), missing=())
    if OURS & choice.changes.keys():
        return with_choice(meaning, choice)
    # The reader knows best which of its entries a choice settles, and whether something else is still in doubt.
    said = scene.language.complete(meaning, choice.label, scene.local_now, scene.roster)
    return said or with_choice(meaning, choice)
