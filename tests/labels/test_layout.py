"""Stickers lie on the page edge to edge, in the middle, in reading order."""

from __future__ import annotations

import pytest

from bot.labels.layout import PAPERS, SIZES, Grid, LabelSize, Paper, code_box, words_box
from tests.labels.reading import within


@pytest.mark.parametrize(
    ("paper", "size", "columns", "rows"),
    [
        ("A4", "small", 4, 12),
        ("A4", "medium", 3, 9),
        ("A4", "large", 2, 6),
        ("Letter", "small", 4, 11),
        ("Letter", "medium", 3, 8),
        ("Letter", "large", 2, 6),
    ],
)
def test_a_page_takes_so_many(paper: str, size: str, columns: int, rows: int) -> None:
    """How many stickers go on a page, by paper and size."""
    grid = Grid(PAPERS[paper], SIZES[size])
    assert (grid.columns, grid.rows, grid.per_page) == (columns, rows, columns * rows)


@pytest.mark.parametrize("paper", PAPERS.values(), ids=lambda paper: paper.name)
@pytest.mark.parametrize("size", SIZES.values(), ids=lambda size: size.name)
def test_stickers_share_their_edges_and_leave_even_margins(paper: Paper, size: LabelSize) -> None:
    """The first begins and the last ends as far from the edges, 8 mm at least; each neighbour begins where one ends."""
    grid = Grid(paper, size)
    first, last = grid.sticker(0), grid.sticker(grid.per_page - 1)
    assert first.left == pytest.approx(paper.width - last.left - last.width)
    assert last.bottom == pytest.approx(paper.height - first.bottom - first.height)
    assert min(first.left, last.bottom) >= 8
    assert grid.sticker(1).left == pytest.approx(first.left + first.width)
    assert grid.sticker(grid.columns).bottom == pytest.approx(first.bottom - first.height)


@pytest.mark.parametrize("size", SIZES.values(), ids=lambda size: size.name)
def test_code_and_words_do_not_overlap(size: LabelSize) -> None:
    """Code and words lie in the sticker, the words right of the code."""
    sticker = Grid(PAPERS["A4"], size).sticker(0)
    code, words = code_box(sticker, size), words_box(sticker, size)
    assert within(code, sticker)
    assert within(words, sticker)
    assert words.left >= code.left + code.width
