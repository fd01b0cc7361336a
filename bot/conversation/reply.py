"""What the bot says, as data: a channel decides how it looks."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import asdict, dataclass, field
from typing import Any


@dataclass(frozen=True, slots=True)
class Attachment:
    """A file that goes with a reply: `path` within the data folder, `kind` photo or document, `name` what to call it."""

    path: str
    kind: str = "photo"
    name: str = ""


@dataclass(frozen=True, slots=True)
class Reply:
    """One message of the bot.

    `text` is plain text, lines parted by newlines. `choices` are the answers a question offers, in order; a channel
    numbers them or makes buttons of them. `rows` is set for tables (history): each row is a tuple of cells, `header` names the
    columns; `text` then holds the same in plain words. `entries` are the journal entries written, in the contract's shape.
    `files` are sent along; with one, `text` is its caption.
    """

    text: str
    choices: tuple[str, ...] = ()
    header: tuple[str, ...] = ()
    rows: tuple[tuple[str, ...], ...] = ()
    entries: tuple[dict[str, Any], ...] = field(default=())
    files: tuple[Attachment, ...] = ()


def to_body(reply: Reply) -> dict[str, Any]:
    """The reply as plain JSON, as the outbox keeps it."""
    return asdict(reply)


def from_body(body: Mapping[str, Any]) -> Reply:
    """The reply that an outbox row holds; a body written by hand may leave out all but `text`."""
    return Reply(
        text=str(body["text"]),
        choices=tuple(body.get("choices", ())),
        header=tuple(body.get("header", ())),
        rows=tuple(tuple(row) for row in body.get("rows", ())),
        entries=tuple(dict(entry) for entry in body.get("entries", ())),
        files=tuple(Attachment(**kept) for kept in body.get("files", ())),
    )
