"""The look-ins after a move: their days, what answers them, what ends them, and what is learned of the keeper's own times."""

from __future__ import annotations

import pytest

from bot.care.settling import first_shown, look_ins, say_usual, usual_settling
from tests.care.tale import Tale, day


def test_look_ins_fall_on_their_days() -> None:
    """Days 1, 3, 7, 10, 14 and 21 after the move, the next one ahead or today."""
    tale = Tale()
    moved = tale.log("move", 1)
    look = look_ins(moved, tale.logs, day(5))
    assert [(one - day(1)).days for one in look.dates] == [1, 3, 7, 10, 14, 21]
    assert look.next == day(8)
    assert look_ins(moved, tale.logs, day(8)).next == day(8)
    assert look_ins(moved, tale.logs, day(23)).next is None


def test_not_seen_is_normal_for_a_week() -> None:
    """Up to a week the text says so; at two weeks where to look without digging; never that anybody is dead."""
    tale = Tale()
    moved = tale.log("move", 1)
    tale.log("observation", 4, signs=["hiding"])
    texts = {on: look_ins(moved, tale.logs, day(on)).text for on in (5, 11, 15)}
    assert texts[5] == "moved 4 days ago, not seen yet. Not seen is normal for about a week (common practice)."
    assert texts[11] == "moved 10 days ago, not seen yet"
    assert "do not dig them out" in texts[15]
    assert not any(word in text for text in texts.values() for word in ("dead", "died"))


def test_any_logged_sighting_answers() -> None:
    """Nothing yet, told as hiding, answers the look-in; food without an outcome does not."""
    tale = Tale()
    moved = tale.log("move", 1)
    tale.log("feeding", 4)
    assert look_ins(moved, tale.logs, day(4)).next == day(4)
    tale.log("observation", 4, signs=["hiding"])
    look = look_ins(moved, tale.logs, day(4))
    assert (look.next, look.answered, look.ended_on) == (day(8), (day(4),), None)


def test_seen_twice_ends_the_series() -> None:
    """Seen on two days: settled after 9 days. Twice on one day is once."""
    tale = Tale()
    moved = tale.log("move", 1)
    tale.log("observation", 8, signs=["out"])
    tale.log("observation", 8, signs=["webbing"])
    assert look_ins(moved, tale.logs, day(9)).text == "moved 8 days ago, seen once, yesterday"
    tale.log("observation", 10, signs=["out", "webbing"])
    look = look_ins(moved, tale.logs, day(10))
    assert (look.text, look.ended_on, look.next) == ("settled after 9 days", day(10), None)


@pytest.mark.parametrize(
    ("kind", "fields"),
    [
        ("feeding", {"outcome": "ate"}),
        ("feeding", {"outcome": "partly"}),
        ("observation", {"signs": ["eating_together"]}),
    ],
)
def test_eating_ends_the_series(kind: str, fields: dict[str, object]) -> None:
    """Eating once is enough."""
    tale = Tale()
    moved = tale.log("move", 1)
    tale.log(kind, 2, words="", at=None, **fields)
    assert look_ins(moved, tale.logs, day(3)).text == "settled after 1 day"


def test_what_is_seen_on_the_day_of_the_move_is_the_move() -> None:
    """Out while being moved says nothing of settling."""
    tale = Tale()
    moved = tale.log("move", 1)
    tale.log("observation", 1, signs=["out"])
    assert first_shown(moved, tale.logs) is None
    tale.log("observation", 7, signs=["out"])
    assert first_shown(moved, tale.logs) == 6


def test_own_times_are_learned_from_three_moves() -> None:
    """Two moves teach nothing; from three on the range is told with their number."""
    assert usual_settling([6, None, 9]) is None
    usual = usual_settling([6, 9, None, 7, 8])
    assert usual == (6, 9, 4)
    assert say_usual("dwarf groups", usual) == "your dwarf groups usually show after 6 to 9 days, 4 moves"
