"""Random meanings and the English for them: the pieces that the round trip is made of.

Each piece is drawn together with what it means, so that a sentence and its Meaning come from the same draw.
"""

from __future__ import annotations

import re
from dataclasses import dataclass, field
from datetime import date, time, timedelta
from typing import Any

from hypothesis import assume
from hypothesis import strategies as st

from tests.language.house import HOUSE, NOW

TODAY = NOW.date()
WEEKDAYS = ("Monday", "Tuesday", "Wednesday", "Thursday", "Friday", "Saturday", "Sunday")
NUMBER_WORDS = (
    "nought",
    "one",
    "two",
    "three",
    "four",
    "five",
    "six",
    "seven",
    "eight",
    "nine",
    "ten",
    "eleven",
    "twelve",
)
LIVED_IN = [place.name for place in HOUSE.enclosures if place.name != "spare tub"]

Draw = st.DrawFn

# Sentences that are not printed, because a number or a letter in them can be taken for part of a name or for a time:
# "the slings 2 days ago" (sling 2), "tub 2 a roach" (to a roach), "5 dead in B" (tub 5), "on March 11, 10ish eggs".
TWO_WAYS = re.compile(
    r"\b(?:slings|pots|tubs)\b(?: [-\d]+| and| to)* (?:in )?(?:\d+|two|three|four) (?:days|weeks|minutes)|\b(?:tub|tubs|pots|to|and) [24] (?:a|the)\b"
    r"|^\d+ dead in|ish slings|, \d+ish|^(?:mist|water) .* on \w+day|slings \S+(?: \S+ \S+)? live"
)


@dataclass(frozen=True)
class Piece:
    """Some words and the values they stand for."""

    words: str
    values: dict[str, Any] = field(default_factory=dict)


def piece(words: str, **values: object) -> Piece:
    return Piece(words, values)


def whom(words: str, *names: str) -> Piece:
    """Words for some roster names, as places."""
    return Piece(words, {"places": frozenset(HOUSE.place_of(name) or name for name in names)})


GROUPS = [
    whom(words, f"group {words[-1].upper()}") for words in ("B", "C", "D", "b", "d", "group A", "group B", "Group c")
]
GROUPS += [
    whom("the stilts", "the stilts"),
    whom("stilts", "the stilts"),
    whom("tub 2", "group B"),
    whom("t3", "group C"),
    whom("tub four", "group D"),
]
ANIMALS = [
    whom("Mabel", "Mabel"),
    whom("mabel", "Mabel"),
    whom("Clove", "Clove"),
    whom("sling 3", "pot 3"),
    whom("pot 1", "pot 1"),
    whom("Rilla", "Rilla"),
]
SEVERAL = [
    whom("B and D", "group B", "group D"), whom("A, B and D", "group A", "group B", "group D"), whom("tubs 1-3", "tub 1", "tub 2", "tub 3"),
    whom("tubs 1 and 4", "tub 1", "tub 4"), whom("groups A to C", "group A", "group B", "group C"), whom("Mabel and Clove", "Mabel", "Clove"),
    whom("shelf 1", "tub 1", "tub 2"), whom("the slings", "pot 1", "pot 2", "pot 3", "pot 4"), whom("pots 2 to 4", "pot 2", "pot 3", "pot 4"),
    whom("the inceis", "group A", "group B"), whom("everyone", *LIVED_IN), whom("everyone but B", *(set(LIVED_IN) - {"tub 2"})),
    whom("everyone except the slings", *(set(LIVED_IN) - {"pot 1", "pot 2", "pot 3", "pot 4"})),
]  # fmt: skip
ONE = st.sampled_from(GROUPS + ANIMALS)
ONE_GROUP = st.sampled_from(GROUPS)
ONE_ANIMAL = st.sampled_from(ANIMALS)
ANYBODY = st.sampled_from(GROUPS + ANIMALS + SEVERAL)


def _past_days() -> list[Piece]:
    days = [
        piece(""),
        piece("today"),
        piece("yesterday", on=TODAY - timedelta(1)),
        piece("the day before yesterday", on=TODAY - timedelta(2)),
    ]
    days += [piece(f"{n} days ago", on=TODAY - timedelta(n)) for n in range(2, 30)]
    days += [piece(f"{NUMBER_WORDS[n]} weeks ago", on=TODAY - timedelta(7 * n)) for n in (2, 3, 4)]
    days += [piece(f"on {WEEKDAYS[(TODAY - timedelta(n)).weekday()]}", on=TODAY - timedelta(n)) for n in range(1, 7)]
    days += [piece(f"on the {n}th", on=date(2026, 3, n)) for n in range(4, 11)]
    days += [piece(f"on March {n}", on=date(2026, 3, n)) for n in range(1, 12)]
    days += [piece("on 2026-02-20", on=date(2026, 2, 20)), piece("on the 3rd of March", on=date(2026, 3, 3))]
    days += [
        piece("last night", on=TODAY - timedelta(1), part="night"),
        piece("tonight", part="night"),
        piece("this morning", part="morning"),
    ]
    days += [
        piece("yesterday evening", on=TODAY - timedelta(1), part="evening"),
        piece("this afternoon", part="afternoon"),
    ]
    days += [
        piece("at 8pm", at=time(20)),
        piece("at 14:30", at=time(14, 30)),
        piece("yesterday at 9am", on=TODAY - timedelta(1), at=time(9)),
    ]
    return days


def _days_to_come() -> list[Piece]:
    days = [
        piece("tomorrow", on=TODAY + timedelta(1)),
        piece("tomorrow evening", on=TODAY + timedelta(1), part="evening"),
    ]
    days += [piece(f"in {n} days", on=TODAY + timedelta(n)) for n in range(2, 20)]
    days += [piece(f"on {WEEKDAYS[(TODAY + timedelta(n)).weekday()]}", on=TODAY + timedelta(n)) for n in range(1, 7)]
    days += [piece(f"on March {n}", on=date(2026, 3, n)) for n in range(14, 31)]
    days += [
        piece("tomorrow at 7pm", on=TODAY + timedelta(1), at=time(19)),
        piece("in 20 minutes", on=TODAY, at=time(21, 50)),
    ]
    days += [piece(f"every {n} days", every_days=n) for n in range(2, 15)]
    days += [
        piece("every other day", every_days=2),
        piece("weekly", every_days=7),
        piece("twice a week", every_days=3.5),
    ]
    return days


WHEN = st.sampled_from(_past_days())
PLAIN_DAY = st.sampled_from([when for when in _past_days() if not {"part", "at"} & set(when.values)])
TO_COME = st.sampled_from(_days_to_come())


@st.composite
def counts(draw: Draw, low: int = 2, high: int = 12) -> Piece:
    """A number of heads or prey in figures or words, a range, or a number with a bound."""
    n = draw(st.integers(low, high))
    ways = [
        piece(str(n), pair=[n, n]),
        piece(f"{n}-{n + 1}", pair=[n, n + 1]),
        piece(f"{n} to {n + 2}", pair=[n, n + 2]),
    ]
    ways += [piece(f"at least {n}", pair=[n, None]), piece(f"more than {n}", pair=[n + 1, None])]
    if n < len(NUMBER_WORDS) - 1:
        ways += [
            piece(NUMBER_WORDS[n], pair=[n, n]),
            piece(f"{NUMBER_WORDS[n]} or {NUMBER_WORDS[n + 1]}", pair=[n, n + 1]),
        ]
    if n % 10 == 0:
        ways += [
            piece(f"about {n}", pair=[9 * n // 10, 11 * n // 10]),
            piece(f"{n}ish", pair=[9 * n // 10, 11 * n // 10]),
        ]
    return draw(st.sampled_from(ways))


PREY = {
    "cricket": "crickets", "roach": "roaches", "locust": "locusts", "mealworm": "mealworms", "red runner roach": "red runners", "dubia roach": "dubias",
    "fruit fly": "fruit flies", "waxworm": "waxworms", "superworm": "superworms", "hornworm": "hornworms",
}  # fmt: skip
STATES = {"": None, "live ": "live", "pre-killed ": "pre-killed", "pk ": "pre-killed"}


@st.composite
def prey(draw: Draw) -> Piece:
    """How many of what prey in what state."""
    name = draw(st.sampled_from(sorted(PREY)))
    state = draw(st.sampled_from(sorted(STATES)))
    values = {"prey": name} | ({"prey_state": STATES[state]} if STATES[state] else {})
    if draw(st.booleans()):
        number = draw(counts())
        return Piece(f"{number.words} {state}{PREY[name]}", {**values, "quantity": number.values["pair"]})
    if draw(st.booleans()):
        return Piece(f"a {state}{name}", {**values, "quantity": [1, 1]})
    return Piece(f"{state}{PREY[name]}", values)


@st.composite
def sentence(
    draw: Draw, templates: list[str], who: st.SearchStrategy[Piece], when: st.SearchStrategy[Piece], **more: Piece
) -> Piece:
    """One of some templates filled in; its values are those of all its pieces."""
    template = draw(st.sampled_from(templates))
    pieces = {"who": draw(who), "when": draw(when), **more}
    words = template.format(**{name: each.words for name, each in pieces.items()})
    values: dict[str, Any] = {}
    for name, each in pieces.items():
        if "{" + name + "}" in template:
            values |= each.values
    words = " ".join(words.split()).replace(" ,", ",")
    assume(TWO_WAYS.search(words) is None)
    return Piece(words, values)
