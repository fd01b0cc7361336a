"""Hygrometers in talk: checked over salt, hung in a place, named beside a reading."""

from __future__ import annotations

from typing import Any

import pytest

from bot.language.meaning import Context, Meaning
from tests.language.house import ask, contract, meaning


def told(text: str) -> list[dict[str, Any]]:
    """The own fields of each entry, beside its kind and subjects."""
    found: Meaning = meaning(text)
    assert found.intent == "log", (text, found.intent)
    return [{"kind": one.kind, "subjects": list(one.subjects), **one.fields} for one in found.entries]


def check(meter: str, shown: float, salt: str = "NaCl", warm: float | None = None) -> dict[str, Any]:
    """A check over salt as it is told."""
    fields = {"kind": "note", "subjects": [], "meter": meter, "salt": salt, "shown_pct": [shown, shown]}
    return fields if warm is None else {**fields, "checked_c": [warm, warm]}


CHECKS: list[tuple[list[dict[str, Any]], list[str]]] = [
    ([check("hyg 3", 71, warm=24)], [
        "hyg 3 reads 71 in the salt bag at 24C", "hyg3 71% salt 24c", "hygro 3 showed 71 % over salt, 24 C",
        "salt test: hygrometer 3 shows 71 at 24", "Did the salt test today. hyg 3 shows 71 at 24C",
        "hyg 3 shows 71. thats over salt at 24C", "hyg #3 said 71 in nacl @ 24", "hyg 3 salt bag 71% 75.2F",
    ]),
    ([check("hyg 3", 71)], ["hyg 3 salt test 71", "hyg 3 reads 71 in the salt bag", "hyg 3 read 71 after 12 hours in salt"]),
    ([check("meter 2", 72, warm=22)], ["salt test: meter 2 shows 72 at 22", "meter 2 72% at 22C over table salt"]),
    ([check("hyg 3", 37, "MgCl2", 24)], [
        "hyg 3 reads 37 over magnesium chloride at 24", "hyg 3 37% mgcl2 24C", "hyg 3 reads 37 over the magnesium chloride salt at 24C",
    ]),
    ([check("hyg 3", 71, warm=24), check("hyg 4", 74, warm=24)], ["hyg 3 reads 71 and hyg 4 reads 74 in the salt bag at 24C"]),
    ([check("hyg 3", 71, warm=24), check("hyg 3", 37, "MgCl2", 24)], ["hyg 3 reads 71 over salt and 37 over mgcl2 at 24C"]),
    ([check("probe kitchen", 71)], ["probe kitchen reads 71 in the salt bag"]),
    ([check("hyg", 78)], ["my hygrometer read 78 in the salt bag"]),
]  # fmt: skip


@pytest.mark.parametrize(("want", "texts"), CHECKS)
def test_a_check_over_salt(want: list[dict[str, Any]], texts: list[str]) -> None:
    """It is a note of nobody with the meter, the salt, what it showed and, where told, the temperature; never a reading."""
    for text in texts:
        assert told(text) == want, text


def test_a_check_beside_other_acts_is_no_reading_of_theirs() -> None:
    """Neither whoever is fed in the same breath nor the place in which the meter hangs is what was read."""
    for text in (
        "hyg 3 reads 71 in the salt bag at 24C and fed B 3 roaches",
        "fed B 3 roaches, hyg 3 reads 71 in the salt bag at 24C",
    ):
        found = told(text)
        assert sorted(one["kind"] for one in found) == ["feeding", "note"], text
        assert check("hyg 3", 71, warm=24) in found, text
    assert told("the hygro in tub 4 reads 71 in salt") == [check("hyg", 71)]


def test_words_on_a_meter_alone_are_a_note() -> None:
    """A flat battery is nobody's, and nobody died."""
    for text in ("my hyg 3 died", "hyg 3 has a flat battery", "hyg 3 reads 4 too low"):
        assert told(text) == [{"kind": "note", "subjects": []}], text


def test_a_check_shows_in_the_contract_as_a_plain_note() -> None:
    """The fields of a check have no name in the contract."""
    assert contract("hyg 3 reads 71 in the salt bag at 24C")["entries"] == [
        {"kind": "note", "subjects": [], "on": "2026-03-12"}
    ]


def test_a_check_keeps_its_day() -> None:
    """A check told a day late is of the day before."""
    assert contract("hyg 3 showed 71 in the salt bag yesterday")["entries"][0]["on"] == "2026-03-11"


@pytest.mark.parametrize(
    "text",
    [
        "hyg 3 reads 84 over epsom salt at 24",
        "hyg 3 reads 84 over potassium chloride at 24",
        "should i salt test hyg 3",
    ],
)
def test_other_salts_and_questions_are_no_check(text: str) -> None:
    """Only table salt and magnesium chloride are reckoned with, and only what was done is kept."""
    assert meaning(text).intent != "log", text


def test_a_reminder_of_a_check_is_a_plan() -> None:
    """What is to be done is no check, and hours are no humidity."""
    assert meaning("remind me to salt test hyg 3 in 24 hours").intent == "plan"


PLACES: list[tuple[str, list[str]]] = [
    ("tub 4", ["hyg 3 is in tub 4", "put hyg 3 into tub 4 today", "moved hyg 3 to tub 4", "hyg 3 lives in tub 4 now", "hyg 3 -> tub 4"]),
    ("glass cube", ["moved hyg 3 from tub 4 to the glass cube"]),
    ("tub 5", ["moved hyg 3 from tub 4 to tub 5"]),
    ("tub 3", ["moved hyg 3 from tub 4 to tub 3"]),
]  # fmt: skip


@pytest.mark.parametrize(("place", "texts"), PLACES)
def test_a_meter_hangs_in_a_place(place: str, texts: list[str]) -> None:
    """Where a meter is put is a note of that place that names the meter, and no move of those who live there."""
    for text in texts:
        assert told(text) == [{"kind": "note", "subjects": [place], "meter": "hyg 3"}], text


def test_a_meter_is_taken_down_or_replaced() -> None:
    """From then on it is no longer the one of that place."""
    gone = {"kind": "note", "subjects": ["tub 4"], "meter": "hyg 3", "taken_down": True}
    for text in ("removed hyg 3 from tub 4", "took hyg 3 out of tub 4", "hyg 3 is no longer in tub 4"):
        assert told(text) == [gone], text
    assert told("replaced hyg 3 in tub 4 with hyg 5") == [
        gone,
        {"kind": "note", "subjects": ["tub 4"], "meter": "hyg 5"},
    ]


READINGS = [
    ("tub 4 by hyg 3: 24C 61%", "hyg 3", [24, 24]),
    ("tub 4 24C 61% (hyg 3)", "hyg 3", [24, 24]),
    ("tub 4 by hyg 3 - 24C 61%", "hyg 3", [24, 24]),
    ("tub 4 hyg 3 - 24 C / 61 %", "hyg 3", [24, 24]),
    ("tub 4 24C 61% hyg 3", "hyg 3", [24, 24]),
    ("hyg 3 in tub 4 says 61", "hyg 3", None),
    ("tub 4 sensor 12: 61%", "sensor 12", None),
]


@pytest.mark.parametrize(("text", "meter", "warm"), READINGS)
def test_a_reading_names_its_meter(text: str, meter: str, warm: list[float] | None) -> None:
    """The number of a meter is its name, never what it shows."""
    want = {"kind": "reading", "subjects": ["tub 4"], "humidity_pct": [61, 61], "meter": meter}
    assert told(text) == [want if warm is None else {**want, "temperature_c": warm}]


def test_each_reading_has_its_own_meter() -> None:
    """Two readings in one message keep the meters that stand beside them."""
    found = told("hyg 3 in tub 4 says 61%, hyg 4 in tub 5 58%")
    assert [(one["subjects"], one["meter"]) for one in found] == [(["tub 4"], "hyg 3"), (["tub 5"], "hyg 4")]


def test_a_meter_alone_is_of_its_own_place() -> None:
    """Whom was talked of last is not meant by a reading of a meter that may hang elsewhere."""
    context = Context(focus=("group A",))
    found = meaning("hyg 3 24C 61%", context=context)
    assert (found.intent, found.missing, found.entries[0].fields["meter"]) == ("unclear", ("subjects",), "hyg 3")
    assert meaning("24C 61%", context=context).entries[0].subjects == ("group A",)


def test_hygro_before_a_humidity_is_no_name() -> None:
    """“hygro 61” is what it shows: few keepers have so many meters."""
    assert told("tub 4 24C hygro 61") == [
        {"kind": "reading", "subjects": ["tub 4"], "temperature_c": [24, 24], "humidity_pct": [61, 61]}
    ]


@pytest.mark.parametrize(
    "text", ["where is hyg 3", "is hyg 3 ok", "how far off is hyg 3", "when was hyg 3 last checked?"]
)
def test_a_meter_is_asked_about(text: str) -> None:
    """A question that names a meter and no place is about the meter."""
    assert ask(text) == {"about": "meter"}
    assert dict((meaning(text).ask or pytest.fail(text)).fields) == {"meter": "hyg 3"}


@pytest.mark.parametrize(
    "text", ["why is tub 4 61%", "why is the humidity in tub 4 61", "how do you know tub 4 is at 61%"]
)
def test_why_of_a_humidity(text: str) -> None:
    """Why with a humidity asks where the reading comes from."""
    assert ask(text) == {"about": "air_why", "subjects": ["tub 4"]}
