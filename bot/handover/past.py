"""Where it came from, in sentences: of what it was split or hatched, arrivals, its own egg sacs; and what is not known of that."""

from __future__ import annotations

from collections.abc import Iterable, Iterator

from bot.handover.facts import Facts, Happening, Parent
from bot.wording import say_full_day, say_range

SAC_STAGES = ("laid", "pulled", "eaten", "hatched")


def origin_lines(facts: Facts) -> tuple[str, ...]:
    """Everything known of where it came from, and one sentence for what nobody wrote."""
    lines = [
        line for parent in facts.parents for line in _parent(parent, "It is" if facts.kind == "animal" else "They are")
    ]
    told = [_happened(one) for one in facts.happenings]
    if not facts.parents and not any(one.what == "arrival" for one in facts.happenings):
        lines.append(
            "Where it came from was not written." if facts.kind == "animal" else "Where they came from was not written."
        )
    return tuple(dict.fromkeys((*lines, *_set_up(facts), *told)))  # two pairings of one day are one line


def _set_up(facts: Facts) -> Iterator[str]:
    if facts.known_since is not None:
        yield f"On the keeper's records since {say_full_day(facts.known_since)}."
    elif facts.told_on is not None:
        day = say_full_day(facts.told_on)
        yield f"On the keeper's records since {day}, and kept since before that; since when was not written."
    else:
        yield "Since when it is kept was not written."


def _parent(parent: Parent, subject: str) -> Iterator[str]:
    other = f"{'a group' if parent.kind == 'group' else 'one animal'} of {parent.species or 'a species not written'}"
    day = "on a day not written" if parent.on is None else f"on {say_full_day(parent.on)}"
    match parent.how:
        case "split":
            yield f"{subject} split off from {other} {day}."
        case "join":
            yield f"{other[:1].upper()}{other[1:]} was joined to this one {day}."
        case _:
            yield f"{subject} a brood of {other}, set up apart {day}."
            yield _sacs(parent.happenings)
    before = [one for one in parent.happenings if parent.how != "brood" or one.what not in SAC_STAGES]
    yield from (f"Of that one: {_lowered(_happened(one))}" for one in before if parent.how != "join")
    for earlier in parent.parents:
        yield from (f"Of that one: {line}" for line in _parent(earlier, "it is"))


def _lowered(text: str) -> str:
    return f"{text[:1].lower()}{text[1:]}"


def _sacs(happenings: Iterable[Happening]) -> str:
    """The egg sac of which a brood came: the last one laid and hatched before it was set up."""
    sacs = [one for one in happenings if one.what in SAC_STAGES]
    laid = next((one for one in reversed(sacs) if one.what == "laid"), None)
    hatched = next((one for one in reversed(sacs) if one.what == "hatched"), None)
    if laid is not None and hatched is not None and laid.on > hatched.on:
        laid = next((one for one in reversed(sacs) if one.what == "laid" and one.on <= hatched.on), None)
    parts = [
        "no day of the egg sac was written" if laid is None else f"egg sac first seen {say_full_day(laid.on)}",
        "no day of hatching was written" if hatched is None else _hatched(hatched),
    ]
    return f"{parts[0][:1].upper()}{parts[0][1:]}; {parts[1]}."


def _hatched(one: Happening) -> str:
    young = "" if one.number is None else f", {say_range(one.number)} young"
    return f"hatched {say_full_day(one.on)}{young}"


def _happened(one: Happening) -> str:
    day = say_full_day(one.on)
    number = None if one.number is None else say_range(one.number)
    match one.what:
        case "arrival":
            return f"Came in on {day}, how many was not written." if number is None else f"{number} came in on {day}."
        case "pairing":
            return f"Paired on {day}."
        case "hatched":
            return f"Egg sac hatched on {day}{'' if number is None else f', {number} young'}."
        case "laid":
            return f"Egg sac first seen on {day}{'' if number is None else f', {number} eggs or young'}."
        case stage:
            return f"Egg sac {stage} on {day}."
