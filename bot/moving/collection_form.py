"""The form of a collection's document: reading a file, and holding it against the schema before anything is done with it."""

from __future__ import annotations

import json
from collections.abc import Callable
from functools import cache
from importlib.resources import files
from pathlib import Path
from typing import Any, NoReturn

from bot.moving.collection_out import FORMAT, VERSION
from bot.moving.faults import MovingFault
from storage.moving_values import pointer

SCHEMA = "collection.schema.json"

_SHOWN = 60  # characters of a value that a sentence shows


def schema() -> dict[str, Any]:
    """The JSON Schema (draft 2020-12) of the document, with what each value means."""
    found: dict[str, Any] = json.loads(files("bot.moving").joinpath(SCHEMA).read_text(encoding="utf-8"))
    return found


def read_document(path: Path) -> dict[str, Any]:
    """The document in a file, which has the form of the schema. Raises MovingFault naming what is wrong, and where."""
    try:
        text = path.read_text(encoding="utf-8-sig")
    except OSError as fault:
        raise MovingFault(f"{path} cannot be read: {fault.strerror or fault}.") from fault
    except UnicodeDecodeError as fault:
        raise MovingFault(f"{path} is not text in UTF-8, so it is no collection of Rackside's.") from fault
    try:
        document = json.loads(text, parse_constant=_no_number)
    except (ValueError, RecursionError) as fault:
        raise MovingFault(f"{path} is not good JSON: {fault}.") from fault
    check(document, str(path))
    return document  # type: ignore[no-any-return]  # it is a dict: the schema says so


def is_document(document: object) -> bool:
    """Whether JSON says of itself that it is a collection of Rackside's, of whatever version."""
    return isinstance(document, dict) and document.get("format") == FORMAT


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

    try:
        _validator()(document)
    except JsonSchemaValueException as fault:
        place = pointer(tuple(fault.path[1:]))
        raise MovingFault(f"Nothing was brought in: {called}, {place}: {_reason(fault)}.") from fault


@cache
def _validator() -> Callable[[object], object]:
    from fastjsonschema import compile as compiled  # noqa: PLC0415 - as above

    made: Callable[[object], object] = compiled(schema(), use_default=False)
    return made


def _reason(fault: Any) -> str:  # noqa: ANN401 - the library has no types
    """What is asked of the value, and what it is."""
    asked = fault.message.removeprefix(fault.name).strip()
    value = json.dumps(fault.value, ensure_ascii=True)
    return asked if len(value) > _SHOWN else f"{value} {asked}"


def _no_number(word: str) -> NoReturn:
    raise ValueError(f"{word} is no number in JSON")
