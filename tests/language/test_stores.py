"""Feeders in stock, in talk: what came, what is left, what died, what is ordered, and how long a delivery takes."""

from __future__ import annotations

from typing import Any

import pytest

from tests.language.house import ask, contract, meaning, missing


def told(text: str) -> list[dict[str, Any]]:
    """The kind, subjects and own fields of each entry."""
    found = meaning(text)
    assert found.intent == "log", (text, found.intent, found.question)
    return [{"kind": one.kind, "subjects": list(one.subjects), **one.fields} for one in found.entries]


def note(stock: str, low: float | None, high: float | None = None, feeder: str = "cricket") -> dict[str, Any]:
    """A note on the stock as it is told; low None for a lot that was not counted."""
    fields = {"kind": "note", "subjects": [], "feeder": feeder, "stock": stock}
    return fields if low is None else {**fields, "pieces": [low, low if high is None else high]}


STOCK: list[tuple[dict[str, Any], list[str]]] = [
    (note("added", 500), [
        "bought 500 small crickets", "got 500 crickets", "got 500 crickets in today", "500 crix came today", "i got 500 crickets",
        "500 crickets arrived", "picked up 500 crickets", "bought a tub of 500 crickets", "just got 500 black crickets in the post",
    ]),
    (note("added", None), ["bought 2 tubs of crickets", "got a box of crickets", "bought crickets", "got a load of crickets in", "got crickets"]),
    (note("left", 135, 165, "red runner roach"), ["about 150 red runners left", "i have about 150 red runners left", "around 150 lats left in stock"]),
    (note("left", 12), ["down to 12 crickets", "still have 12 crickets", "12 crickets in stock"]),
    (note("left", 120), ["counted the crickets: 120", "120 crickets left", "only 120 crickets left"]),
    (note("left", 0), ["crickets all dead", "the crickets are all dead, binned the lot", "out of crickets", "ran out of crickets", "completely out of crickets"]),
    (note("lost", 30), ["threw out 30 dead crickets", "30 crickets died", "lost 30 crickets overnight", "30 crickets dead, binned them", "binned 30 dead crix"]),
    (note("ordered", 500), ["ordered 500 crickets", "reordered 500 crickets today"]),
]  # fmt: skip


@pytest.mark.parametrize(("want", "texts"), STOCK)
def test_a_stock_of_bought_feeders_is_a_note_of_nobody(want: dict[str, Any], texts: list[str]) -> None:
    """Without a colony of that prey on the roster it is a note with fields of its own, and belongs to no animal."""
    for text in texts:
        assert told(text) == [want], text


COLONY: list[tuple[dict[str, Any], list[str]]] = [
    ({"kind": "arrival", "number": [200, 200]}, ["got 200 dubias", "bought 200 dubias", "got 200 roaches in"]),
    ({"kind": "count", "count": [135, 165]}, ["about 150 dubias left"]),
    ({"kind": "death", "number": [30, 30]}, ["threw out 30 dead dubias", "30 dubias died"]),
]


@pytest.mark.parametrize(("want", "texts"), COLONY)
def test_a_stock_with_a_colony_on_the_roster_is_of_the_colony(want: dict[str, Any], texts: list[str]) -> None:
    """With a colony of that prey on the roster it is an arrival, a count or a death there."""
    for text in texts:
        assert told(text) == [{**want, "subjects": ["dubia colony"]}], text


def test_what_is_left_of_a_lot_told_just_before() -> None:
    """A second number after a loss is the stock."""
    assert told("chucked 10 dead locusts, 30 left") == [
        note("lost", 10, feeder="locust"),
        note("left", 30, feeder="locust"),
    ]


def test_a_number_told_behind() -> None:
    """A lot is counted after the comma; deaths without a number are some."""
    assert told("tub of crickets arrived today, about 250") == [note("added", 225, 275)]
    assert told("bought a tub of crickets, 250") == [note("added", 250)]
    assert told("crickets died") == [note("lost", None)]


def test_greetings_do_not_hide_a_lot() -> None:
    """Small words before and after change nothing."""
    found = told("hi got 1000 micro crix and 50 locust hoppers today :)")
    assert found == [note("added", 1000), note("added", 50, feeder="locust")]


def test_two_feeders_in_one_message() -> None:
    """What is said of the first holds for the second."""
    found = told("got 200 locusts and 500 crickets")
    assert found == [note("added", 200, feeder="locust"), note("added", 500)]


def test_the_stock_is_told_beside_other_acts() -> None:
    """A feeding in the same message stays one, and more left than was fed is of the stock."""
    found = told("fed B 3 crickets, about 100 left")
    assert [one["kind"] for one in found] == ["feeding", "note"]
    assert found[0] == {"kind": "feeding", "subjects": ["group B"], "prey": "cricket", "quantity": [3, 3]}
    assert found[1] == note("left", 90, 110)
    assert [one["kind"] for one in told("misted A. bought 500 crickets")] == ["misting", "note"]


MEALS = [
    "fed B 30 crickets, 20 crickets left",
    "fed B 5 crickets, no crickets left",
    "fed B 3 crickets, 1 left",
    "B got 20 crickets",
    "gave B 30 crickets",
    "got 500 crickets for tub 4",
    "removed 2 dead crickets from tub 4",
]


@pytest.mark.parametrize("text", MEALS)
def test_a_meal_is_no_matter_of_the_stock(text: str) -> None:
    """Whatever names an animal or a place is told of it."""
    assert all("stock" not in one for one in told(text)), text


@pytest.mark.parametrize(
    "text", ["got 3 roaches", "they got three mealworms tonight", "pablo got 2 crix", "2 crickets left"]
)
def test_a_few_without_a_name_are_asked_about(text: str) -> None:
    """A handful may be somebody's meal, so it is asked whose."""
    assert missing(text) == ["subjects"]


@pytest.mark.parametrize(
    "text",
    [
        "bought a new cricket keeper",
        "bought mealworm bran",
        "picked up 3 leftover crickets",
        "there are 20 crickets loose in the room",
    ],
)
def test_things_for_feeders_and_strays_are_no_stock(text: str) -> None:
    """A cricket keeper is no cricket, and what was left or got loose is not in the box."""
    assert all("stock" not in one.fields for one in meaning(text).entries)


DELIVERIES = [
    ("crickets take 3 days to come", {"delivery_days": [3, 3], "feeder": "cricket"}),
    ("roaches take a week to arrive", {"delivery_days": [7, 7], "feeder": "roach"}),
    ("delivery takes 2 to 4 days", {"delivery_days": [2, 4]}),
    ("delivery from the shop is 4 days", {"delivery_days": [4, 4]}),
    ("orders take 5 days to get here", {"delivery_days": [5, 5]}),
]


@pytest.mark.parametrize(("text", "want"), DELIVERIES)
def test_how_long_a_delivery_takes(text: str, want: dict[str, Any]) -> None:
    """It is kept as told, for one feeder or for all."""
    assert told(text) == [{"kind": "note", "subjects": [], **want}]


STOCK_ASKED = [
    "how many crickets have I got left", "how many crickets left", "crickets left?", "how long will the crickets last",
    "when do I need to order crickets", "when will I run out of crickets", "do I have enough crickets",
    "how many crickets do i have", "when should i buy more crickets", "how long do the crickets last me", "will the crickets last until sunday", "hows the cricket stock",
]  # fmt: skip


@pytest.mark.parametrize("text", STOCK_ASKED)
def test_the_stock_is_asked_about(text: str) -> None:
    """How many there are, how long they last and when to order are one question of the stock."""
    assert ask(text) == {"about": "stock"}
    assert dict((meaning(text).ask or pytest.fail(text)).fields) == {"feeder": "cricket"}


@pytest.mark.parametrize("text", ["how long will they last", "how long will that last me"])
def test_how_long_they_last_is_asked_of_all_there_is(text: str) -> None:
    """Said after a lot, it is of the stock and not of somebody's size."""
    assert ask(text) == {"about": "stock"}


EVERYDAY = [
    ("how many crickets do i need this week", {"about": "feeders", "days": 7}),
    ("have i got enough crickets for this week", {"about": "feeders", "days": 7}),
    ("when did B last eat a cricket", {"about": "last", "kind": "feeding", "subjects": ["group B"]}),
    ("how many are in the roach bin", {"about": "headcount", "subjects": ["roach bin"]}),
]


@pytest.mark.parametrize(("text", "want"), EVERYDAY)
def test_everyday_questions_stay_what_they_are(text: str, want: dict[str, Any]) -> None:
    """What is needed for a time, what somebody ate and how many a colony holds are asked as before."""
    assert ask(text) == want


def test_a_culture_growing_out() -> None:
    """When a culture will be grown is asked with its kind and the temperature, where they are told."""
    found = meaning("how long till the black crickets are adult at 28C").ask
    assert found is not None
    assert (found.about, dict(found.fields)) == (
        "growing_out",
        {"feeder": "cricket", "species": "Gryllus bimaculatus", "temperature_c": [28, 28]},
    )


AIR: list[tuple[list[str], list[str], list[float]]] = [
    (["tub 4"], ["what would tub 4 be at 26", "what if i warm tub 4 to 26", "how humid would tub 4 be at 26C", "what would the humidity in t4 be at 78.8F",
      "what happens to the humidity in tub 4 if I heat it to 26", "what if I cool tub 4 to 26 C?", "what if it was 26 in tub 4", "how dry would tub 4 get at 26C", "would tub 4 condense at 26"], [26, 26]),
    ([], ["same air at 26 C", "same air at 26"], [26, 26]),
    (["tub 4"], ["what would tub 4 be at 24-26C"], [24, 26]),
]  # fmt: skip


@pytest.mark.parametrize(("subjects", "texts", "warm"), AIR)
def test_the_same_air_at_another_temperature(subjects: list[str], texts: list[str], warm: list[float]) -> None:
    """What the air would be is asked with the temperature, in °C, and a number after “to” is no range of tubs."""
    for text in texts:
        found = meaning(text).ask
        assert found is not None, text
        assert (found.about, list(found.subjects), found.fields["temperature_c"]) == ("same_air", subjects, warm), text


@pytest.mark.parametrize(
    "text",
    [
        "tub 4 would like 26C",
        "if tub 4 drops below 18C mist it",
        "warm tub 4 up",
        "tub 4 26C",
        "what if I move B to tub 5 at 10",
    ],
)
def test_other_words_of_warmth_ask_nothing(text: str) -> None:
    """A taste, a condition and a reading are no question of the air."""
    assert contract(text).get("ask", {}).get("about") != "same_air"


@pytest.mark.parametrize(
    "text",
    [
        "whats the dew point in tub 4",
        "at what temp would tub 4 get condensation",
        "vpd tub 4",
        "humidity trend tub 4",
        "is tub 4 getting drier",
        "how humid is tub 4",
    ],
)
def test_the_air_of_a_place(text: str) -> None:
    """Its dew point, its deficit and where it is going are the question of its climate."""
    assert ask(text) == {"about": "climate", "subjects": ["tub 4"]}
