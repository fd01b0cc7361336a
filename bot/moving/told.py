"""What a file to be brought in holds, whatever its form: messages with their moments, and what is wrong with the rest."""

from __future__ import annotations

import json
from collections import Counter
from collections.abc import Iterable, Iterator
from dataclasses import dataclass, field, replace
from datetime import UTC, datetime
from hashlib import sha256
from zoneinfo import ZoneInfo

from bot.moving.faults import MovingFault


class ImportFault(MovingFault):
    """A file cannot be brought in; the message is a sentence for the keeper, and nothing was written."""


@dataclass(frozen=True, slots=True)
class Told:
    """One thing that was said or written down.

    `at` is a moment (aware), or what the clock on the wall showed (naive); `key` tells it from all others of its file, the same
    whenever the file is read; `where` says where it stands ("line 12"). `sender` is who said it, by name, and `sender_id` by the
    service's id. `reply_to` is the key of the message it answers. `about` is the animal or place that a table names for it, and
    `note` says that its words are to be kept as they are.
    """

    at: datetime
    text: str
    key: str
    where: str
    sender: str = ""
    sender_id: str = ""
    reply_to: str | None = None
    about: str | None = None
    note: bool = False

    def moment(self, zone: ZoneInfo) -> datetime:
        """When it was, in UTC; of an hour that comes twice the first."""
        return (self.at if self.at.tzinfo else self.at.replace(tzinfo=zone)).astimezone(UTC)


@dataclass(frozen=True, slots=True)
class Contents:
    """What a file holds.

    `form` names its form in a word or two, `chat` the chat it is of (may be empty). `left_out` counts what is no message of words
    ("pictures without words"), `unreadable` has a sentence for each line that cannot be used. `records` is true where every line
    is meant for the book, as in a diary, and false for a chat, in which people say all sorts of things.
    """

    form: str
    chat: str
    told: tuple[Told, ...]
    left_out: Counter[str] = field(default_factory=Counter)
    unreadable: tuple[str, ...] = ()
    records: bool = False

    def of(self, senders: Iterable[str]) -> Contents:
        """The same with the messages of these senders alone; names or ids, in any case of letters."""
        wanted = {sender.casefold() for sender in senders}
        kept = tuple(one for one in self.told if {one.sender.casefold(), one.sender_id.casefold()} & wanted)
        return replace(self, told=kept)

    @property
    def senders(self) -> Counter[str]:
        """How many messages there are of each sender."""
        return Counter(one.sender for one in self.told)


def numbered(told: Iterable[Told]) -> Iterator[Told]:
    """Each with a key made of sender, time and words; of several that are alike the first, the second and so on."""
    seen: Counter[str] = Counter()
    for one in told:
        what = json.dumps([one.sender, one.at.isoformat(), one.text, one.about, one.note], ensure_ascii=True)
        seen[what] += 1
        yield replace(one, key=sha256(f"{what}{seen[what]}".encode()).hexdigest()[:32])


def in_order(told: Iterable[Told], zone: ZoneInfo) -> list[Told]:
    """By time; of two at the same time the one that stands first in the file comes first."""
    return sorted(told, key=lambda one: one.moment(zone))
