"""A front desk for tests: a household with the demo roster, people who write to it over a message service, and what they are told."""

from __future__ import annotations

from dataclasses import dataclass, field
from itertools import count
from pathlib import Path
from typing import Any

from bot.admission import make_code
from bot.app import SetClock
from bot.channels.port import Carried, Parcel, Press, Taken
from bot.desk import Desk
from bot.household import Household
from storage import chats, households
from tests import databases

ANA, BEN, EVE = "100", "200", "666"
"""Ana is an owner and Ben a keeper; Eve is a stranger. Each one's private chat has the id of the person, as on Telegram."""

CHANNEL = "telegram"


@dataclass
class Front:
    """The desk, and the short words of the tests. `folder` is the data folder."""

    desk: Desk
    clock: SetClock
    household: Household
    keys: Any = field(default_factory=lambda: count(1))

    @property
    def folder(self) -> Path:
        return self.desk.folder

    def let_in(self, address: str, name: str, role: str, channel: str = CHANNEL) -> int:
        """Make somebody a member, without a code; the member's id."""
        kept = self.household.collection.id
        with self.desk.app.store.write() as session:
            return households.add_member(session, kept, channel, address, name, role, self.clock.now())

    def code(self, role: str = "keeper") -> str:
        with self.desk.app.store.write() as session:
            return make_code(session, self.household.collection.id, role, self.clock.now())[0]

    def message(self, text: str, address: str = ANA, **more: Any) -> Carried:  # noqa: ANN401 - handed on as it is
        """Words of somebody, in the private chat unless `chat` says where."""
        values = {"chat": address, "key": str(next(self.keys)), "sent_at": self.clock.now(), "name": f"No {address}"}
        return Carried(address=address, text=text, **(values | more))

    def press(self, parcel: Parcel, button: int, address: str = ANA, **more: Any) -> Press:  # noqa: ANN401 - as above
        """A tap on a button of a message that was sent."""
        values = {"chat": parcel.chat, "key": str(next(self.keys)), "data": parcel.buttons[button].data}
        return Press(address=address, name=f"No {address}", sent_at=self.clock.now(), **(values | more))

    def take(self, *items: Carried | Press, position: str | None = None, channel: str = CHANNEL) -> list[Taken]:
        return self.desk.take(channel, items, position)

    def out(self, channel: str = CHANNEL) -> list[Parcel]:
        """All that is to be sent by now, sent under ids of their own (or of what they replace), in order."""
        found: list[Parcel] = []
        while parcels := self.desk.parcels(channel):
            for parcel in parcels:
                self.desk.sent(parcel, parcel.replaces or f"b{parcel.id}")
            found += parcels
        return found

    def hear(self, *items: Carried | Press, channel: str = CHANNEL) -> list[Parcel]:
        """Take in, handle, and send: what was sent."""
        self.take(*items, channel=channel)
        self.desk.app.work()
        return self.out(channel)

    def say(self, text: str, address: str = ANA, **more: Any) -> str:  # noqa: ANN401 - as above
        """The text of the one message that answers these words."""
        (parcel,) = self.hear(self.message(text, address, **more))
        return parcel.reply.text

    def block_since_now(self, chat: str) -> None:
        with self.desk.app.store.write() as session:
            chats.block(session, CHANNEL, chat, self.clock.now())

    def rows(self, table: str) -> int:
        """How many rows a table has."""
        with self.desk.app.store.read() as session:
            found = session.connection().exec_driver_sql(f"SELECT count(*) FROM {table}").scalar()  # noqa: S608 - a test's own words
        return int(found or 0)

    def bytes_written(self) -> bytes:
        """Every byte in the data folder: the database, its log, and whatever else; on a server every value of the database too."""
        return databases.bytes_written(self.folder)


def open_front(household: Household, clock: SetClock, folder: Path) -> Front:
    """A front desk where Ana and Ben are members on Telegram."""
    front = Front(Desk(household.app, folder), clock, household)
    front.let_in(ANA, "Ana", "owner")
    front.let_in(BEN, "Ben", "keeper")
    return front
