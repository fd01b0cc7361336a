"""What is said once along a list: food after the last, values under a heading, days and kinds before a colon."""

from __future__ import annotations

from typing import Any

import pytest

from tests.language.house import contract, entries


def told(text: str, *names: str) -> list[tuple[str, str, dict[str, Any]]]:
    """Kind, subjects and these fields of each entry."""
    return [(one["kind"], ", ".join(one["subjects"]), {name: one.get(name) for name in names}) for one in entries(text)]


@pytest.mark.parametrize(
    "text",
    [
        "A 2, B 3, C 4 crickets",
        "fed A 2, B 3 and C 4 crickets",
        "fed A 2 crickets, B 3, C 4",
        "crickets: A 2, B 3, C 4",
    ],
)
def test_food_said_once_is_that_of_all(text: str) -> None:
    """Before the list, with its first or after its last."""
    expected = [("group A", [2, 2]), ("group B", [3, 3]), ("group C", [4, 4])]
    assert [(who, own["quantity"]) for _, who, own in told(text, "quantity")] == expected
    assert {own["prey"] for _, _, own in told(text, "prey")} == {"cricket"}


def test_each_is_said_of_its_own() -> None:
    """And of the whole list where it comes at its end."""
    assert [own["each"] for *_, own in told("A 2 crickets, B a dozen each", "each")] == [None, True]
    assert [own["each"] for *_, own in told("A 2, B 3 crickets each", "each")] == [True, True]


def test_skins_and_heads_along_a_list() -> None:
    """Not only food."""
    assert told("A 2, B 1 moults", "number") == [
        ("moult", "group A", {"number": [2, 2]}),
        ("moult", "group B", {"number": [1, 1]}),
    ]
    assert told("headcount tonight: A 24, B about 40", "count") == [
        ("count", "group A", {"count": [24, 24]}),
        ("count", "group B", {"count": [36, 44]}),
    ]


def test_numbers_alone_are_asked_about() -> None:
    """Nobody guesses what was counted."""
    assert contract("A 12, B 13")["missing"] == ["kind"]


@pytest.mark.parametrize(
    ("text", "expected"),
    [
        ("temps at 13h00: t1 24, t2 24.5", [("tub 1", [24, 24], None), ("tub 2", [24.5, 24.5], None)]),
        ("temps\nt1 24\nt2 25", [("tub 1", [24, 24], None), ("tub 2", [25, 25], None)]),
        ("took the temps. t1 24 t2 25", [("tub 1", [24, 24], None), ("tub 2", [25, 25], None)]),
        ("humidity t1 60 t2 65", [("tub 1", None, [60, 60]), ("tub 2", None, [65, 65])]),
        ("temps and humidity: t1 24/65, t2 25/70", [("tub 1", [24, 24], [65, 65]), ("tub 2", [25, 25], [70, 70])]),
    ],
)
def test_readings_under_a_heading(text: str, expected: list[tuple[str, Any, Any]]) -> None:
    """The heading says what they are of; a clock time there is that of all."""
    found = told(text, "temperature_c", "humidity_pct")
    assert [(who, own["temperature_c"], own["humidity_pct"]) for _, who, own in found] == expected


def test_the_time_of_a_heading_holds_for_all() -> None:
    """Also over the marks and lines between them."""
    for text in ("Readings from 10:15: t1 24 C; t2 25 C", "temps 10:15\nt1 24\nt2 25"):
        assert [one["at"] for one in entries(text)] == ["10:15", "10:15"], text


def test_rounds_on_lines_of_their_own() -> None:
    """The heading is no feeding, and each line is of the one that it names."""
    text = "Feeding round\ntub 1: 5 red runners\ntub 2: 8 crickets\nMabel - refused"
    assert told(text, "quantity", "outcome") == [
        ("feeding", "tub 1", {"quantity": [5, 5], "outcome": None}),
        ("feeding", "tub 2", {"quantity": [8, 8], "outcome": None}),
        ("feeding", "Mabel", {"quantity": None, "outcome": "refused"}),
    ]


@pytest.mark.parametrize(
    ("text", "every_days", "on"),
    [("every sunday: full clean of tub 2", 7, None), ("tomorrow: feed B", None, "2026-03-13")],
)
def test_a_day_before_a_colon(text: str, every_days: int | None, on: str | None) -> None:
    """It is the day of what follows."""
    (found,) = contract(text)["plans"]
    assert (found.get("every_days"), found.get("on") if on else None) == (every_days, on)


def test_an_outcome_is_of_all_that_one_was_given() -> None:
    """But not of what others were given."""
    assert [own["outcome"] for *_, own in told("Mabel 2 waxworms + 4 crickets, ate the lot", "outcome")] == [
        "ate",
        "ate",
    ]
    assert [own["outcome"] for *_, own in told("Mabel 2 waxworms, Clove 3 crickets, ate", "outcome")] == [None, "ate"]


def test_a_whole_told_apart() -> None:
    """Nothing is left of the feeding of all when each was told."""
    text = "Mabel, Clove and Rilla got a locust each. Mabel and Clove ate, Rilla left it"
    assert told(text, "prey", "outcome") == [
        ("feeding", "Mabel, Clove", {"prey": "locust", "outcome": "ate"}),
        ("feeding", "Rilla", {"prey": "locust", "outcome": "refused"}),
    ]
    everyone = told("fed the lot, 2 crickets each, stilts ignored theirs", "outcome")
    assert everyone[1] == ("feeding", "the stilts", {"outcome": "refused"})
    assert "tall tank" not in everyone[0][1]


def test_whom_it_was_for_may_follow() -> None:
    """Told after the act."""
    assert told("did the misting 2 days ago! it was tub 1 and the glass cube") == [("misting", "tub 1, glass cube", {})]


def test_a_range_after_the_slings_is_an_amount() -> None:
    """And without an article it is two of them."""
    assert told("fed the slings 2-3 crickets", "quantity")[0][2] == {"quantity": [2, 3]}
    assert told("fed slings 2-3 yesterday")[0][1] == "sling 2, sling 3"


def test_places_in_a_row_without_commas() -> None:
    """In figures as in words."""
    assert told("sprayed pots 1 3 and 4, just light", "amount") == [
        ("misting", "pot 1, pot 3, pot 4", {"amount": "light"})
    ]


def test_a_number_told_of_somebody_is_never_lost() -> None:
    """What it counts is not known, so the words are kept for them."""
    assert [(one["kind"], one["subjects"]) for one in entries("B 42 - 3 dead")] == [
        ("note", ["group B"]),
        ("death", ["group B"]),
    ]
