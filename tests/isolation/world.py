"""A bot with several collections on it, talked to through its desk; what each of them is told is kept apart."""

from __future__ import annotations

from collections.abc import Iterable
from dataclasses import dataclass, field
from datetime import UTC, datetime, timedelta
from hashlib import sha256
from pathlib import Path
from typing import Any

from bot.app import App, SetClock
from bot.channels.port import Parcel
from bot.conversation.scene import Language, load_names
from bot.desk import Desk
from storage import households, inbox, labels, outbox
from storage.inbox import Incoming
from storage.store import Store
from tests.isolation.acts import CHANNEL, Act, Lodger, label_code

MORNING = datetime(2026, 3, 3, 10, 5, tzinfo=UTC)
"""A Tuesday on which it is the same day in both zones."""

PIXELS = b"\x89PNG\r\n\x1a\n of no picture, kept as it comes"

ANN = {
    "heads": 57, "species": "Heterothele villosella", "lone": "Babycurus jacksoni", "prey": "cricket", "colony": "mealworm", "size": 14, "wet": 61,
    "buyer": "Odile", "note": "amber glow", "zone": "Europe/Paris",
}  # fmt: skip
BEN = {
    "heads": 41, "species": "Damon medius", "lone": "Hottentotta hottentotta", "prey": "roach", "colony": "waxworm", "size": 27, "wet": 83,
    "buyer": "Tadeo", "note": "zephyrine", "zone": "Europe/Athens",
}  # fmt: skip
"""The words of two collections in which all names are the same, and no value is."""


def ann() -> Lodger:
    """The collection that is looked at."""
    return Lodger(1, ANN, "Europe/Lisbon")


def ben() -> Lodger:
    """The other one, whose words are to be seen nowhere else."""
    return Lodger(2, BEN, "Europe/Berlin")


@dataclass
class World:
    """The bot, its clock, and the collections on it."""

    app: App
    clock: SetClock
    folder: Path
    lodgers: list[Lodger] = field(default_factory=list)

    @property
    def desk(self) -> Desk:
        return Desk(self.app, self.folder)

    def let_in(self, *lodgers: Lodger) -> None:
        """Make collections, each with an owner, a keeper and a viewer, who are called the same in all."""
        for who in lodgers:
            with self.app.store.write() as session:
                who.collection_id = households.create_collection(session, "The rack", who.zone)
                for by in ("owner", "keeper", "viewer"):
                    who.members[by] = households.add_member(
                        session, who.collection_id, CHANNEL, who.address(by), by.title(), by, self.clock.now()
                    )
            self.lodgers.append(who)

    def does(self, who: Lodger, *acts: Act) -> None:
        """Have a collection's people do this, one after the other, each answered before the next."""
        for act in acts:
            self.together([(who, act)])

    def together(self, acting: Iterable[tuple[Lodger, Act]]) -> None:
        """Have all this come in before any of it is handled; ten seconds later it is answered."""
        now = self.clock.now()
        for who, act in acting:
            item = act(self, who, now)
            if item is not None:
                [taken] = self.desk.take(CHANNEL, [item])
                who.told += [] if taken.line is None else [("at once", taken.line)]
        self.app.work()
        self._send()
        self.clock.moment = max(self.clock.moment, now) + timedelta(seconds=10)

    def label(self, who: Lodger, place: str) -> str:
        """The code on the label of an enclosure, printed where it had none; not drawn by lot, so that it can be told beforehand."""
        code = label_code(who.number, place)
        with self.app.store.write() as session:
            found = load_names(session, who.collection_id).place(place)
            return code if found is None else labels.label_of(session, who.collection_id, found.id, lambda: code)

    def fetch(self) -> None:
        """Keep every photo that is wanted."""
        for one in self.desk.wanted_photos(CHANNEL):
            self.desk.keep_photo(one, PIXELS, "image/png")

    def _send(self) -> None:
        while parcels := self.desk.parcels(CHANNEL):
            for parcel in parcels:
                with self.app.store.read() as session:
                    row = outbox.row(session, parcel.id)
                who = next(one for one in self.lodgers if row is not None and one.collection_id == row.collection_id)
                key = parcel.replaces or who.key(parcel.chat)
                self.desk.sent(parcel, key)
                who.shown.append((parcel, key))
                who.told.append(self._as_shown(parcel))

    def _as_shown(self, parcel: Parcel) -> dict[str, Any]:
        """Everything of a parcel that people see or that depends on the records, the files by what is in them."""
        reply = parcel.reply
        files = [sha256((self.folder / one.path).read_bytes()).hexdigest() for one in reply.files]
        return {
            "chat": parcel.chat,
            "text": reply.text,
            "choices": reply.choices,
            "table": (reply.header, reply.rows),
            "entries": reply.entries,
            "files": files,
            "hangs on": (parcel.replaces, parcel.answers),
            "rings": (parcel.rings, parcel.mentions),
        }


def open_world(store: Store, folder: Path, language: Language | None = None) -> World:
    """A bot on a store without any collection; pictures and photos go into the folder."""
    if language is None:
        from bot import language as own  # noqa: PLC0415 - where no test brings a reader of its own

        language = own
    folder.mkdir(mode=0o700, exist_ok=True)
    clock = SetClock(MORNING)
    return World(App(store, clock, language, folder=folder), clock, folder)


def rush(world: World, who: Lodger, messages: int = 250) -> None:
    """A busy hour of the other collection, dealt with: so many messages that ours lie far back."""
    with world.app.store.write() as session:
        for _ in range(messages):
            known = {"collection_id": who.collection_id, "member_id": who.members["owner"], "channel": CHANNEL}
            message = Incoming(**known, chat=who.address(), key=who.key("0"), text="hello", sent_at=world.clock.now())
            inbox_id = inbox.receive(session, message)
            assert inbox_id is not None
            inbox.mark_done(session, inbox_id)
