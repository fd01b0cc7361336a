"""Words shrink, then wrap, then end in an ellipsis; and what a font cannot show is seen to be missing."""

from __future__ import annotations

import unicodedata

import pytest
from hypothesis import given
from hypothesis import strategies as st

from bot.labels.fonts import BOLD, printable, width_of
from bot.labels.label import LabelFault
from bot.labels.layout import Letters
from bot.labels.lettering import Lettering, Room, fitted

LETTERS = Letters(largest=12.0, shrunk=9.0, smallest=6.0)
ROOM = Room(width=80.0, height=36.0)


def set_words(text: str, room: Room = ROOM) -> Lettering:
    return fitted(text, BOLD, LETTERS, room)


def test_a_short_name_is_as_large_as_can_be() -> None:
    """Six letters stand on one line in the largest size."""
    assert set_words("Tub 14") == Lettering(BOLD, 12.0, ("Tub 14",))


def test_a_longer_name_shrinks_before_it_wraps() -> None:
    """A name a little too wide stays on one line in smaller letters."""
    found = set_words("Sling rack B")
    assert found.lines == ("Sling rack B",)
    assert 9.0 <= found.points < 12.0


def test_a_name_that_would_shrink_too_far_wraps_between_words() -> None:
    """Past the least size for one line the name goes on two lines, large again."""
    found = set_words("Sling rack B, shelf 3")
    assert found == Lettering(BOLD, 12.0, ("Sling rack", "B, shelf 3"))


def test_a_long_word_shrinks_whole_and_is_broken_only_then() -> None:
    """A word too wide for the largest letters keeps whole while any size holds it; one too wide for all is broken."""
    whole = set_words("Kriechtierhäuser")
    assert whole.lines == ("Kriechtierhäuser",)
    assert whole.points < LETTERS.shrunk
    broken = set_words("Schuppenkriechtierterrarium").lines
    assert len(broken) == 2
    assert "".join(broken) == "Schuppenkriechtierterrarium"


def test_a_name_too_long_for_all_ends_in_an_ellipsis() -> None:
    """The smallest letters, all lines used, the beginning kept."""
    found = set_words(
        "tank behind the door of the second room in the cellar, left of the boiler, beneath the shelf with the pots and the lamp that nobody has lit since the winter"
    )
    assert found.points == 6.0
    assert len(found.lines) == 5
    assert " ".join(found.lines).startswith("tank behind the door of")
    assert found.lines[-1].endswith("…")


@given(st.text(min_size=1, max_size=200), st.floats(20, 200), st.floats(8, 80))
def test_no_line_is_wider_than_the_room_nor_the_block_higher(text: str, width: float, height: float) -> None:
    """For any text and room that holds one letter, lines fit across and the block fits upright."""
    room = Room(width, height)
    found = set_words(text, room)
    assert all(width_of(line, found.font, found.points) <= width for line in found.lines)
    assert found.height <= height + 1e-6
    shown = printable(text, found.font)
    assert bool(found.lines) == bool(shown)
    if not "".join(found.lines).endswith("…"):
        assert "".join(found.lines).replace(" ", "") == shown.replace(" ", "")


@pytest.mark.parametrize(
    ("text", "shown"),
    [
        ("Tub\n 4\t", "Tub 4"),
        ("Cafe\u0301", "Café"),
        ("\U0001f577\ufe0f shed", "□ shed"),
        ("\U0001f468\u200d\U0001f469", "□□"),
        ("蜘蛛", "□□"),
        ("a\x00b\u202ec", "abc"),
        ("Ωμέγα Жук Nhện", "Ωμέγα Жук Nhện"),
        ("\ud800", "□"),
    ],
)
def test_what_a_font_lacks_is_a_box_and_what_has_no_form_is_nothing(text: str, shown: str) -> None:
    """Spaces become one, letters and marks one letter; joiners, selectors and controls vanish; the unknown is a box."""
    assert printable(text, BOLD) == shown


def test_a_letter_keeps_its_marks_where_a_word_is_broken() -> None:
    """A mark that stays apart after composing is never the first on a line."""
    found = set_words("x\u0323\u0307" * 40, Room(30.0, 200.0))
    assert len(found.lines) > 2
    assert not any(unicodedata.combining(line[0]) for line in found.lines)


def test_fonts_that_are_missing_are_said(monkeypatch: pytest.MonkeyPatch) -> None:
    """Where the package that carries the fonts is not installed, the fault names it; this one is loaded nowhere else."""
    monkeypatch.setattr("bot.labels.fonts.find_spec", lambda _: None)
    with pytest.raises(LabelFault, match="they come with the package matplotlib"):
        width_of("Tub 4", "DejaVuSerif-Bold", 10.0)
