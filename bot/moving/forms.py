"""Which form a file has, and reading it by that form."""

from __future__ import annotations

import json
from collections.abc import Mapping
from pathlib import Path
from typing import Any, Literal

from bot.moving.chat_exports import is_account, is_events, is_messages, read_events, read_messages, refuse_account
from bot.moving.chat_lines import is_chat, read_chat
from bot.moving.collection_form import begins_as_document, is_document
from bot.moving.dated_lines import is_dated, read_lines
from bot.moving.tables import is_table
from bot.moving.told import Contents, ImportFault
from bot.moving.written_days import OrderFor

Form = Literal["json", "csv", "lines", "chat"]
FORMS: tuple[Form, ...] = ("json", "csv", "lines", "chat")
"""The JSON of `rackside export`, a table, lines with a day each, a chat export as JSON or text."""

_TABLES = (".csv", ".tsv")


def form_of(path: Path, text: str) -> Form:
    """The form by the content; of what might be a table or lines, the name of the file decides. Raises ImportFault."""
    if begins_as_document(text):
        return "json"
    if text.lstrip()[:1] == "{" or (text.lstrip()[:1] == "[" and not is_chat(text)):
        return "json" if is_document(_json(path, text)) else "chat"
    if is_chat(text):
        return "chat"
    if path.suffix.lower() in _TABLES:
        return "csv"
    if is_dated(text) and path.suffix.lower() not in _TABLES and not _is_strict_table(text):
        return "lines"
    if is_table(text):
        return "csv"
    raise ImportFault(
        f"{path} is in no form that I know: JSON of `rackside export`, a table (CSV), lines that begin with a day, or a chat "
        "export. --as says which it is."
    )


def read_told(form: Form, path: Path, text: str, order_for: OrderFor) -> Contents:
    """What a file of lines, or of a chat, holds. Raises ImportFault."""
    try:
        return _read(form, path, text, order_for)
    except ImportFault as fault:
        raise ImportFault(f"{path}: {fault}") from fault


def _read(form: Form, path: Path, text: str, order_for: OrderFor) -> Contents:
    if form == "lines":
        return read_lines(text, order_for)
    if text.lstrip()[:1] not in ("{", "[") or is_chat(text):
        return read_chat(text, order_for)
    value = _json(path, text)
    if is_account(value):
        refuse_account(value)
    if is_events(value):
        return read_events(value)
    if is_messages(value):
        return read_messages(value)
    raise ImportFault("This JSON is neither a collection of Rackside's nor a chat export that I know.")


def _is_strict_table(text: str) -> bool:
    """Whether a text whose first line begins with a day is a table all the same: three columns or more in each of its rows."""
    first = next(line for line in text.splitlines() if line.strip())
    return is_table(text) and max(first.count(mark) for mark in ",;\t|") >= 2


def _json(path: Path, text: str) -> Mapping[str, Any]:
    try:
        value: Mapping[str, Any] = json.loads(text)
    except RecursionError as fault:
        raise ImportFault(f"{path} is not good JSON: it is nested too deeply.") from fault
    except ValueError as fault:
        raise ImportFault(f"{path} is not good JSON: {fault}.") from fault
    return value
