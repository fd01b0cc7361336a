"""A reply on its way to the outbox: in as many messages as its service takes, with a token for its buttons."""

from __future__ import annotations

import secrets
from collections.abc import Iterator, Mapping
from dataclasses import dataclass
from typing import TYPE_CHECKING, Any

from bot.conversation.answer import Answer
from storage import chats, outbox

if TYPE_CHECKING:
    from sqlalchemy.orm import Session

    from bot.conversation.reply import Reply
    from storage.inbox import InboxRow

CHOSEN = "\N{BLACK RIGHT-POINTING SMALL TRIANGLE} "
"""Stands before the choice that was tapped, in the message in which it was offered."""

_LAST_ONLY = ("choices", "header", "rows", "files", "entries", "question", "more", "did")
"""What belongs to a reply once: where it is sent in parts, to the last of them."""

_FIRST_ONLY = ("push",)
"""And to the first: one ring is enough."""


@dataclass(frozen=True, slots=True)
class Traits:
    """What a service takes.

    The longest text and the longest caption of a file in UTF-16 units (None: any), and whether the answer to a tapped choice
    goes in the place of the message in which it was offered.
    """

    longest: int | None = None
    longest_caption: int | None = None
    in_place: bool = False


_PLAIN = Traits()
_TRAITS: Mapping[str, Traits] = {
    # Bot API, sendMessage: "1-4096 characters after entities parsing"; sendPhoto: "0-1024 characters"; both count UTF-16 units.
    "telegram": Traits(4096, 1024, in_place=True),
    # The specification limits an event to 65,536 bytes. This is a text in any script, twice (plain and HTML), encrypted.
    "matrix": Traits(6000, 6000),
}


@dataclass(frozen=True, slots=True)
class Where:
    """Where a message goes: the collection, channel and chat, and the message that it answers, None where it answers none."""

    collection_id: int
    channel: str
    chat: str
    answers: InboxRow | None = None


def post(session: Session, where: Where, body: Mapping[str, Any]) -> int | None:
    """Put a reply, as its JSON body, into the outbox; the id of its (last) message. A reply without words or file is none."""
    if not body["text"].strip() and not body.get("files"):
        return None
    traits = _TRAITS.get(where.channel, _PLAIN)
    message = where.answers
    if message is not None and message.pressed is not None and traits.in_place:
        joined = _in_place(session, message, body, traits)
        if joined is not None:
            return _put(session, where, joined, replaces=message.pressed)
    last = None
    for part in _parts(body, traits):
        last = _put(session, where, part)
    return last


def bare(reply: Reply) -> dict[str, Any]:
    """The body of a reply that is about no message and changed nothing."""
    return Answer(reply).body()


def _put(session: Session, where: Where, body: Mapping[str, Any], replaces: int | None = None) -> int:
    inbox_id = None if where.answers is None else where.answers.id
    chat = chats.current(session, where.channel, where.chat) if where.channel in _TRAITS else where.chat
    token = secrets.token_urlsafe(9) if body.get("choices") else None
    return outbox.put(session, where.collection_id, where.channel, chat, inbox_id, body, token=token, replaces=replaces)


def _in_place(session: Session, message: InboxRow, body: Mapping[str, Any], traits: Traits) -> Mapping[str, Any] | None:
    """The body with the message that was answered before it; None where it must be a message of its own.

    It must where another answer has taken that place: of two quick taps the second is told that it came too late.
    """
    asked = None if message.pressed is None else outbox.row(session, message.pressed)
    if asked is None or outbox.was_replaced(session, asked.id) or asked.body.get("files") or body.get("files"):
        return None
    text = f"{asked.body['text']}\n{CHOSEN}{message.text}\n{body['text']}"
    return {**body, "text": text} if units(text) <= (traits.longest or units(text)) else None


def _parts(body: Mapping[str, Any], traits: Traits) -> Iterator[Mapping[str, Any]]:
    """The body in as many as are needed; what belongs to a reply once goes with the last."""
    text, files = str(body["text"]), body.get("files")
    if traits.longest is None:
        yield body
        return
    texts = list(split(text, traits.longest)) or [""]
    if files and units(text) > (traits.longest_caption or units(text)):
        texts.append("")  # too long for a caption: the file comes after the words
    for place, one in enumerate(texts, 1):
        left_out = (*(() if place == len(texts) else _LAST_ONLY), *(() if place == 1 else _FIRST_ONLY))
        yield {**{name: value for name, value in body.items() if name not in left_out}, "text": one}


def split(text: str, longest: int) -> Iterator[str]:
    """A text in parts of at most so many UTF-16 units: parted at line ends, else at spaces, else anywhere. No part is empty.

    `text` is one with words in it.
    """
    while units(text) > longest:
        cut = _cut(text, longest)
        if text[:cut].strip():
            yield text[:cut].rstrip("\n ")
        text = text[cut:].lstrip("\n ")
    if text.strip():
        yield text


def _cut(text: str, longest: int) -> int:
    """Where to part a text that is too long; at least one character in."""
    end, used = 0, 0
    for character in text:
        used += 2 if ord(character) > 0xFFFF else 1
        if used > longest:
            break
        end += 1
    for mark in ("\n", " "):
        found = text.rfind(mark, 1, end + 1)
        if text[: max(found, 0)].strip():
            return found
    return max(end, 1)


def units(text: str) -> int:
    """Length of a text in UTF-16 code units, as message services count."""
    return len(text) + sum(ord(character) > 0xFFFF for character in text)
