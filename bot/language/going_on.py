"""Clauses that go on with drafts told before: more names, another day, what became of all of them."""

from __future__ import annotations

from dataclasses import replace
from typing import TYPE_CHECKING

from bot.language.drafting import drafts_of
from bot.language.drafts import Draft, Scope
from bot.language.kinds.counts import NUMBER_OF
from bot.language.kinds.outcomes import outcome_of
from bot.language.refine.those_told import those_told
from bot.language.settling_dates import usable

if TYPE_CHECKING:
    from bot.language.clauses import Clause
    from bot.language.items import Item
    from bot.language.reading import Reading

LISTING = {"and", "&", "+", ","}
ADDING = {"then", "also", "plus"}
ALSO_LEADS = {"the", "for", "with", "and", "in", "as"}
ALSO = {"too", "also", "as well", "same", "ditto", "likewise", "same again", "the same", "well", "again"}
MEASURED = {"count", "measurement", "reading", "note", ""}
DOING_IT = {
    "did", "done", "got", "it", "that", "i", "we", "in", "the", "end", "on", "only", "actually", "round", "to", "instead",
}  # fmt: skip
OF_ONE = {"number", "quantity", "outcome", "uneaten", "cause"}
"""Kinds and fields that are told of some animals and hold for no others."""
OF_FOOD = ("prey", "prey_state", "each")
DONE = {"feeding", "misting", "watering", "cleaning"}
OWN = ("hers", "his", "theirs", "its")
ALL = {"all", "both", "everyone", "everybody"}


def only_names(clause: Clause) -> bool:
    """Whether a clause is nothing but names."""
    rest = (item for item in clause.items if item.kind not in {"name", "mark"})
    return bool(clause.names) and all(item.text in {"and", "the", ","} for item in rest)


def adds_names(clause: Clause, before: Draft) -> bool:
    """Whether the clause only adds names to the act before ("… and mochi's too", "then D"); then they are added."""
    near = bool(before.names) and before.clause.number == clause.number and only_names(clause)
    owned = clause.joiner in LISTING and all(item.possessive for item in clause.names)  # "Rook's dish and Tam's"
    added = near and (clause.joiner in ADDING or owned)
    if not added and not (_also(clause) and before.kind not in {"note", ""}):
        return False
    before.names = [*before.names, *clause.names]
    return True


def _also(clause: Clause) -> bool:
    rest = [item.text for item in clause.items if item.kind not in {"name", "mark"} and item.text not in ALSO_LEADS]
    return bool(clause.names) and set(rest) <= ALSO and bool(set(rest) - {"again", "well"})


def on_another_day(clause: Clause, before: Draft) -> Draft | None:
    """The same act on another day, of others too: "misted the damons mon and tues", "fed A today and B on monday"."""
    if clause.joiner not in LISTING or usable(before.clause) is None or usable(clause) is None:
        return None
    if not all(item.kind == "name" or is_day_or_small(item) for item in clause.items):
        return None
    if clause.names and before.kind in MEASURED:
        return None
    told = {name: value for name, value in before.fields.items() if not (clause.names and name in OF_ONE)}
    return replace(before, clause=clause, fields=told, names=clause.names or list(before.names))


def is_day_or_small(item: Item) -> bool:
    """Whether a word tells a day, or nothing."""
    day = item.kind == "date" and item.date is not None and bool(item.date.on) and not item.date.vague
    return day or item.sense("filler") is not None or item.text in {"on", "the"}


def only_day(clause: Clause) -> bool:
    """Whether a clause is nothing but a day: the first of "on tuesday and on friday I fed B"."""
    return all(item.kind == "date" or item.text == "on" for item in clause.items) and usable(clause) is not None


def second_day(clause: Clause) -> bool:
    """Whether a clause opens with another day and goes on with the act of both."""
    if clause.joiner not in LISTING or len(clause.items) < 2 or clause.items[0].kind != "date":
        return False
    return usable(clause) is not None and not only_day(clause)


def bare_number(clause: Clause) -> Draft | None:
    """The feeding that a name and a number alone may turn out to be: "larches 7"."""
    others = any(item.kind not in {"name", "number", "mark"} and not item.sense("each") for item in clause.items)
    if others or not clause.names or len(clause.numbers) != 1:
        return None
    number = clause.numbers[0]
    if number.quantity is None or not number.quantity.bare:
        return None
    return Draft("feeding", clause, clause.names).put("quantity", number.quantity.count(), number)


def close_list(clause: Clause, made: list[Draft], bares: list[Draft], reading: Reading) -> None:
    """Say of names with a number alone what was counted, now that the last of their list says it.

    "A 2, B 3 and C 4 crickets", "fed A 2 and B 3 crickets"
    """
    last = made[0]
    field = NUMBER_OF.get(last.kind, "")
    acts = any(item.sense("verb") and not item.thing() for item in clause.items)
    if clause.joiner not in LISTING or not clause.names or field not in last.fields or acts:
        return
    shared = [name for name in OF_FOOD if name in last.fields]
    for bare in bares:
        if bare.clause.number == clause.number:
            told = Draft(last.kind, bare.clause, bare.names).put(field, *bare.fields.values(), *bare.clause.numbers)
            reading.drafts.append(_with(told, last, shared))
    for draft in reversed(reading.drafts):
        if draft.clause.number != clause.number or draft.kind != last.kind or "prey" in draft.fields:
            break
        if field in draft.fields:
            _with(draft, last, shared)


def _with(draft: Draft, other: Draft, fields: list[str]) -> Draft:
    for name in fields:
        draft.more(name, other)
    return draft


def under_heading(clause: Clause, reading: Reading) -> Draft | None:
    """What a number alone is after a name and its colon, in a list of such: "A: 8 crickets. B: 5.", "counted. A: 9. B: 7"."""
    before, bare = reading.last, bare_number(clause)
    if bare is None or before is None or not clause.headed or not before.names:
        return None
    counted = bare.fields["quantity"]
    if before.kind == "count" and "count" in before.fields:
        return Draft("count", clause, clause.names).put("count", counted, *clause.numbers)
    if before.kind == "feeding" and "prey" in before.fields:
        return bare.more("prey", before)
    return None


def did_too(clause: Clause, before: Draft) -> Draft | None:
    """The same act on others: "Jo misted A and I did B"."""
    did = clause.plain("did", "done")
    if (
        did is None
        or not clause.names
        or not all(_is_name_or_day(item) or item.text in OWN for item in clause.after(did))
    ):
        return None
    own = before.kind == "moult" and clause.plain(*OWN) is not None  # "B moulted. A did hers on Thursday"
    if not own and (before.kind not in DONE or not before.names or before.clause.number != clause.number):
        return None
    alike = clause.plain("neither", "nor", "so") is not None  # "B did not eat and neither did D"
    told = {name: value for name, value in before.fields.items() if name not in OF_ONE or (alike and name == "outcome")}
    return replace(before, clause=clause, fields=told, names=clause.names)


def did_it_on(clause: Clause, before: Draft) -> bool:
    """Whether the clause only says on which other day it was done: "said I'd clean B on Monday, did it Wednesday in the end"."""
    done = clause.plain("did", "done", "got") is not None and clause.plain("it", "that") is not None
    only = all(item.kind in {"date", "mark"} or item.sense("filler") or item.text in DOING_IT for item in clause.items)
    if not done or not only or len(clause.dates) != 1 or before.clause.number != clause.number or before.kind == "note":
        return False
    before.clause = clause  # its day is the one that holds
    return True


def _is_name_or_day(item: Item) -> bool:
    return item.kind in {"name", "date", "mark"} or item.text in {"the", "and", "all"}


def tells_outcome_of_all(clause: Clause, reading: Reading) -> bool:
    """Whether the clause tells what became of each feeding told before; then it is put there.

    "… 8 crickets, Skog 6. All three groups ate."
    """
    drafts = _open_feedings(reading, "outcome")
    drafts = [draft for draft in drafts if draft.names]
    several = len(all_named(clause.names)) > 1 or those_told(clause.items) == len(drafts)
    if len(drafts) < 2 or not several or not _says_all(clause):
        return False
    scope = Scope(clause, list(clause.items), None)
    outcome, words = outcome_of(scope)
    if outcome is None or scope.prey() or scope.number(units=True):
        return False
    for draft in drafts:
        draft.put("outcome", outcome, *words)
    return True


def _open_feedings(reading: Reading, field: str) -> list[Draft]:
    return [draft for draft in reading.drafts if draft.kind == "feeding" and field not in draft.fields]


def _says_all(clause: Clause) -> bool:
    return any(text in ALL or text.startswith(("all ", "both ")) for text in clause.texts)


def tells_prey_of_all(clause: Clause, reading: Reading) -> bool:
    """Whether the clause tells the prey of each feeding of its sentence; then it is put there.

    "fed A, fed B, fed C, all on roaches"
    """
    prey = next((item for item in clause.items if item.prey and item.kind == "word"), None)
    drafts = [draft for draft in _open_feedings(reading, "prey") if draft.clause.number == clause.number]
    if prey is None or len(drafts) < 2 or clause.names:
        return False
    if not clause.plain("all", "both") or any(item.forms for item in clause.items):
        return False
    for draft in drafts:
        draft.put("prey", prey.prey, prey)
    return True


def tells_own_outcome(clause: Clause, reading: Reading) -> bool:
    """Whether the clause tells what became of the feeding told for the very names it has; then it is added there.

    "Skog 8 crickets. … Skog left three."
    """
    own = _own_feeding(clause, reading)
    if own is None:
        return False
    nameless = tuple(item for item in clause.items if item.kind != "name")
    drafts_of(replace(clause, items=nameless), own)
    return True


def _own_feeding(clause: Clause, reading: Reading) -> Draft | None:
    subjects = all_named(clause.names)
    left = clause.verb("leave", "eat", "take") or clause.senses("outcome", "partly", "refused", "ate")
    fed = (
        Scope(clause, list(clause.items), None).prey()
        or (clause.numbers and not clause.verb("leave"))
        or clause.verb("feed", "offer")
        or clause.senses("sign")
    )
    if not subjects or not left or fed:
        return None
    feedings = (draft for draft in reversed(reading.drafts) if draft.kind == "feeding")
    own = next((draft for draft in feedings if all_named(draft.names) == subjects), None)
    return own if own is not None and "outcome" not in own.fields and usable(clause) is None else None


def all_named(names: list[Item]) -> set[str]:
    """The subjects of some names."""
    return {subject for item in names if item.name for subject in item.name.subjects}


def share_outcome(clause: Clause, before: Draft, reading: Reading) -> None:
    """Put the outcome just told on all feedings of the sentence, or on all that the same one was given.

    "gave Tater five and Tot four, and they both ate"; "Tater 2 waxworms + 4 crickets, ate the lot"
    """
    of_all = any(text.partition(" ")[0] in ALL | {"they"} for text in clause.texts)
    closing = clause.texts[0].partition(" ")[0] in ALL and not clause.names and clause.number != before.clause.number
    for draft in _open_feedings(reading, "outcome") if closing else ():
        draft.more("outcome", before)  # "A 3 roaches. B 2. All taken."
    for draft in _open_feedings(reading, "outcome"):
        same = before.fields["outcome"] != "partly" and not before.names and not _names_between(draft, before, reading)
        if draft.clause.number == clause.number and (of_all or same):
            draft.more("outcome", before)


def _names_between(draft: Draft, last: Draft, reading: Reading) -> bool:
    """Whether anybody else was named after a draft and up to the last."""
    at, end = reading.drafts.index(draft), reading.drafts.index(last)
    return any(other.names for other in reading.drafts[at + 1 : end + 1])
