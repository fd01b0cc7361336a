"""Random meanings printed as English are read back as the same meanings."""

from __future__ import annotations

from datetime import date, timedelta
from typing import Any

from hypothesis import given, settings
from hypothesis import strategies as st

from bot.language.meaning import Entry, Meaning, Plan
from tests.language.acts import feedings, heads, sightings, upkeep
from tests.language.house import HOUSE, NOW, meaning
from tests.language.printer import (
    ANYBODY,
    ONE,
    PLAIN_DAY,
    PREY,
    TO_COME,
    TODAY,
    Piece,
    counts,
    sentence,
)

EXAMPLES = settings(max_examples=250)


def places(subjects: tuple[str, ...]) -> frozenset[str]:
    return frozenset(HOUSE.place_of(name) or name for name in subjects)


def entry_values(entry: Entry) -> dict[str, Any]:
    """An entry's values under the names that the printer gives them."""
    own = {name: value for name, value in entry.fields.items() if name != "cause"}
    values = {
        "kind": entry.kind,
        "places": places(entry.subjects),
        "on": entry.on,
        "at": entry.at,
        "part": entry.part,
        **own,
    }
    return {name: value for name, value in values.items() if value is not None}


def plan_values(plan: Plan) -> dict[str, Any]:
    """A plan's values, those that it has."""
    values = {
        "kind": plan.kind,
        "places": places(plan.subjects),
        "on": plan.on,
        "at": plan.at,
        "part": plan.part,
        "every_days": plan.every_days,
        "to": plan.to,
    }
    return {name: value for name, value in values.items() if value is not None}


def comes_back(said: Piece) -> None:
    """One act is read back as one entry with the same values."""
    found = meaning(said.words)
    assert (found.intent, [entry_values(entry) for entry in found.entries]) == ("log", [said.values])


@given(feedings())
@EXAMPLES
def test_feedings_come_back(said: Piece) -> None:
    """Prey, state, number, outcome, subjects of every sort and dates survive the round trip."""
    comes_back(said)


@given(upkeep())
@EXAMPLES
def test_upkeep_comes_back(said: Piece) -> None:
    """Misting, watering, cleaning and moves survive the round trip."""
    comes_back(said)


@given(heads())
@EXAMPLES
def test_numbers_of_heads_come_back(said: Piece) -> None:
    """Moults, counts, deaths, arrivals, departures and sacs survive the round trip with their numbers."""
    comes_back(said)


@given(sightings())
@EXAMPLES
def test_sightings_come_back(said: Piece) -> None:
    """Signs, measures, readings, pairings and notes survive the round trip."""
    comes_back(said)


@given(feedings(), upkeep(), st.sampled_from([". ", "; ", "\n"]))
@settings(max_examples=80)
def test_two_sentences_come_back(first: Piece, second: Piece, between: str) -> None:
    """Two sentences, each with its own place and day, are two entries."""
    dated = [said.values["on"] != TODAY or "part" in said.values or "at" in said.values for said in (first, second)]
    if dated[0] and not dated[1]:
        return  # a sentence without a day may take it from the one before
    found = meaning(f"{first.words}{between}{second.words}")
    assert [entry_values(entry) for entry in found.entries] == [first.values, second.values]


PLANNED = {
    "feeding": "feed",
    "misting": "mist",
    "watering": "water",
    "cleaning": "clean",
    "check": "check on",
    "measurement": "weigh",
}


@given(st.sampled_from(sorted(PLANNED)), st.data())
@EXAMPLES
def test_plans_come_back(name: str, data: st.DataObject) -> None:
    """What is to come is read back with its kind, places, and day or rhythm."""
    act = PLANNED[name]
    templates = [
        f"remind me to {act} {{who}} {{when}}",
        f"need to {act} {{who}} {{when}}",
        f"{act} {{who}} {{when}}",
        f"I must {act} {{who}} {{when}}",
    ]
    said = data.draw(sentence(templates, ANYBODY, TO_COME))
    found = meaning(said.words)
    assert (found.intent, [plan_values(plan) for plan in found.plans]) == ("plan", [{"kind": name, **said.values}])


ASKS: list[tuple[dict[str, Any], list[str]]] = [
    (
        {"about": "last", "kind": "feeding"},
        [
            "when did {who} last eat",
            "when was {who} last fed",
            "how long since I fed {who}",
            "when did I last feed {who}",
        ],
    ),
    ({"about": "last", "kind": "misting"}, ["when was {who} last misted", "when did I last mist {who}"]),
    ({"about": "last", "kind": "moult"}, ["when did {who} last moult"]),
    ({"about": "did", "kind": "feeding", "since": TODAY - timedelta(3)}, ["did I feed {who} this week"]),
    (
        {"about": "did", "kind": "misting", "since": TODAY - timedelta(1), "until": TODAY - timedelta(1)},
        ["did I mist {who} yesterday"],
    ),
    ({"about": "next", "kind": "feeding"}, ["when is the next feed for {who}"]),
    ({"about": "history"}, ["show me the history of {who}"]),
    ({"about": "history", "since": date(2026, 2, 1)}, ["show me {who} since February"]),
    ({"about": "headcount"}, ["how many are in {who}"]),
    ({"about": "climate"}, ["how humid is {who}", "how warm is {who}"]),
    ({"about": "why"}, ["why is {who} due", "why did you skip {who}"]),
]


@given(st.sampled_from(ASKS), ONE, st.data(), st.sampled_from(["", "?"]))
@EXAMPLES
def test_questions_come_back(
    wanted: tuple[dict[str, Any], list[str]], who: Piece, data: st.DataObject, mark: str
) -> None:
    """What is asked, of whom and since when is read back the same, with or without the question mark."""
    want, templates = wanted
    found = meaning(data.draw(st.sampled_from(templates)).format(who=who.words) + mark).ask
    assert found is not None
    values = {"about": found.about, "kind": found.kind, "since": found.since, "until": found.until, "days": found.days}
    assert {name: value for name, value in values.items() if value is not None} == want
    assert places(found.subjects) == who.values["places"]


@given(st.data())
@EXAMPLES
def test_corrections_come_back(data: st.DataObject) -> None:
    """A name, a day, a number or a prey said instead is read back as that change alone."""
    who, other = data.draw(ONE), data.draw(ONE)
    day, number, eaten = (
        data.draw(PLAIN_DAY),
        data.draw(counts()),
        data.draw(st.sampled_from(sorted(set(PREY) - {"dubia roach"}))),
    )
    ways = [
        (f"no, {who.words} not {other.words}", {"subjects": who.values["places"]}),
        (f"I meant {who.words}", {"subjects": who.values["places"]}),
        (f"make that {number.words}", {"quantity": number.values["pair"]}),
        (f"they were {PREY[eaten]}", {"prey": eaten}),
    ]
    if day.values:
        ways.append((f"that was {day.words}", {"on": day.values["on"]}))
    if who.values == other.values:
        ways = ways[1:]
    words, want = data.draw(st.sampled_from(ways))
    found: Meaning = meaning(words)
    assert found.amend is not None, words
    changes = dict(found.amend.changes)
    if "subjects" in changes:
        changes["subjects"] = places(changes["subjects"])
    assert changes == want


def test_the_reference_day_is_a_thursday() -> None:
    """The dates above are told from a Thursday evening in March."""
    assert (NOW.weekday(), NOW.hour) == (3, 21)
