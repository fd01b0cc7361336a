"""The numbered sizes of feeder insects, and what sits in a part of a tub: neither is a number of prey or of heads."""

from __future__ import annotations

import pytest

from tests.language.house import contract


@pytest.mark.parametrize(
    ("text", "quantity"),
    [
        ("fed B size 4 crickets", None),
        ("fed B size 3-4 crickets", None),
        ("fed B 3 size 4 crickets", [3, 3]),
        ("fed B 3 crickets size 4", [3, 3]),
        ("fed B 2 medium size 3 hoppers", [2, 2]),
        ("fed B 3 sz 4 crix", [3, 3]),
        ("fed B size 4's", None),
    ],
)
def test_a_numbered_size_is_no_quantity(text: str, quantity: list[int] | None) -> None:
    """Feeder insects are sold in numbered sizes (common practice)."""
    (entry,) = contract(text)["entries"]
    assert (entry["kind"], entry.get("quantity")) == ("feeding", quantity)


@pytest.mark.parametrize(
    "text",
    ["1 in the lid of B", "one in tub 2's lid", "3 in the cork tube in B", "B: 2 in the lid", "one in the corner of B"],
)
def test_some_in_a_part_of_a_tub_are_no_head_count(text: str) -> None:
    """A count would set the book to them."""
    assert [entry["kind"] for entry in contract(text)["entries"]] == ["note"]


@pytest.mark.parametrize(
    ("text", "count"),
    [
        ("42 in tub 2", [42, 42]),
        ("14 in tub 2's box", [14, 14]),
        ("12 in B's tub", [12, 12]),
        ("B: 14 in the big tub", [14, 14]),
        ("36 in the group B tub", [36, 36]),
        ("B: 40ish in the tub now", [36, 44]),
    ],
)
def test_all_in_a_tub_are_a_head_count(text: str, count: list[int]) -> None:
    """By its own name, its owner's, or as the tub."""
    (entry,) = contract(text)["entries"]
    assert (entry["kind"], entry["count"]) == ("count", count)
