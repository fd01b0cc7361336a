"""What a keeper lays down in words: bands, times to settle, days to look in, the care sheet."""

from __future__ import annotations

from datetime import date
from typing import Any

import pytest

from bot.language.contract import to_contract
from tests.language.keeping import heard, plan, rule


@pytest.mark.parametrize(
    ("text", "name", "fields"),
    [
        ("B likes 55 to 65 % humidity", "group B", {"humidity_pct": [55, 65]}),
        ("the mosses like 60-70%", "the mosses", {"humidity_pct": [60, 70]}),
        ("keep B between 60 and 70% humidity please", "group B", {"humidity_pct": [60, 70]}),
        ("humidity for Clotho should be 75 to 85 percent", "Clotho", {"humidity_pct": [75, 85]}),
        ("Clotho likes it 24 to 26 C", "Clotho", {"temperature_c": [24, 26]}),
        ("Dapple is happiest at 26 to 30 degrees", "Dapple", {"temperature_c": [26, 30]}),
        ("aim for 24-26C in tub 4", "tub 4", {"temperature_c": [24, 26]}),
        ("Clotho wants 75-79F", "Clotho", {"temperature_c": [23.9, 26.1]}),
        ("temperature for Clotho: 24 to 26 C from now on", "Clotho", {"temperature_c": [24, 26]}),
        ("B prefers at least 60 % humidity", "group B", {"humidity_pct": [60, 100]}),
        ("can you keep the mosses at 60-70%", "the mosses", {"humidity_pct": [60, 70]}),
    ],
)
def test_a_band_that_somebody_likes_is_a_rule(text: str, name: str, fields: dict[str, Any]) -> None:
    """Likings, orders and aims set a band; what is read off a dial is a reading."""
    assert rule(text) == ((name,), fields)


def test_both_bands_may_be_told_at_once() -> None:
    """A second band after "and" belongs to the same rule."""
    both = {"humidity_pct": [55, 65], "temperature_c": [24, 26]}
    assert rule("B likes 55 to 65 % humidity and 24 to 26 C") == (("group B",), both)


@pytest.mark.parametrize(
    "text", ["tub 4 24.5C 61%", "B is at 60% now", "B was at 60%", "hygrometer in the glass cube reads 71 percent"]
)
def test_a_look_at_the_dial_stays_a_reading(text: str) -> None:
    """Numbers without a liking are what the dial shows."""
    (entry,) = heard(text).entries
    assert entry.kind == "reading"


@pytest.mark.parametrize(
    "text",
    [
        "keep Clotho at 22 C at night",
        "keep Clotho above 20C",
        "Clotho likes 70 to 55 % humidity",
        "Clotho doesn't like 70%",
        "Clotho hates 40 % humidity",
        "Clotho likes it humid, 60 to 70 %",
    ],
)
def test_a_band_that_no_rule_holds_is_kept_as_a_note(text: str) -> None:
    """Neither a reading nor half a rule is made of it."""
    (entry,) = heard(text).entries
    assert (entry.kind, entry.subjects) == ("note", ("Clotho",))


@pytest.mark.parametrize(
    ("text", "days"),
    [
        ("give B 10 days to settle", 10),
        ("let B settle for 12 days", 12),
        ("settling time for B is two weeks", 14),
        ("B needs 7 to 9 days to settle in", 9),
        ("no food for B for 10 days after a move", 10),
        ("leave B alone for two weeks after a move", 14),
    ],
)
def test_time_to_settle_is_a_rule(text: str, days: int) -> None:
    """Of a range the longer wait counts."""
    assert rule(text) == (("group B",), {"settling_days": days})


@pytest.mark.parametrize(
    ("text", "days"),
    [
        ("look in on B on days 1, 3, 7", [1, 3, 7]),
        ("check on B on days 2, 5 and 9 after a move", [2, 5, 9]),
        ("look-ins for B on days 1, 4 & 8", [1, 4, 8]),
        ("look in on B 1, 3 and 7 days after a move", [1, 3, 7]),
    ],
)
def test_days_to_look_in_are_a_rule(text: str, days: list[int]) -> None:
    """The days count from a move."""
    assert rule(text) == (("group B",), {"look_in_days": days})


def test_one_look_ahead_is_a_plan_for_its_day() -> None:
    """A distance from today is no day after a move."""
    found = plan("look in on B in 3 days")
    assert (found.kind, found.on) == ("check", date(2026, 3, 7))


@pytest.mark.parametrize(
    "text",
    [
        "back to the care sheet for B",
        "put B back on the care sheet",
        "use the care sheet for B again",
        "reset B to the defaults",
        "B goes by the sheet again",
        "go back to the default settings for B",
        "forget my settings for B",
    ],
)
def test_the_care_sheet_may_hold_again(text: str) -> None:
    """The sheet, the defaults, or the keeper's own settings dropped: all the same."""
    assert rule(text) == (("group B",), {"back": True})


@pytest.mark.parametrize(
    "text", ["resume reminders for Dapple", "start reminding me about Dapple again", "Dapple's reminders back on"]
)
def test_reminders_may_come_again(text: str) -> None:
    """A stop is lifted by a rule."""
    assert rule(text) == (("Dapple",), {"resume": True})


@pytest.mark.parametrize("text", ["resume misting reminders for Dapple", "start misting Dapple again"])
def test_reminders_of_one_task_may_come_again(text: str) -> None:
    """Stops of other tasks hold on."""
    assert rule(text) == (("Dapple",), {"resume": True, "task": "misting"})


@pytest.mark.parametrize(
    "text", ["B loves roaches", "Clotho prefers crickets", "no need to worry about B", "put a sheet of bark in tub 4"]
)
def test_tastes_and_other_sheets_set_nothing(text: str) -> None:
    """They are kept as notes, and no meal is made of a taste."""
    meaning = heard(text)
    assert ([entry.kind for entry in meaning.entries], meaning.plans) == (["note"], ())


@pytest.mark.parametrize(
    "text",
    [
        "show the care sheet for B",
        "care sheet B",
        "care sheet for B?",
        "what are the settings for B",
        "B's settings",
        "what does the care sheet say about B",
        "what humidity does B like",
        "how should I keep B",
    ],
)
def test_the_care_sheet_is_asked_for(text: str) -> None:
    """A sheet or settings that nothing is done to are asked for."""
    ask = heard(text).ask
    assert ask is not None
    assert (ask.about, ask.subjects) == ("sheet", ("group B",))


@pytest.mark.parametrize("text", ["mist Clotho weekly but lightly", "mist Clotho lightly once a week"])
def test_a_repeat_keeps_how_much(text: str) -> None:
    """The amount is kept for the journal; the contract's plan has no field for it."""
    found = plan(text)
    assert (found.kind, found.every_days, found.fields) == ("misting", 7, {"amount": "light"})
    assert "amount" not in to_contract(heard(text))["plans"][0]


def test_a_rule_may_follow_an_act() -> None:
    """What was done is written, and what holds from now on beside it."""
    meaning = heard("misted tub 4, B likes 55 to 65 % humidity")
    assert [(entry.kind, entry.subjects) for entry in meaning.entries] == [("misting", ("tub 4",))]
    assert [(found.kind, found.subjects) for found in meaning.plans] == [("rule", ("group B",))]


def test_a_rule_about_them_is_for_those_just_moved() -> None:
    """It takes the subject of the act before it, told or planned."""
    told, planned = (
        heard("moved B to pot 9, give them 12 days to settle"),
        heard("move B to pot 9 and give them 12 days to settle"),
    )
    assert [(found.kind, found.subjects) for found in told.plans] == [("rule", ("group B",))]
    assert [(found.kind, found.subjects) for found in planned.plans] == [("move", ("group B",)), ("rule", ("group B",))]


def test_a_rule_without_a_name_asks_for_whom() -> None:
    """It is never taken for everybody."""
    meaning = heard("back to the care sheet")
    assert (meaning.intent, meaning.missing) == ("unclear", ("subjects",))
