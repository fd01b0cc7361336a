"""Tables as CSV for people and spreadsheets: RFC 4180, UTF-8 with a byte order mark, and no cell that a program takes for a formula.

A text that begins with a mark of formulas, after whatever cannot be seen, gets an apostrophe put before it, and so does one that
begins with an apostrophe. To have the text, take one leading apostrophe away. The marks are = + - @ tab, carriage return and
line feed (OWASP, "CSV Injection"), and the wide forms of the first four. Numbers, negative ones too, are left alone.
"""

from __future__ import annotations

import csv
import unicodedata
from collections.abc import Iterable, Iterator, Sequence
from contextlib import contextmanager
from io import TextIOWrapper
from pathlib import Path
from typing import Any, TypeAlias

from bot.moving.whole_files import whole

Cell: TypeAlias = str | int | float | bool | None

APOSTROPHE = "'"
FORMULA_MARKS = frozenset("=+-@\uff1d\uff0b\uff0d\uff20")
_BREAKS = frozenset("\t\r\n")


def defused(text: str) -> str:
    """A text as a spreadsheet may have it."""
    return APOSTROPHE + text if text.startswith(APOSTROPHE) or _is_formula(text) else text


def undone(cell: str) -> str:
    """The text of which `defused` made a cell."""
    return cell.removeprefix(APOSTROPHE)


def _is_formula(text: str) -> bool:
    if text[:1] in _BREAKS and text:
        return True
    seen = next((sign for sign in text if not _unseen(sign)), "")
    return seen in FORMULA_MARKS and bool(seen)


def _unseen(sign: str) -> bool:
    """Whether nothing of a character is seen: space, a control or a format character."""
    return sign.isspace() or unicodedata.category(sign)[0] in "ZC"


class Sheet:
    """A table being written: `add` takes a cell for each heading, by name; those left out stay empty."""

    def __init__(self, writer: Any, headings: Sequence[str]) -> None:  # noqa: ANN401 - csv has no public type
        self._writer = writer
        self._headings = tuple(headings)
        self.rows = 0
        writer.writerow(self._headings)

    def add(self, cells: dict[str, Cell]) -> None:
        """Write one row. KeyError for a cell under no heading."""
        unknown = cells.keys() - set(self._headings)
        if unknown:
            raise KeyError(*sorted(unknown))
        self._writer.writerow([_written(cells.get(heading)) for heading in self._headings])
        self.rows += 1


@contextmanager
def sheet(path: Path, headings: Sequence[str]) -> Iterator[Sheet]:
    """A table to be filled; the file is there once it is whole. Raises MovingFault."""
    with whole(path) as raw:
        # What UTF-8 has no form for is spelt out; the JSON document has it as it was.
        out = TextIOWrapper(raw, encoding="utf-8-sig", errors="backslashreplace", newline="", write_through=True)
        yield Sheet(csv.writer(out, lineterminator="\r\n"), headings)
        out.flush()
        out.detach()


def _written(cell: Cell) -> str:
    if isinstance(cell, str):
        return defused(cell)
    if cell is None or isinstance(cell, bool):
        return "yes" if cell else ""
    return str(int(cell)) if float(cell).is_integer() else repr(cell)


def listed(texts: Iterable[str]) -> str:
    """Several texts in one cell."""
    return "; ".join(texts)
