"""Numbers that stand for places of a sort told before, and the others of that sort. The messages are invented."""

from __future__ import annotations

from typing import Any

import pytest

from tests.language.house import entries, missing

Told = tuple[str, list[str], dict[str, Any]]


def told(text: str) -> list[Told]:
    """Kind, subjects and own fields of each entry."""
    return [
        (
            one["kind"],
            one["subjects"],
            {name: one[name] for name in ("outcome", "signs", "quantity", "number", "amount") if name in one},
        )
        for one in entries(text)
    ]


@pytest.mark.parametrize(
    ("text", "expected"),
    [
        (
            "pots: 1 and 2 ate, 3 and 4 didn't",
            [("feeding", ["sling 1", "sling 2"], {"outcome": "ate"}), ("feeding", ["sling 3", "sling 4"], {"outcome": "refused"})],
        ),
        (
            "tubs: 1 all out, 2 no sign, 3 webbing up everywhere. Misted only 2.",
            [
                ("observation", ["tub 1"], {"signs": ["out"]}),
                ("observation", ["tub 2"], {"signs": ["hiding"]}),
                ("observation", ["tub 3"], {"signs": ["webbing"]}),
                ("misting", ["tub 2"], {}),
            ],
        ),
        ("fed the slings, 3 looks in premoult", [("feeding", ["sling 1", "sling 2", "sling 3", "sling 4"], {}), ("observation", ["sling 3"], {"signs": ["premoult"]})]),
        ("A left 3 skins. Misted 1 and 2.", [("moult", ["group A"], {"number": [3, 3]}), ("misting", ["tub 1", "tub 2"], {})]),
        ("misted tubs 1-4, heavily in 2 since the moss was bone dry", [("misting", ["tub 1", "tub 2", "tub 3", "tub 4"], {}), ("misting", ["tub 2"], {"amount": "heavy"})]),
        ("sprayed tubs 1-3, all but 2 as that one was soggy", [("misting", ["tub 1", "tub 3"], {})]),
    ],
)  # fmt: skip
def test_numbers_that_name(text: str, expected: list[Told]) -> None:
    """They follow a name of their sort, and can count nothing where they stand."""
    assert told(text) == expected


@pytest.mark.parametrize(
    ("text", "kind", "field", "number"),
    [
        ("fed tub 1 5 crickets, 2 left over", "feeding", "quantity", [5, 5]),
        ("tub 1 fed, 2 moulted", "moult", "number", [2, 2]),
        ("found 2 dead in tub 1", "death", "number", [2, 2]),
        ("misted tub 1, 2 dead", "death", "number", [2, 2]),
    ],
)
def test_numbers_that_count(text: str, kind: str, field: str, number: list[int]) -> None:
    """Of food or of heads, though there is a tub of that number."""
    found = next(one for one in entries(text) if one["kind"] == kind)
    assert (found[field], found["subjects"]) == (number, ["tub 1"])


def test_numbers_without_a_sort_are_asked_about() -> None:
    """Nothing was said of tubs or pots before."""
    assert missing("fed 2 and 3 a few roaches") == ["subjects"]


def test_the_other_two_of_a_sort() -> None:
    """Those of it who were not told last."""
    assert told("fed the slings a fruit fly each. 2 and 4 took theirs, the other two not interested")[-1][:2] == (
        "feeding",
        ["sling 1", "sling 3"],
    )
    assert told("nursery: sling 1 refused, the other three took theirs. topped up all four dishes")[-1][:2] == (
        "watering",
        ["sling 1", "pot 2", "pot 3", "pot 4"],
    )
    assert told("one of B got eaten by the others")[0][1] == ["group B"]


def test_both_of_a_sort_are_those_told_last() -> None:
    """Though there are more of it."""
    assert told("sold 6 of B and 2 of C yesterday. Spot cleaned both tubs today")[-1][:2] == (
        "cleaning",
        ["group B", "group C"],
    )


def test_all_taken() -> None:
    """A sentence that closes a list of feedings is of each."""
    assert [own["outcome"] for _, _, own in told("B 3 roaches. C 2 roaches. All taken.")] == ["ate", "ate"]


def test_somebody_who_looks_clean_was_not_cleaned() -> None:
    """And a tub that was is."""
    assert [kind for kind, *_ in told("B look clean, fed them 3 crickets")] == ["feeding"]
    assert [kind for kind, *_ in told("cleaned tub 2, fed C")] == ["cleaning", "feeding"]


@pytest.mark.parametrize(
    ("text", "misted"),
    [
        ("sprayed pots 1 to 3, pot 4 has mould", ["pot 1", "pot 2", "pot 3"]),
        (
            "damped the moss for the stilts and in pots 2 and 4, 1 and 3 are wet enough",
            ["the stilts", "pot 2", "pot 4"],
        ),
        ("misted pots 1, 2 and 3", ["pot 1", "pot 2", "pot 3"]),
    ],
)
def test_labels_told_of_themselves_end_a_list(text: str, misted: list[str]) -> None:
    """After an act and a comma."""
    assert next(one["subjects"] for one in entries(text) if one["kind"] == "misting") == misted


def test_a_number_beside_numbers_that_name() -> None:
    """One more of them."""
    assert told("fed pots 1-3, 2 crickets each. 1 and 3 ate the lot, 2 refused")[-1] == (
        "feeding",
        ["sling 2"],
        {"outcome": "refused", "quantity": [2, 2]},
    )
