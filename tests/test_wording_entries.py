"""Entries and plans are said in plain words, and no field of an entry goes unsaid."""

from __future__ import annotations

from datetime import date, time, timedelta
from typing import Any

import pytest
from hypothesis import example, given
from hypothesis import strategies as st

from bot.wording import (
    done,
    noun,
    nouns,
    say_act,
    say_entry,
    say_full_day,
    say_number,
)
from bot.wording.terms import MEASURES, SIGNS

TODAY = date(2026, 3, 10)


def line(kind: str, mood: str = "log", **fields: object) -> str:
    return say_entry(kind, ["group B"], fields, date(2026, 3, 2), None, "night", TODAY, mood=mood)


@pytest.mark.parametrize(
    ("kind", "fields", "act"),
    [
        (
            "feeding",
            {"prey": "roach", "prey_state": "pre-killed", "quantity": [3, 3], "outcome": "partly"},
            "fed 3 pre-killed roaches, partly eaten",
        ),
        (
            "feeding",
            {"prey": "fruit fly", "quantity": [3, 5], "each": True, "outcome": "refused"},
            "offered 3 to 5 fruit flies each, refused",
        ),
        ("feeding", {}, "fed"),
        ("feeding", {"outcome": "ate"}, "fed, ate"),
        ("feeding", {"outcome": "refused"}, "offered food, refused"),
        ("feeding", {"prey": "cricket", "outcome": "ate"}, "fed crickets, eaten"),
        ("feeding", {"quantity": [4, 4]}, "fed 4"),
        ("feeding", {"prey_state": "live"}, "fed live food"),
        ("feeding", {"each": True}, "fed each"),
        ("misting", {"amount": "heavy"}, "heavy misting"),
        ("misting", {}, "misted"),
        ("watering", {}, "watered"),
        ("cleaning", {"scope": "spot"}, "spot clean"),
        ("cleaning", {}, "cleaned"),
        ("moult", {"number": [2, 2]}, "2 moults"),
        ("moult", {}, "moulted"),
        ("move", {"to": "glass cube", "count": [42, 42]}, "moved to glass cube, 42 in"),
        ("move", {}, "moved"),
        ("move", {"to": "pot 9", "count": [6, 6], "part_of_group": True, "to_enclosure_id": 3}, "6 split off to pot 9"),
        ("move", {"part_of_group": True}, "some split off"),
        ("placed", {"to": "tub 4"}, "placed in tub 4"),
        ("placed", {}, "placed"),
        ("count", {"count": [36, 44]}, "counted 36 to 44"),
        ("count", {}, "counted"),
        ("measurement", {"measure": "body", "value": [12, 12]}, "body length 12 mm"),
        ("measurement", {"value": [12, 12]}, "12 mm"),
        ("measurement", {}, "measured"),
        ("reading", {"temperature_c": [24.5, 24.5], "humidity_pct": [61, 61]}, "24.5 °C, 61 % humidity"),
        ("reading", {}, "reading"),
        ("observation", {"signs": ["hiding", "eating_together"]}, "hiding, not seen; eating together"),
        ("observation", {}, "seen"),
        ("death", {"number": [1, 1], "cause": "eaten by its own kind"}, "1 died, cause: eaten by its own kind"),
        ("death", {}, "death"),
        ("arrival", {"number": [10, 10]}, "10 arrived"),
        ("arrival", {}, "arrived"),
        ("departure", {"number": [2, 2]}, "2 left the collection"),
        ("departure", {}, "left the collection"),
        ("pairing", {}, "paired"),
        ("sac", {"stage": "hatched", "number": [60, 80]}, "egg sac hatched, 60 to 80 young"),
        ("sac", {}, "egg sac"),
        ("note", {"text": "smells sour"}, "note: smells sour"),
        ("note", {}, "note"),
        ("ended", {}, "no longer kept apart"),
        ("burp", {"loud": True, "of_which": "two"}, "burp, loud, of which two"),
    ],
)
def test_each_kind_is_said_in_plain_words(kind: str, fields: dict[str, Any], act: str) -> None:
    """Each kind of entry has its own plain phrase, then the absolute date with its year and the part of day."""
    assert line(kind, **fields) == f"group B: {act}, Mon 2 Mar 2026, night"


@pytest.mark.parametrize(
    ("kind", "fields", "act"),
    [
        ("feeding", {"every_days": 10.0}, "plan to feed, every 10 days"),
        ("misting", {"every_days": 1}, "plan to mist, every day"),
        ("weighing", {"every_days": 3.5}, "plan: weighing, every 3.5 days"),
        ("move", {"to": "tub 9"}, "plan to move to tub 9"),
        ("check", {}, "plan to look in"),
        ("note", {"text": "order roaches"}, "plan: order roaches"),
        ("note", {}, "plan to remember"),
        ("observation", {"signs": ["eating_together"]}, "plan to look for signs, signs eating together"),
        ("feeding", {"prey": "roach", "quantity": [3, 3]}, "plan to feed, 3 roaches"),
        ("measurement", {"measure": "weight", "value": [3, 3]}, "plan to measure, weight 3 g"),
    ],
)
def test_plans_say_what_is_to_come(kind: str, fields: dict[str, Any], act: str) -> None:
    """A plan says the task, the repeat, and the day with its distance."""
    assert line(kind, "plan", **fields) == f"group B: {act}, Mon 2 Mar 2026 (8 days ago), night"


@pytest.mark.parametrize(
    ("kind", "fields", "said"),
    [
        ("stop", {"of": "feeding"}, "no reminders of feeding until Mon 2 Mar 2026 (8 days ago), night"),
        ("stop", {}, "no reminders until Mon 2 Mar 2026 (8 days ago), night"),
        ("rule", {"humidity_pct": [55, 65]}, "humidity 55 to 65 % from now on, by your own words, night"),
        ("rule", {"resume": True, "task": "misting"}, "reminders of misting again from now on, night"),
    ],
)
def test_what_is_laid_down_is_said_as_a_rule(kind: str, fields: dict[str, Any], said: str) -> None:
    """A stop says until when it holds, a rule that it holds from now on."""
    assert line(kind, "plan", **fields) == f"group B: {said}"


@pytest.mark.parametrize(
    ("fields", "said"),
    [
        (
            {"since": "2026-03-12", "until": "2026-03-20"},
            "away for 9 days, from Thu 12 Mar 2026 to Fri 20 Mar 2026, in 2 days; what falls due then waits until you are back",
        ),
        (
            {"since": "2026-03-10", "until": "2026-03-10"},
            "away for 1 day, on Tue 10 Mar 2026; what falls due then waits until you are back",
        ),
    ],
)
def test_a_time_away_says_both_days(fields: dict[str, Any], said: str) -> None:
    """Both days are included."""
    assert say_entry("away", [], fields, None, None, None, TODAY, mood="plan") == said


def test_clock_time_and_missing_day_are_said() -> None:
    """A clock time is said; a repeating plan needs no day, and a log whose day is in doubt says so."""
    at = time(19, 5)
    assert say_entry("misting", ["D"], {}, TODAY, at, None, TODAY) == "D: misted, Tue 10 Mar 2026, 19:05"
    assert say_entry("misting", ["D"], {"every_days": 7}, None, at, None, TODAY, mood="plan") == (
        "D: plan to mist, every 7 days, 19:05"
    )
    assert say_entry("misting", [], {}, None, None, None, TODAY) == "misted, day not known"


def test_imperial_units_reach_the_line() -> None:
    """A keeper with imperial units reads inches beside millimetres."""
    assert say_act("measurement", {"measure": "legspan", "value": [76.2, 76.2]}, "imperial") == "legspan 76.2 mm (3 in)"


def test_every_kind_has_its_words() -> None:
    """Kinds are named one, many and done, and an unknown kind keeps its own name."""
    assert (noun("sac"), nouns("sac"), done("sac")) == ("egg sac", "egg sacs", "recorded")
    assert (noun(None), nouns(None), done(None)) == ("entry", "entries", "recorded")
    assert (noun("odd_thing"), nouns("odd_thing"), done("feeding")) == ("odd thing", "odd thing", "fed")


WORD = st.text("abcdefghijklmnoprtuvw", min_size=3, max_size=9)
WHOLE = st.integers(0, 500)
RANGES = st.one_of(
    st.tuples(WHOLE, WHOLE).map(sorted),
    WHOLE.map(lambda low: [low, low]),
    WHOLE.map(lambda low: [low, None]),
)
VALUES = st.tuples(st.integers(1, 4000), st.integers(0, 900)).map(lambda pair: [pair[0] / 10, (pair[0] + pair[1]) / 10])

FIELDS: dict[str, dict[str, st.SearchStrategy[Any]]] = {
    "feeding": {
        "prey": st.sampled_from(["roach", "cricket", "fruit fly", "mouse", "dubia roach"]),
        "prey_state": st.sampled_from(["live", "pre-killed", "frozen-thawed"]),
        "quantity": RANGES,
        "each": st.just(value=True),
        "outcome": st.sampled_from(["ate", "refused", "partly"]),
    },
    "misting": {"amount": st.sampled_from(["light", "heavy"])},
    "watering": {},
    "cleaning": {"scope": st.sampled_from(["spot", "full"])},
    "moult": {"number": RANGES},
    "move": {"to": WORD, "count": RANGES},
    "count": {"count": RANGES},
    "measurement": {"measure": st.sampled_from(["legspan", "body", "weight"]), "value": VALUES},
    "reading": {"temperature_c": VALUES, "humidity_pct": VALUES},
    "observation": {"signs": st.lists(st.sampled_from(sorted(SIGNS)), min_size=1, unique=True)},
    "death": {"number": RANGES, "cause": WORD},
    "arrival": {"number": RANGES},
    "departure": {"number": RANGES},
    "pairing": {},
    "sac": {"stage": st.sampled_from(["laid", "pulled", "eaten", "hatched"]), "number": RANGES},
    "note": {"text": WORD},
    "check": {},
    "stop": {"of": st.sampled_from(["feeding", "misting"])},
}


@st.composite
def some_entry(draw: st.DrawFn) -> tuple[str, str, dict[str, Any]]:
    kind = draw(st.sampled_from(sorted(FIELDS)))
    fields = {key: draw(values) for key, values in FIELDS[kind].items() if draw(st.booleans())}
    mood = draw(st.sampled_from(["log", "plan"]))
    if mood == "plan":
        extras = {"every_days": st.sampled_from([1, 2, 3.5, 7, 10]), "to": WORD, "of": st.just("feeding")}
        fields |= {key: draw(values) for key, values in extras.items() if draw(st.booleans())}
    if draw(st.booleans()):
        fields["something_new"] = draw(st.one_of(WORD, RANGES, st.lists(WORD, min_size=1), st.just(value=True)))
    return kind, mood, fields


def words_of(key: str, value: object) -> list[str]:
    """Return the words that must stand in the line for one field."""
    if key == "signs":
        return [SIGNS[str(sign)] for sign in value]  # type: ignore[attr-defined]
    if key == "measure":
        return [MEASURES[str(value)]]
    if key == "every_days":
        return ["every day" if value == 1 else f"every {value} days"]
    if isinstance(value, list):
        return [item if isinstance(item, str) else say_number(item) for item in value if item not in (None, 0)]
    if value is True:
        return [key.replace("_", " ")]
    said = {"roach": "roach", "fruit fly": "fruit fl", "mouse": "m", "of": "feeding"}
    return [said.get(str(value), str(value))]


@given(some_entry(), st.sets(WORD, min_size=1, max_size=4), st.integers(-400, 400), st.none() | st.times())
@example(("feeding", "log", {"quantity": [0, 0], "each": True}), {"tub"}, 0, time(7, 45))
def test_no_field_is_dropped(
    entry: tuple[str, str, dict[str, Any]], names: set[str], away: int, at: time | None
) -> None:
    """Every name, every value of every field, the day, the part of day and the time stand in the line."""
    kind, mood, fields = entry
    on = TODAY + timedelta(days=away)
    said = say_entry(kind, sorted(names), fields, on, at, "evening", TODAY, mood=mood)
    assert say_full_day(on) in said
    assert "evening" in said
    assert at is None or f"{at:%H:%M}" in said
    for wanted in [*names, *(word for key, value in fields.items() for word in words_of(key, value))]:
        assert wanted in said, (wanted, said)
