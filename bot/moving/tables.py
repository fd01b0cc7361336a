"""A CSV file: its dialect, its heads and its rows."""

from __future__ import annotations

import csv
import io
import re
from collections.abc import Sequence
from dataclasses import dataclass

from bot.moving.told import ImportFault
from bot.moving.written_days import day_at

_DELIMITERS = ",;\t|"
_TOLD = re.compile(r"sep=(?P<mark>[,;\t|])\r?\n", re.IGNORECASE)
_SAMPLE = 16_000
"""Characters by which the dialect is found out."""


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
    rows = [row for row in _rows("\n".join(text.splitlines()[:6])) if row]
    return len(rows) > 1 and len(rows[0]) > 1 and len({len(row) for row in rows}) == 1


def read_table(text: str) -> Table:
    """The whole table. Without a line of heads (a day or a number in it) columns are called by their place. Raises ImportFault."""
    told = _TOLD.match(text)  # some spreadsheets name the mark in a line before the heads
    kept, dialect = (f"\n{text[told.end() :]}", csv.excel) if told else (text, _dialect(text))
    reader = csv.reader(
        io.StringIO(kept, newline=""), dialect, delimiter=told["mark"] if told else dialect.delimiter, strict=True
    )
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


def _rows(text: str) -> list[list[str]]:
    try:
        return list(csv.reader(io.StringIO(text, newline=""), _dialect(text)))
    except csv.Error:
        return []


def _dialect(text: str) -> type[csv.Dialect]:
    """How a text is written. An apostrophe is part of a word: RFC 4180 knows no quotes but ", and the sniffer would take it for one."""
    try:
        found = csv.Sniffer().sniff(text[:_SAMPLE].replace("'", ""), _DELIMITERS)
    except csv.Error:
        return csv.excel
    found.quotechar = '"'
    found.doublequote = True  # the sniffer takes a file in which no quote is doubled for one in which none may be
    return found
