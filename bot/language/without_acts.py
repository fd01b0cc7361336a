"""A message with no act in it: a note on those it names, a question, "same again", or small talk."""

from __future__ import annotations

import re
from dataclasses import replace
from typing import TYPE_CHECKING, Any

from bot.language.drafts import Draft, subjects_named
from bot.language.finishing import Planned, entry_of, finish_log
from bot.language.meaning import Ask, Meaning
from bot.language.questioning import question_about
from bot.language.settling_dates import settle_dates
from bot.language.settling_subjects import settle_subjects

if TYPE_CHECKING:
    from bot.language.clauses import Clause
    from bot.language.items import Item
    from bot.language.meaning import Entry
    from bot.language.quantities import Quantity
    from bot.language.reading import Message, Reading

SAME = {"same", "too", "also", "likewise", "ditto", "the same", "as well"}
SAME_WORDS = SAME | {"the", "of", "again", "as", "well", "and", "for", "with", "before"}
AGAIN = re.compile(
    r"^(?:the |and )?same\b|\bsame (?:again|for|with)\b|\b(?:ditto|likewise)\b|^and .{1,30} (?:too|as well)$"
)
PRONOUNS = {"them", "they", "her", "him", "it", "she", "he"}
NOT_DESCRIBING = {"the", "my", "our", "in", "for", "a", "is", "at"}


def read_without_acts(message: Message, reading: Reading) -> Meaning:
    """The meaning of a message in which no act, plan or question was found."""
    clauses = (*reading.told, *reading.wished, *reading.asked)
    names = [item for clause in clauses for item in clause.names if not is_destination(clause, item)]
    again = _same_again(message, names)
    if again is not None:
        return again
    greeting = any(item.sense("chat") for item in message.items) and all(_is_everyone(item) for item in names)
    if not names or greeting:
        return _without_names(message, reading)
    draft = Draft("note", clauses[0], names)
    settle_subjects([draft], (), reading.said, message.tagged.index)
    if reading.asked and not reading.told:
        return Meaning("ask", ask=Ask("history", subjects=draft.subjects)) if draft.subjects else Meaning("chat")
    return _note(message, reading, draft)


def _is_everyone(item: Item) -> bool:
    return item.name is not None and item.name.how == "all"


def _note(message: Message, reading: Reading, draft: Draft) -> Meaning:
    """A note on those named; a name alone, or with a number, is asked about."""
    described = [item for item in message.items if _describes(item)]
    if not draft.missing and all(item.kind == "number" for item in described):
        unclear = Meaning("unclear", entries=(entry_of(draft, message.now, message.text),), missing=("kind",))
        return question_about("kind", unclear, (), number=described[0].quantity if described else None)
    if not any(item.sense("plan", "true") for item in message.items):
        settle_dates([draft], reading.told)
    return finish_log(message.text, [draft], message.now, Planned(), None)


def _describes(item: Item) -> bool:
    if item.kind in {"name", "date"} or item.sense("filler"):
        return False
    return item.text not in NOT_DESCRIBING


def is_destination(clause: Clause, name: Item) -> bool:
    """Whether one of several names follows "to" or "into", and so is where something goes."""
    lead = {item.text for item in clause.before(name)[-2:]}
    return bool({"to", "into"} & lead) and len(clause.names) > 1


def _without_names(message: Message, reading: Reading) -> Meaning:
    """A wish about "them" is a note on those last talked of; anything else without a name is small talk."""
    focus = message.context.focus
    if not focus or not reading.wished or not any(item.text in PRONOUNS for item in message.items):
        return Meaning("chat")
    draft = Draft("note", reading.wished[0], [], subjects=focus)
    return finish_log(message.text, [draft], message.now, Planned(), None)


def _same_again(message: Message, names: list[Item]) -> Meaning | None:
    """The entries written last, for others: "same again for D"."""
    last = message.context.last
    subjects = subjects_named(names)
    if not last or not subjects or not (AGAIN.search(message.text.lower()) or _only_same(message.items)):
        return None
    quantities = (item.quantity for item in message.items if item.quantity)
    number = next((quantity for quantity in quantities if not quantity.article), None)
    entries = tuple(
        replace(
            entry, subjects=subjects, on=message.now.date(), at=None, words=message.text, fields=_with(entry, number)
        )
        for entry in last
    )
    return Meaning("log", entries=entries)


def _only_same(items: list[Item]) -> bool:
    """Whether there are names and words for sameness alone: "pebbles same", "larches 5 of the same", "Flint too"."""
    words = {item.text for item in items if item.kind not in {"name", "number"}}
    return bool(words & SAME) and words <= SAME_WORDS


def _with(entry: Entry, number: Quantity | None) -> dict[str, Any]:
    """The fields of the entry said again, with a new quantity where one was told."""
    fed = "quantity" in entry.fields or "prey" in entry.fields
    return {**entry.fields, "quantity": number.count()} if number is not None and fed else dict(entry.fields)
