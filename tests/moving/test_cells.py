"""Cells that no spreadsheet takes for a formula, and from which the text comes back."""

from __future__ import annotations

import csv
from pathlib import Path

import pytest
from hypothesis import HealthCheck, example, given, settings
from hypothesis import strategies as st

from bot.moving.cells import FORMULA_MARKS, defused, sheet, undone

TEXTS = st.text(
    st.one_of(st.characters(codec="utf-8"), st.sampled_from("=+-@\t\r\n'\" ,;\u00a0\u200b\uff1d")), max_size=12
)


@settings(max_examples=1000)
@given(text=TEXTS)
@example(text="=1+1")
@example(text=" \t=1+1")
@example(text="'=1+1")
def test_no_cell_begins_with_a_mark_and_every_text_comes_back(text: str) -> None:
    """The marks are those of the OWASP note on CSV injection, behind what cannot be seen too."""
    cell = defused(text)
    assert undone(cell) == text
    assert not cell[:1] or cell[0] not in "=+-@\t\r\n\uff1d\uff0b\uff0d\uff20"
    assert not cell.lstrip() or cell.lstrip()[0] not in FORMULA_MARKS
    if text[:1].isalnum():
        assert cell == text


@pytest.mark.parametrize(
    "text",
    ['=HYPERLINK("http://example.org","a")', "+1", "-2+3", "@SUM(A1)", "\t=1", "\r=1", "\n=1", " =1", "\u200b=1", "'quoted'"],
)  # fmt: skip
def test_an_apostrophe_is_put_before_it(text: str) -> None:
    """And taken away again."""
    assert defused(text) == f"'{text}"


@pytest.mark.parametrize("text", ["", "fed B", "3 crickets", "a=b", "x-ray", "“=1”", "²"])
def test_other_texts_are_left_as_they_are(text: str) -> None:
    assert defused(text) == text == undone(text)


@settings(max_examples=200, suppress_health_check=[HealthCheck.function_scoped_fixture])
@given(rows=st.lists(st.tuples(TEXTS, st.one_of(st.none(), st.integers(-9, 9), st.floats(-50, 50))), max_size=5))
def test_a_reader_gets_back_what_was_written(tmp_path: Path, rows: list[tuple[str, float | None]]) -> None:
    """By the standard library's reader; negative numbers stay numbers."""
    path = tmp_path / "table.csv"
    with sheet(path, ("words", "number")) as out:
        for words, number in rows:
            out.add({"words": words, "number": number})
    with path.open(encoding="utf-8-sig", newline="") as opened:
        head, *found = list(csv.reader(opened, strict=True))
    assert head == ["words", "number"]
    assert [(undone(words), float(number) if number else None) for words, number in found] == rows


def test_the_file_is_as_spreadsheets_want_it(tmp_path: Path) -> None:
    """RFC 4180: CRLF after each row, quotes doubled; a byte order mark says that it is UTF-8."""
    path = tmp_path / "table.csv"
    with sheet(path, ("words", "size (mm)")) as out:
        out.add({"words": 'the "dwarfs", 12 mm\nlong', "size (mm)": 12.0})
        out.add({"size (mm)": -2.5})
    assert path.read_bytes() == b'\xef\xbb\xbfwords,size (mm)\r\n"the ""dwarfs"", 12 mm\nlong",12\r\n,-2.5\r\n'


def test_characters_that_no_encoding_has_are_spelt_out(tmp_path: Path) -> None:
    """A lone surrogate; the JSON document has it as it was."""
    with sheet(tmp_path / "table.csv", ("words",)) as out:
        out.add({"words": "a \ud83d b"})
    assert "a \\ud83d b" in (tmp_path / "table.csv").read_text(encoding="utf-8-sig")


def test_a_cell_under_no_heading_is_our_own_fault(tmp_path: Path) -> None:
    """Nothing is left out without a word, and no half table stays behind."""
    with pytest.raises(KeyError, match="colour"), sheet(tmp_path / "table.csv", ("words",)) as out:
        out.add({"colour": "red"})
    assert list(tmp_path.iterdir()) == []
