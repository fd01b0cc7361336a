"""The form of a collection's document: reading a file, and holding it against the schema before anything is done with it."""

from __future__ import annotations

import json
import re
from collections.abc import Callable, Mapping
from functools import cache
from importlib.resources import files
from pathlib import Path
from typing import Any

from bot.moving.collection_out import FORMAT, VERSION
from bot.moving.faults import MovingFault
from bot.moving.row_lines import Rows, no_number, read_rows
from storage.moving_values import pointer

SCHEMA = "collection.schema.json"

_BEGINNING = re.compile(rf'\s*\{{\s*"format":\s*"{FORMAT}"')
_SHOWN = 60  # characters of a value that a sentence shows


@cache
def schema() -> dict[str, Any]:
    """The JSON Schema (draft 2020-12) of the document, with what each value means."""
    found: dict[str, Any] = json.loads(files("bot.moving").joinpath(SCHEMA).read_text(encoding="utf-8"))
    return found


def read_document(path: Path) -> dict[str, Any]:
    """The document in a file, which has the form of the schema. Raises MovingFault naming what is wrong, and where.

    As `rackside export` lays it out, its sections are read from the file a row at a time (`bot.moving.row_lines`).
    """
    try:
        document = read_rows(path)
        if document is not None:
            check(document, str(path))
            return document
    except OSError as fault:
        raise MovingFault(f"{path} cannot be read: {fault.strerror or fault}.") from fault
    except (ValueError, RecursionError):
        pass  # what is wrong with it is said of the whole
    whole: dict[str, Any] = _whole(path)  # of this type once it is checked
    check(whole, str(path))
    return whole


def _whole(path: Path) -> Any:  # noqa: ANN401 - any JSON value
    try:
        text = path.read_text(encoding="utf-8-sig")
    except OSError as fault:
        raise MovingFault(f"{path} cannot be read: {fault.strerror or fault}.") from fault
    except UnicodeDecodeError as fault:
        raise MovingFault(f"{path} is not text in UTF-8, so it is no collection of Rackside's.") from fault
    try:
        return json.loads(text, parse_constant=no_number)
    except (ValueError, RecursionError) as fault:
        raise MovingFault(f"{path} is not good JSON: {fault}.") from fault


def is_document(document: object) -> bool:
    """Whether JSON says of itself that it is a collection of Rackside's, of whatever version."""
    return isinstance(document, dict) and document.get("format") == FORMAT


def begins_as_document(text: str) -> bool:
    """Whether a text begins as `rackside export` writes it: then it need not be read whole to know what it is."""
    return _BEGINNING.match(text) is not None


def check(document: object, called: str) -> None:
    """Hold a document against the schema. Raises MovingFault naming the place that does not fit, as a JSON pointer."""
    if not isinstance(document, dict) or not is_document(document):
        raise MovingFault(f"{called} is no collection of Rackside's: it does not say “format”: “{FORMAT}”.")
    version = document.get("version")
    if isinstance(version, int) and version > VERSION:
        raise MovingFault(
            f"{called} was written by a newer Rackside (form {version}, this one knows {VERSION}); update Rackside."
        )
    from fastjsonschema import JsonSchemaValueException  # noqa: PLC0415 - only what is brought in is checked

    place: tuple[str | int, ...] = ()
    try:
        _validator("")({**document, **{name: [] for name in _sections(document)}})
        for name in _sections(document):
            fits = _validator(name)
            for number, row in enumerate(document[name]):
                place = (name, number)
                fits(row)
    except JsonSchemaValueException as fault:
        where = pointer((*place, *fault.path[1:]))
        raise MovingFault(f"Nothing was brought in: {called}, {where}: {_reason(fault)}.") from fault


def _sections(document: Mapping[str, Any]) -> list[str]:
    """The parts of a document that are rows."""
    parts = schema()["properties"]
    return [name for name in document if "items" in parts.get(name, {}) and isinstance(document[name], list | Rows)]


@cache
def _validator(section: str) -> Callable[[object], object]:
    """What holds a row of a section against the schema, or ("") the document around the rows. It raises for what does not fit."""
    from fastjsonschema import compile as compiled  # noqa: PLC0415 - as above

    whole = schema()
    told = whole if not section else {"$defs": whole["$defs"], **whole["properties"][section]["items"]}
    made: Callable[[object], object] = compiled(told, use_default=False)
    return made


def _reason(fault: Any) -> str:  # noqa: ANN401 - the library has no types
    """What is asked of the value, and what it is."""
    asked = fault.message.removeprefix(fault.name).strip()
    value = json.dumps(fault.value, ensure_ascii=True)
    return asked if len(value) > _SHOWN else f"{value} {asked}"
