"""A CSV file: its dialect, its heads and its rows."""

from __future__ import annotations

import csv
import io
import re
from collections.abc import Sequence
from dataclasses import dataclass
from typing import Any

from bot.moving.told import ImportFault
from bot.moving.written_days import day_at

_DELIMITERS = ";\t|,"
"""The comma last: where numbers are written 1,5 it stands in cells between which there is another mark."""

_TOLD = re.compile(r"sep=(?P<mark>[,;\t|])\r?\n", re.IGNORECASE)
_SAMPLE = 16_000
"""Characters by which the mark between cells is found out."""


@dataclass(frozen=True, slots=True)
class Row:
    """One row: the line of the file in which it ends, and its cells, as many as there are heads."""

    line: int
    cells: tuple[str, ...]


@dataclass(frozen=True, slots=True)
class Table:
    """A table: `heads`, no two alike; `unreadable` names rows with more cells than heads."""

    heads: tuple[str, ...]
    rows: tuple[Row, ...]
    unreadable: tuple[str, ...] = ()

    def values(self, column: int, most: int = 3) -> list[str]:
        """A few different values of a column, those that are not empty."""
        found = (row.cells[column].strip() for row in self.rows)
        return list(dict.fromkeys(value for value in found if value))[:most]


def is_table(text: str) -> bool:
    """Whether a text looks like CSV: several columns, as many in each of the first rows."""
    rows = _rows("\n".join(text.splitlines()[:6]))
    return len(rows) > 1 and len(rows[0]) > 1 and len({len(row) for row in rows}) == 1


def read_table(text: str) -> Table:
    """The whole table. Without a line of heads (a day or a number in it) columns are called by their place. Raises ImportFault."""
    told = _TOLD.match(text)  # some spreadsheets name the mark in a line before the heads
    mark = told["mark"] if told else _delimiter(text)
    reader = _reader(f"\n{text[told.end() :]}" if told else text, mark, strict=True)
    found: list[tuple[int, list[str]]] = []
    try:
        found.extend(
            (reader.line_num, [cell.strip() for cell in cells]) for cells in reader if any(map(str.strip, cells))
        )
    except csv.Error as fault:
        raise ImportFault(f"Line {reader.line_num} is not good CSV: {fault}.") from fault
    first = found[0][1]
    headed = not any(day_at(cell) or cell.replace(".", "").isdecimal() for cell in first)
    heads = _heads(first) if headed else tuple(f"column {place}" for place in range(1, len(first) + 1))
    if len(heads) < 2:
        raise ImportFault("There is only one column, so this is no table; --as lines reads lines with a day each.")
    return _table(heads, found[1:] if headed else found)


def _table(heads: tuple[str, ...], found: Sequence[tuple[int, list[str]]]) -> Table:
    rows, unreadable = [], []
    for line, cells in found:
        if any(cells[len(heads) :]):
            unreadable.append(f"line {line}: there are {len(cells)} cells in it and only {len(heads)} columns.")
        else:
            rows.append(Row(line, tuple((cells + [""] * len(heads))[: len(heads)])))
    if not rows:
        raise ImportFault("There are no rows in this table that can be read.")
    return Table(heads, tuple(rows), tuple(unreadable))


def _heads(cells: Sequence[str]) -> tuple[str, ...]:
    """The heads, those left empty or used twice told apart by their place."""
    heads: list[str] = []
    for place, cell in enumerate(cells, 1):
        name = cell or f"column {place}"
        heads.append(f"{name} ({place})" if name in heads else name)
    return tuple(heads)


def _rows(text: str, mark: str | None = None) -> list[list[str]]:
    """The rows, between which nothing is checked; none where they cannot be read at all."""
    try:
        return [row for row in _reader(text, mark or _delimiter(text), strict=False) if row]
    except csv.Error:
        return []


def _reader(text: str, mark: str, *, strict: bool) -> Any:  # noqa: ANN401 - the module has no public name for its reader
    """A reader by RFC 4180, but for the mark between cells, and for room before a quote."""
    return csv.reader(io.StringIO(text, newline=""), delimiter=mark, skipinitialspace=True, strict=strict)


def _delimiter(text: str) -> str:
    """The mark by which the rows are most like each other, and of those the one that parts them most."""
    return max(_DELIMITERS, key=lambda mark: _likeness(_rows(text[:_SAMPLE], mark)))


def _likeness(rows: Sequence[Sequence[str]]) -> tuple[float, int]:
    """The share of rows that are as wide as the first, and its width; nothing where that is a single cell."""
    width = len(rows[0]) if rows else 0
    return (sum(len(row) == width for row in rows) / len(rows), width) if width > 1 else (0, 0)
