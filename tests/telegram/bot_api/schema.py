"""The published Bot API as JSON Schema, made from schema.json when the module is imported; see make_schema.py."""

from __future__ import annotations

import json
import re
from functools import cache
from pathlib import Path
from typing import Any

from jsonschema import Draft202012Validator
from jsonschema.exceptions import best_match

PUBLISHED: dict[str, Any] = json.loads((Path(__file__).parent / "schema.json").read_text(encoding="utf-8"))
METHODS: dict[str, Any] = PUBLISHED["methods"]

PLAIN: dict[str, dict[str, Any]] = {
    "Integer": {"type": "integer"},
    "Float": {"type": "number"},
    "String": {"type": "string"},
    "Boolean": {"type": "boolean"},
    "True": {"const": True},
    "InputFile": {"type": "string"},  # a file in a request stands as the reference to its part
}
WHOLE_NUMBER = re.compile(r"-?\d+")


def of_type(written: str) -> dict[str, Any]:
    """JSON Schema of a type as schema.json writes it."""
    name, _, word = written.removesuffix("!").partition("=")
    if word:
        return {"const": word}
    if name.startswith("Array of "):
        return {"type": "array", "items": of_type(name.removeprefix("Array of "))}
    either = re.split(r" or |, | and ", name)
    if len(either) > 1:
        return {"anyOf": [of_type(one) for one in either]}
    return PLAIN.get(name) or {"$ref": f"#/$defs/{name}"}


def of_fields(fields: dict[str, str]) -> dict[str, Any]:
    """JSON Schema of an object with these fields and no others."""
    return {
        "type": "object",
        "properties": {name: of_type(written) for name, written in fields.items()},
        "required": [name for name, written in fields.items() if written.endswith("!")],
        "additionalProperties": False,
    }


def definition(shape: dict[str, str] | list[str] | str) -> dict[str, Any]:
    """JSON Schema of a named type: its fields, or the types of which it is one."""
    if shape == "any":
        return {"type": "object"}
    if isinstance(shape, dict):
        return of_fields(shape)
    return {"anyOf": [of_type(one) for one in shape]} if shape else of_fields({})


DEFINITIONS = {name: definition(shape) for name, shape in PUBLISHED["types"].items()}


@cache
def checker(written: str) -> Draft202012Validator:
    """A validator for a type as schema.json writes it."""
    return Draft202012Validator({**of_type(written), "$defs": DEFINITIONS})


def fault(value: object, written: str) -> str | None:
    """What is wrong with `value` as a `written` (a type such as "Message"), in words; None where it is right."""
    found = best_match(checker(written).iter_errors(value))
    return found and f"{written}{found.json_path.removeprefix('$')}: {found.message[:300]}"


def decoded(written: str, raw: object) -> object:
    """A parameter that came as a form field, read as the type that it should have; as it came where it cannot be read so."""
    name = written.removesuffix("!")
    if not isinstance(raw, str) or name == "String" or "InputFile" in name:
        return raw
    if name == "Integer or String":
        return int(raw) if WHOLE_NUMBER.fullmatch(raw) else raw
    try:
        return json.loads(raw)
    except ValueError:
        return raw
