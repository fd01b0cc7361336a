"""Lettering: lines no wider than they may be, nothing lost, nothing the font cannot show."""

from __future__ import annotations

import pytest
from hypothesis import given
from hypothesis import strategies as st

from bot.pictures.lettering import BOX, MORE, printable, width_of, wrapped

TEXT = st.text(st.characters(min_codepoint=32, max_codepoint=0x24F, exclude_categories=("Cc", "Cf")), max_size=120)


@given(text=TEXT, width=st.integers(60, 900), lines=st.integers(1, 6))
def test_lines_are_few_and_narrow(text: str, width: int, lines: int) -> None:
    """No more lines than asked for, none wider, and what is kept stands in order."""
    made = wrapped(text, 8.0, width, lines)
    assert 1 <= len(made) <= lines
    assert all(width_of(line, 8.0) <= width for line in made)
    whole = "".join("".join(made).split())
    wanted = "".join(printable(text).split())
    assert whole == wanted or (whole.endswith(MORE) and wanted.startswith(whole.removesuffix(MORE)))


def test_words_stay_whole_where_they_can() -> None:
    """Lines break between words."""
    assert wrapped("Group B: 40 to 42, nothing lost", 11.5, 500, 3) == ["Group B: 40 to 42,", "nothing lost"]


@pytest.mark.parametrize(
    ("text", "shown"),
    [
        ("Śnieżka\n  the   second", "Śnieżka the second"),
        ("e\u0301", "é"),
        ("Rosie 🕷", f"Rosie {BOX}"),
        ("a\u200bb\ufe0f", "ab"),
        ("паук", "паук"),
        ("狼蛛", BOX * 2),
    ],
)
def test_what_the_font_lacks_is_a_box(text: str, shown: str) -> None:
    """Composed and on one line; a box for what the font lacks, nothing for what has no form of its own."""
    assert printable(text) == shown


def test_a_text_without_an_end_is_wrapped_at_once() -> None:
    """Ten thousand letters without a space are cut after two lines like any other."""
    made = wrapped("x" * 10_000, 8.0, 900, 2)
    assert len(made) == 2
    assert made[1].endswith(MORE)
