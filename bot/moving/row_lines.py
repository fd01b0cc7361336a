"""A document whose rows stand each on a line, as `rackside export` writes it, read a row at a time: a long journal needs no memory.

The same JSON laid out otherwise is as good a document; then it is read as a whole.
"""

from __future__ import annotations

import json
import re
from array import array
from collections.abc import Iterator, Sequence
from pathlib import Path
from typing import Any, BinaryIO, NoReturn, overload

from bot.moving.faults import MovingFault

Row = dict[str, Any]

_OPEN = re.compile(rb'"(\w+)": \[\n')
_EMPTY = re.compile(rb'"(\w+)": \[\],?\n')
_VALUE = re.compile(rb'"(\w+)": (.*?),?\n')
_ENDS = (b"],\n", b"]\n")


class Rows(Sequence[Row]):
    """The rows of a section, in their file; each time they are gone through they are read anew. Raises MovingFault."""

    def __init__(self, path: Path) -> None:
        self._path = path
        self._places = array("q")

    def note(self, place: int) -> None:
        """A row begins at this byte."""
        self._places.append(place)

    def __len__(self) -> int:
        return len(self._places)

    @overload
    def __getitem__(self, index: int) -> Row: ...
    @overload
    def __getitem__(self, index: slice) -> list[Row]: ...
    def __getitem__(self, index: int | slice) -> Row | list[Row]:
        places = self._places[index] if isinstance(index, slice) else [self._places[index]]
        found = list(self._read(places))
        return found if isinstance(index, slice) else found[0]

    def __iter__(self) -> Iterator[Row]:
        return self._read(self._places)

    def _read(self, places: Sequence[int]) -> Iterator[Row]:
        try:
            with self._path.open("rb") as opened:
                for place in places:
                    opened.seek(place)
                    yield json.loads(opened.readline().rstrip(b",\n"), parse_constant=no_number)
        except OSError as fault:
            raise MovingFault(f"{self._path} cannot be read: {fault.strerror or fault}.") from fault


def read_rows(path: Path) -> dict[str, Any] | None:
    """The document with its sections as Rows; None for one that is laid out otherwise. Raises OSError.

    A row is looked at only when it is read: ValueError then says that it is not good JSON.
    """
    with path.open("rb") as opened:
        if opened.readline() != b"{\n":
            return None
        document: dict[str, Any] = {}
        while (line := opened.readline()) not in (b"}\n", b"}"):
            found = _part(line, opened, path)
            if found is None or found[0] in document:
                return None
            document[found[0]] = found[1]
        return None if opened.read().strip() else document


def _part(line: bytes, opened: BinaryIO, path: Path) -> tuple[str, Any] | None:
    """One member of the document: its name and value; None for a line that says it otherwise."""
    if found := _OPEN.fullmatch(line):
        rows = _rows(opened, path)
        return None if rows is None else (found[1].decode(), rows)
    if found := _EMPTY.fullmatch(line):
        return found[1].decode(), []
    if found := _VALUE.fullmatch(line):
        try:
            return found[1].decode(), json.loads(found[2], parse_constant=no_number)
        except ValueError:
            return None
    return None


def _rows(opened: BinaryIO, path: Path) -> Rows | None:
    rows, place = Rows(path), opened.tell()
    while (line := opened.readline()) not in _ENDS:
        if not line.startswith(b"{") or not line.rstrip(b",\n").endswith(b"}"):
            return None
        rows.note(place)
        place += len(line)
    return rows


def no_number(word: str) -> NoReturn:
    """NaN and Infinity are in no JSON. Raises ValueError."""
    raise ValueError(f"{word} is no number in JSON")
