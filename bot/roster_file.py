"""The roster as a TOML file in the parse contract's format: reading it and writing it."""

from __future__ import annotations

import tomllib
from collections.abc import Mapping
from pathlib import Path
from typing import Any

from bot.language.roster import Roster, RosterFault, roster_from_table, roster_to_table

LARGEST_EXACT = 2**53
"""Whole numbers below it are written without a point: a keeper writes 30, not 30.0."""

ESCAPES = {"\\": "\\\\", '"': '\\"', "\n": "\\n", "\t": "\\t", "\r": "\\r"}


def load_roster(path: Path) -> Roster:
    """The roster in a file. Raises RosterFault with a sentence that begins with the file's name."""
    try:
        table = tomllib.loads(path.read_text(encoding="utf-8-sig"))
    except OSError as fault:
        raise RosterFault(f"{path} cannot be read: {fault.strerror or fault}.") from fault
    except ValueError as fault:
        raise RosterFault(f"{path} is not good TOML: {fault}.") from fault
    try:
        return roster_from_table(table)
    except RosterFault as fault:
        raise RosterFault(f"{path}: {fault}") from fault


def roster_text(roster: Roster) -> str:
    """The roster as TOML, as `load_roster` reads it."""
    return toml_text(roster_to_table(roster))


def toml_text(table: Mapping[str, Any]) -> str:
    """TOML of a table that holds plain values and lists of tables of plain values; None is left out."""
    plain = {name: value for name, value in table.items() if not _is_tables(value)}
    blocks = [_lines(plain)]
    for name, value in table.items():
        if _is_tables(value):
            blocks.extend(f"[[{name}]]\n{_lines(row)}" for row in value)
    return "\n".join(block for block in blocks if block)


def _is_tables(value: object) -> bool:
    return isinstance(value, list | tuple) and bool(value) and all(isinstance(row, Mapping) for row in value)


def _lines(table: Mapping[str, Any]) -> str:
    return "".join(f"{_key(name)} = {_value(value)}\n" for name, value in table.items() if value is not None)


def _key(name: str) -> str:
    bare = name.isascii() and name.replace("_", "a").replace("-", "a").isalnum()
    return name if bare else _value(name)


def _value(value: object) -> str:
    if isinstance(value, bool):
        return "true" if value else "false"
    if isinstance(value, float) and value.is_integer() and abs(value) < LARGEST_EXACT:
        return str(int(value))
    if isinstance(value, int | float):
        return repr(value)
    if isinstance(value, str):
        return '"' + "".join(_character(character) for character in value) + '"'
    if isinstance(value, Mapping):
        return "{" + ", ".join(f"{_key(name)} = {_value(inner)}" for name, inner in value.items()) + "}"
    if isinstance(value, list | tuple):
        return "[" + ", ".join(_value(inner) for inner in value) + "]"
    raise TypeError(f"{type(value).__name__} has no place in a roster file")


def _character(character: str) -> str:
    """One character of a basic TOML string; a lone surrogate, which TOML cannot hold, becomes the replacement mark."""
    if character in ESCAPES:
        return ESCAPES[character]
    if "\ud800" <= character <= "\udfff":
        return "\ufffd"
    return f"\\u{ord(character):04x}" if ord(character) < 32 or ord(character) == 127 else character
