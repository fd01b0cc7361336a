"""Drafts that tell one thing: signs of one sighting, headings and their details, a part told apart from the whole."""

from __future__ import annotations

from typing import TYPE_CHECKING

from bot.language.clauses.list_words import HEADED_BY
from bot.language.settling_dates import usable

if TYPE_CHECKING:
    from collections.abc import Mapping

    from bot.language.drafts import Draft
    from bot.language.items import Item

OF_FOOD = {"prey", "prey_state", "each"}
DONE = {"feeding", "misting", "watering", "cleaning"}
PASSING_OVER = {"skipped", "skip", "skipping", "forgot", "forgotten", "missed", "left", "leaving"}
VALUE_OF = {"count": "count", "measurement": "value"}
"""Kinds that tell nothing without their number, and the field it is in."""


def merge(drafts: list[Draft], place_of: Mapping[str, str]) -> list[Draft]:
    """Join what is one sighting or one act: signs of the same places, notes, a value told after its word."""
    merged: list[Draft] = []
    for draft in drafts:
        if any(_said_again(other, draft, place_of) for other in merged):
            continue
        twin = next((other for other in reversed(merged) if _same(other, draft, place_of)), None)
        if twin is None:
            merged.append(draft)
        elif draft.kind == "observation":
            twin.fields["signs"] = list(dict.fromkeys([*twin.fields["signs"], *draft.fields["signs"]]))
    return [draft for draft in merged if len(merged) == 1 or VALUE_OF.get(draft.kind, "") in {"", *draft.fields}]


def _said_again(one: Draft, two: Draft, place_of: Mapping[str, str]) -> bool:
    """Whether an act is told once more with nothing new: "put A in with B … I think they mated"."""
    if one.kind != two.kind or one.kind in {"feeding", "note", "measurement"} or not two.inherited:
        return False
    nothing_new = all(one.fields.get(name) == value for name, value in two.fields.items())
    same_day = two.date is None or one.date is two.date
    return _same_places(one, two, place_of) and nothing_new and same_day


def _same(one: Draft, two: Draft, place_of: Mapping[str, str]) -> bool:
    """Whether two notes or two sightings of the same places are one."""
    if one.kind != two.kind or one.kind not in {"note", "observation"} or not _same_places(one, two, place_of):
        return False
    if one.kind == "note":
        return one.fields == two.fields and not (one.settled or two.settled)
    later = two.clause.plain("now") is not None and bool(one.clause.dates)  # "half an hour ago out, now digging"
    return _day(one) == _day(two) and not later


def _same_places(one: Draft, two: Draft, place_of: Mapping[str, str]) -> bool:
    return _places(one, place_of) == _places(two, place_of)


def _day(draft: Draft) -> object:
    return draft.date.date.on if draft.date and draft.date.date else None


def paired(drafts: list[Draft], place_of: Mapping[str, str]) -> list[Draft]:
    """The drafts with a move to an animal that was a pairing as one: "put Tor in to Hulda, mated"."""
    moves = {id(draft): _pairing_after(drafts[at + 1 :], draft, place_of) for at, draft in enumerate(drafts)}
    for draft in drafts:
        pairing = moves[id(draft)]
        if pairing is not None:
            pairing.subjects = (*draft.subjects, str(draft.fields["to"]))
    return [draft for draft in drafts if moves[id(draft)] is None]


def _pairing_after(later: list[Draft], move: Draft, place_of: Mapping[str, str]) -> Draft | None:
    """The pairing told next of the one moved, where that one was moved to another animal; None for any other move."""
    to = move.fields.get("to")
    lives = isinstance(to, str) and place_of.get(to, to) != to
    following = later[0] if later else None
    if move.kind != "move" or not lives or following is None or following.kind != "pairing":
        return None
    return following if following.inherited and following.clause.number == move.clause.number else None


def without_headings(drafts: list[Draft], place_of: Mapping[str, str]) -> list[Draft]:
    """The drafts without those told in detail right after: "fed the mantids: Violet got two flies, Ghost three"."""
    kept = []
    for at, draft in enumerate(drafts):
        details = [other for other in drafts[at + 1 :] if _is_detail(other, draft)]
        if _is_heading(draft, details) or _heads_place(draft, details, place_of):
            for other in details:
                other.date = other.date or draft.date
        else:
            kept.append(draft)
    return kept


def _is_detail(other: Draft, draft: Draft) -> bool:
    """Whether it tells more of what a heading names: in its sentence, or on a line of its own after "feeding round"."""
    near = other.clause.number == draft.clause.number or not (draft.names or draft.fields)
    return other.kind == draft.kind and near and bool(other.fields)


def _is_heading(draft: Draft, details: list[Draft]) -> bool:
    if not details:
        return False
    if details[0].clause.number != draft.clause.number:
        return details[0].subjects == draft.subjects and draft.inherited
    if details[0].inherited:
        return False
    if draft.kind == "feeding" and draft.fields:  # "crickets: B 3, D 5"
        of_food = "prey" in draft.fields and set(draft.fields) <= OF_FOOD and not draft.names
        return of_food and details[0].clause.joiner in HEADED_BY and "quantity" in details[0].fields
    return not draft.fields and details[0].clause.joiner == ":" and (draft.kind == "feeding" or not draft.names)


def _heads_place(draft: Draft, details: list[Draft], place_of: Mapping[str, str]) -> bool:
    """Whether it only says where and what, before a colon: "cannibalism in tub 2: three of B were eaten"."""
    headed = bool(details) and details[0].clause.joiner == ":" and details[0].clause.number == draft.clause.number
    return headed and not draft.fields and _places(details[0], place_of) <= _places(draft, place_of)


def dated_by_headings(drafts: list[Draft]) -> None:
    """Give values the day the weighing was told for: "I weighed Clover and Sunny this morning. Clover was 62 g …"."""
    for at, draft in enumerate(drafts):
        if draft.kind == "measurement" and "value" not in draft.fields:
            for other in drafts[at + 1 :]:
                if other.kind == "measurement":
                    other.date = usable(draft.clause)


def part_subsets(drafts: list[Draft], place_of: Mapping[str, str]) -> list[Draft]:
    """The drafts, those told apart taken from the feeding of all, with its prey: "slings all got flies, cup 3 didn't touch any".

    Where the last of them are told apart too, nothing is left of the whole.
    """
    left: dict[int, set[str]] = {}
    for at, draft in enumerate(drafts):
        if draft.kind != "feeding" or draft.inherited or set(draft.fields) != {"outcome"}:
            continue
        part = _places(draft, place_of)
        whole = next((other for other in drafts[:at] if _holds(other, part, left.get(id(other)), place_of)), None)
        if whole is None:
            continue
        whole.subjects = tuple(subject for subject in whole.subjects if place_of.get(subject, subject) not in part)
        left[id(whole)] = _places(whole, place_of)
        draft.fields = {**whole.fields, **draft.fields}
        draft.date = draft.date or whole.date
    return [draft for draft in drafts if left.get(id(draft), {""})]


def left_out(drafts: list[Draft], place_of: Mapping[str, str]) -> None:
    """Take from an act on many those of whom it is told that it was not done to them: "fed everyone, didn't feed B"."""
    for at, draft in enumerate(drafts):
        part = _places(draft, place_of)
        for whole in reversed(drafts[:at] if draft.negated and part else ()):
            near = draft.clause.number - whole.clause.number <= 1 and draft.date in {None, whole.date}
            if near and part < _places(whole, place_of) and _not_done(draft, whole.kind):
                whole.subjects = tuple(name for name in whole.subjects if place_of.get(name, name) not in part)
                break


def without_others(drafts: list[Draft], place_of: Mapping[str, str]) -> None:
    """Take those told before from "the other cups" and "the rest of the shelf"."""
    for at, draft in enumerate(drafts):
        if not any(_says_others(draft, item) for item in draft.names):
            continue
        whole = _places(draft, place_of)
        told = {
            place for other in drafts[:at] if _places(other, place_of) < whole for place in _places(other, place_of)
        }
        if told < whole:
            draft.subjects = tuple(name for name in draft.subjects if place_of.get(name, name) not in told)


def _says_others(draft: Draft, item: Item) -> bool:
    if item not in draft.clause.items:
        return False
    lead = [other.text for other in draft.clause.before(item)[-3:]]
    if any(other.text == "else" for other in draft.clause.items) and {"everyone", "everybody", "everything"} & set(
        item.text.split()
    ):
        return True
    others = (
        "other" in lead[-2:]
        or lead[-1:] == ["others"]
        or {"rest", "remaining"} & set(lead)
        or "other" in item.text.split()
    )
    return bool(others) and item.name is not None and len(item.name.subjects) > 1


def _not_done(draft: Draft, kind: str) -> bool:
    """Whether it is denied that such an act was done, by its own verb or by "skipped", "forgot" and "did not do"."""
    words = {word for text in draft.clause.texts for word in text.split()}
    passed_over = bool(words & PASSING_OVER) or ("not" in words and bool(words & {"do", "done", "bother", "bothered"}))
    return kind in DONE and (draft.was == kind or (not draft.was and passed_over))


def _holds(whole: Draft, part: set[str], left: set[str] | None, place_of: Mapping[str, str]) -> bool:
    """Whether a feeding is of more than those told apart, or of the last that are left of it."""
    return whole.kind == "feeding" and (part < _places(whole, place_of) or part == left)


def _places(draft: Draft, place_of: Mapping[str, str]) -> set[str]:
    return {place_of.get(subject, subject) for subject in draft.subjects}
