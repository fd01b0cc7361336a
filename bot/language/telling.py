"""What a told clause adds to the reading: drafts of its own, or more of those told before."""

from __future__ import annotations

from dataclasses import replace
from typing import TYPE_CHECKING

from bot.language import going_on, named_elsewhere, same_food
from bot.language.clauses.predicates import LIKINGS, state_follows
from bot.language.drafting import drafts_of
from bot.language.drafts import Draft

if TYPE_CHECKING:
    from bot.language.clauses import Clause
    from bot.language.items import Item
    from bot.language.reading import Reading

ARTICLES = {"the", "my", "our", "note", "nb"}
REASONS = {"because", "cos", "cuz", "bc", "as", "since"}
SURE = {"name", "many", "all"}


def tell(clause: Clause, reading: Reading) -> None:
    """Add what a clause tells to the reading."""
    before = _before(clause, reading)
    reading.told.append(clause)
    if _is_habit(clause):
        return
    if before is not None and _repeats(clause, before, reading):
        return
    bare = going_on.bare_number(clause)
    before = _with_bare_number(clause, reading) or before
    bares, reading.bares = reading.bares, []
    if _goes_on(clause, before, reading):
        return
    made = _drafts(clause, before, reading)
    if made:
        going_on.close_list(clause, made, bares, reading)
        named_elsewhere.taken_along(clause, made, reading)
        named_elsewhere.of_sac_told(clause, made, reading)
        _add_days(made, reading)
    elif bare is not None:
        reading.bares = [*(other for other in bares if other.clause.number == clause.number), bare]
    reading.drafts += made


def _is_habit(clause: Clause) -> bool:
    """Whether it is only the reason, told of what they always do: "… because they run from live ones"."""
    at_times = any(item.forms and not item.forms & {"base", "third"} for item in clause.items)
    return clause.joiner in REASONS and not (at_times or clause.names or clause.dates or clause.senses("sign"))


def _before(clause: Clause, reading: Reading) -> Draft | None:
    """The draft a clause may go on with: a count that still lacks its number, else the last one.

    A number alone goes on past those who got nothing: "B 5 roaches, A none, C 2".
    """
    counts = (draft for draft in reversed(reading.drafts[-3:]) if draft.kind == "count" and "count" not in draft.fields)
    told = reversed(reading.drafts)
    if going_on.bare_number(clause) is not None or clause.plain("same") is not None:
        told = (draft for draft in told if not draft.negated or draft.clause.number != clause.number)
    return next(counts, next(told, None))


def _repeats(clause: Clause, before: Draft, reading: Reading) -> bool:
    """Whether the clause only gives another day or, after a colon, the names of what its sentence told."""
    again = (
        going_on.on_another_day(clause, before)
        or going_on.under_heading(clause, reading)
        or going_on.did_too(clause, before)
        or same_food.got_same(clause, before, reading)
        or same_food.more_on_another_day(clause, before)
        or same_food.some_for_others(clause, before)
    )
    if again is not None:
        reading.drafts.append(again)
        return True
    if clause.joiner != ":" or not going_on.only_names(clause):
        return False
    for draft in reading.drafts:
        draft.names = clause.names if draft.clause.number == clause.number else draft.names
    return True


def _with_bare_number(clause: Clause, reading: Reading) -> Draft | None:
    """The feeding that a name and a number were, now that food was left of it: "larches 7, two left"."""
    bare = reading.bares[-1] if reading.bares else None
    if bare is None or clause.names or not (clause.verb("leave") or clause.senses("outcome")):
        return None
    reading.drafts.append(bare)
    return bare


def _goes_on(clause: Clause, before: Draft | None, reading: Reading) -> bool:
    if before is not None and (going_on.adds_names(clause, before) or named_elsewhere.names_those(clause, before)):
        return True
    if before is not None and going_on.did_it_on(clause, before):
        return True
    if going_on.tells_outcome_of_all(clause, reading) or going_on.tells_prey_of_all(clause, reading):
        return True
    return going_on.tells_own_outcome(clause, reading)


def _drafts(clause: Clause, before: Draft | None, reading: Reading) -> list[Draft]:
    """The clause's own drafts; an outcome that it gave the draft before is shared where it is told of all."""
    if before is not None and named_elsewhere.gives_place(clause, before):
        return [Draft("", clause, [])]
    outcome = before.fields.get("outcome") if before is not None else None
    made = drafts_of(clause, before)
    filled = named_elsewhere.dish_filled(clause, reading) if not made else None
    if filled is not None:
        return [filled]
    changed = before is not None and before.fields.get("outcome") != outcome
    if before is not None and not made and changed:
        going_on.share_outcome(clause, before, reading)
    return made


def _add_days(made: list[Draft], reading: Reading) -> None:
    """The same acts on the days told before them."""
    for day in reading.days:
        reading.told.append(day)
        reading.drafts += [replace(draft, clause=day, names=list(draft.names)) for draft in made]
    reading.days = []


def keep_remarks(reading: Reading) -> None:
    """Note of those named what was told of them and made nothing, so that it is not lost: "B 42 - 3 dead", "fed B, C is dry"."""
    reading.drafts += named_elsewhere.taken_out(reading)
    made = {id(draft.clause) for draft in reading.drafts}
    used = {id(item) for draft in reading.drafts for items in draft.made_by.values() for item in items}
    for clause in reading.told if reading.drafts else ():
        counted = any(_counts(item) and id(item) not in used for item in clause.numbers)
        heads = clause.verb("measure", "weigh", "count")  # "measured 5 of B: …", told value by value
        kept = (counted and not heads) or _says_of_others(clause, reading)
        if clause.names and kept and id(clause) not in made:
            _put_in_order(Draft("note", clause, clause.names), reading)


def _put_in_order(note: Draft, reading: Reading) -> None:
    """Add a note where it was told, so that what follows may be of the same one: "B dry so wetted one corner"."""
    start = note.clause.items[0].start
    at = next((at for at, draft in enumerate(reading.drafts) if draft.clause.items[0].start > start), None)
    reading.drafts.insert(len(reading.drafts) if at is None else at, note)


def _says_of_others(clause: Clause, reading: Reading) -> bool:
    """Whether it is said how somebody is of whom nothing else is told."""
    said = [
        item
        for item in clause.items
        if not (item.kind in {"mark", "date"} or item.text in ARTICLES or item.sense("filler"))
    ]
    subject = said[0].name if said else None
    if subject is None or subject.how not in SURE or clause.joiner in REASONS or not _says_something(said):
        return False
    return all(
        item.name is None or item.name.places != subject.places for draft in reading.drafts for item in draft.names
    )


def _says_something(said: list[Item]) -> bool:
    """Whether the name that comes first is the subject of what follows it."""
    following = said[1] if len(said) > 1 else None
    if following is None or following.kind not in {"word", "plain"}:
        return False
    told = bool(following.forms) or following.text in LIKINGS or following.text == "all"
    return state_follows(said, 1, bare=True) or (len(said) > 2 and told)


def _counts(number: Item) -> bool:
    """Whether it is a number told as one: no article, and not the "one" of "one of them"."""
    return (
        number.quantity is not None and not number.quantity.article and not number.text.startswith(("one", "a ", "an "))
    )
