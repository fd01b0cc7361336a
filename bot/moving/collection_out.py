"""A collection as one JSON document, written as it is read: a row on each line, so that a long journal needs no memory."""

from __future__ import annotations

import json
import re
from collections.abc import Iterable, Iterator
from datetime import datetime
from typing import IO, TYPE_CHECKING, Any

from storage.moving_form import MEMBERS, SECTIONS
from storage.moving_names import Names
from storage.moving_out import collection_row, label_rows, moment_text, preference_rows, rows_of, stay_rows

if TYPE_CHECKING:
    from sqlalchemy.orm import Session

FORMAT = "rackside-collection"
VERSION = 1

_SURROGATE = re.compile("[\ud800-\udfff]")


def write_document(session: Session, collection_id: int, now: datetime, out: IO[bytes]) -> dict[str, int]:
    """Write a collection as it stands in the session; how many rows of each section there are.

    The form is that of `collection.schema.json`.
    """
    counts = {}
    out.write(f'{{\n"format": {_text(FORMAT)},\n"version": {VERSION},\n'.encode())
    out.write(f'"written_at": {_text(moment_text(now))},\n'.encode())
    out.write(f'"collection": {_text(collection_row(session, collection_id))}'.encode())
    for name, rows in _sections(session, collection_id):
        counts[name] = _write_rows(name, rows, out)
    out.write(b"\n}\n")
    return counts


def _sections(session: Session, collection_id: int) -> Iterator[tuple[str, Iterable[dict[str, Any]]]]:
    names = Names(session, collection_id)
    for section in SECTIONS:
        yield section.name, rows_of(session, section, names)
        if section is MEMBERS:
            yield "preferences", preference_rows(session, names)
    yield "labels", label_rows(session, names)
    yield "stays", stay_rows(session, names)


def _write_rows(name: str, rows: Iterable[dict[str, Any]], out: IO[bytes]) -> int:
    count = 0
    out.write(f",\n{_text(name)}: [".encode())
    for row in rows:
        out.write((",\n" if count else "\n").encode() + _text(row).encode())
        count += 1
    out.write(b"\n]" if count else b"]")
    return count


def _text(value: object) -> str:
    """A value as JSON; what UTF-8 has no form for is written as an escape."""
    told = json.dumps(value, ensure_ascii=False, allow_nan=False)
    return _SURROGATE.sub(lambda found: f"\\u{ord(found[0]):04x}", told)
