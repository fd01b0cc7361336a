"""What a channel and the house hand each other. A channel knows its service and this; the house knows this and no service.

A service's updates become `Carried` and `Press`. The house takes them into its inbox (`House.take`) before the channel tells the
service that it has them. What the house has to say comes as a `Parcel`, oldest of its chat first; the channel sends it, and then
says what came of it. Photos are rows first and files later (`House.wanted_photos`).
"""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from datetime import datetime
from pathlib import Path
from typing import Any, Protocol

from bot.conversation.reply import Reply

PHOTO, DOCUMENT, VOICE, STICKER, OTHER, UNREADABLE = "photo", "document", "voice", "sticker", "other", "unreadable"
"""What may come with a message, or instead of words. UNREADABLE is a message of which only the sender could be made out."""


@dataclass(frozen=True, slots=True, kw_only=True)
class Carried:
    """A message as a service delivered it.

    `address` is the sender's and `name` what to call the sender; `chat` is where it was said, and `key` the service's id of it
    there. `revision` is 0 for a new message and grows with each edit of it; `edits`, `deletes` and `reply_to` are the keys of the
    messages that it edits, deletes or answers. `text` is its words (a photo's caption), without the bot's own name in front.
    `sent_at` is aware. `carries` is one of the words above, None for plain text; `photo` is what the service wants to hear to hand
    the file over, and `album` an id that photos sent together share. `private` is false in a chat of several people, and
    `addressed` false where it was said there to nobody in particular.
    """

    address: str
    name: str
    chat: str
    key: str
    text: str
    sent_at: datetime
    revision: int = 0
    edits: str | None = None
    deletes: str | None = None
    reply_to: str | None = None
    carries: str | None = None
    photo: Mapping[str, Any] | None = None
    album: str | None = None
    private: bool = True
    addressed: bool = True


@dataclass(frozen=True, slots=True, kw_only=True)
class Press:
    """A choice tapped: a button (`data` is what hung on it) or a reaction (`place`, from 0, on the message `message_key`).

    `key` is the service's id of the tap, the rest as for `Carried`.
    """

    address: str
    name: str
    chat: str
    key: str
    sent_at: datetime
    data: str | None = None
    message_key: str | None = None
    place: int | None = None


@dataclass(frozen=True, slots=True)
class Taken:
    """What came of taking something in: `inbox_id` where it waits to be handled now; `line` is to be said at once.

    A line goes to who sent it, is kept nowhere, and need not be sent again if that fails.
    """

    inbox_id: int | None = None
    line: str | None = None


@dataclass(frozen=True, slots=True)
class Button:
    """A choice to tap: its words, and an opaque id of at most 64 bytes."""

    label: str
    data: str


@dataclass(frozen=True, slots=True)
class Parcel:
    """One message to be sent, within the length that the service takes.

    `buttons` are the choices of the reply, with ids. `replaces` is the service's id of the message in whose place it goes,
    None for a message of its own; `answers` the id of the keeper's message that it answers. `rings` says that it comes unasked
    and is to make a sound, then `mentions` is the member's address. `tries` counts the failures so far.
    """

    id: int
    chat: str
    reply: Reply
    buttons: tuple[Button, ...] = ()
    replaces: str | None = None
    answers: str | None = None
    rings: bool = False
    mentions: str | None = None
    tries: int = 0


@dataclass(frozen=True, slots=True)
class WantedPhoto:
    """A photo whose file is to be fetched: `reference` is what the channel gave with the message."""

    id: int
    reference: Mapping[str, Any]


class Superseded(Exception):
    """What this process did alone, another does now: what it was about to write was not written."""


class House(Protocol):
    """What a channel may ask of the house. Every call commits before it returns; all may be called from any thread."""

    def hold(self, duty: str) -> float | None:
        """Take on what one process at a time may do, or keep it: the seconds after which to ask again. None: another does it.

        `duty` is a name that all processes use for it, such as "telegram intake".
        """

    def let_go(self, duty: str) -> None:
        """Leave it to the others, at once."""

    def on(self, duty: str) -> House:
        """This house for whoever does that: what would be written once another does it raises Superseded instead."""

    def take(self, channel: str, items: Sequence[Carried | Press], position: str | None = None) -> list[Taken]:
        """Take messages into the inbox, in one transaction, with how far the service's messages are taken by then.

        What came before is known by its key and not taken again. Strangers' words are not kept.
        """

    def position(self, channel: str) -> str | None:
        """How far the service's messages were taken, None at the very first time."""

    def is_member(self, channel: str, address: str) -> bool:
        """Whether this is the address of a member."""

    def may_be_joined(self) -> bool:
        """Whether somebody may come in by a code that is out."""

    def is_handled(self, inbox_id: int) -> bool:
        """Whether a message that was taken in has been dealt with."""

    def parcels(self, channel: str) -> list[Parcel]:
        """What is to be sent now, of each chat the oldest, held for this caller for a minute."""

    def may_send(self, parcel: Parcel, seconds: float) -> bool:
        """Whether a parcel is still this caller's, and will be for so long. If not, somebody else sends it or has done so."""

    def sent(self, parcel: Parcel, key: str | None) -> None:
        """A parcel was delivered, under the service's id."""

    def put_off(self, parcel: Parcel, seconds: float, error: str | None = None) -> int:
        """A parcel waits so long and is then offered again, as are those after it in its chat; the number of failures so far.

        Without `error` it does not count as a failure.
        """

    def give_up(self, parcel: Parcel, error: str) -> None:
        """The service will never take this parcel."""

    def block(self, channel: str, chat: str) -> None:
        """A chat takes nothing from us any more: nothing is offered for it, and its pushes pause."""

    def unblock(self, channel: str, chat: str) -> None:
        """A chat takes messages again. May be said often."""

    def move_chat(self, channel: str, chat: str, to: str) -> None:
        """A chat goes on under another id."""

    def wanted_photos(self, channel: str) -> list[WantedPhoto]:
        """Photos whose files are to be fetched now."""

    def keep_photo(self, photo: WantedPhoto, content: bytes, media_type: str) -> None:
        """Keep the file of a photo."""

    def photo_failed(self, photo: WantedPhoto, *, for_good: bool = False) -> None:
        """A photo could not be fetched: it is wanted again later, or never, and then its sender is told."""

    def file(self, path: str) -> Path:
        """Where a file that a Reply names lies on this machine."""

    def introduce(self, channel: str, address: str, name: str) -> None:
        """Remember the bot's own account with a service."""
