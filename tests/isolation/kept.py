"""What is kept of one collection: the ids, keys and codes by which its rows are asked for."""

from __future__ import annotations

from dataclasses import dataclass
from datetime import timedelta
from typing import TYPE_CHECKING

from sqlalchemy import select

from bot.admission import make_code
from storage import inbox, outbox, photos, pushes
from storage.inbox import Incoming
from storage.pushes import NewPush
from storage.tables import Base
from tests.isolation.acts import CHANNEL, FETCH, SWEEP, Lodger, photo, say
from tests.isolation.script import DAYS, IN_GROUP, SET_UP
from tests.isolation.world import MORNING, World

if TYPE_CHECKING:
    from datetime import datetime

    from sqlalchemy.orm import Session


@dataclass(frozen=True)
class Kept:
    """The ids of all rows of a collection, by table, in the order they were made; its open code; and when all this ended."""

    who: Lodger
    ids: dict[str, list[int]]
    code: str
    now: datetime

    @property
    def collection_id(self) -> int:
        return self.who.collection_id

    @property
    def owner(self) -> int:
        return self.who.members["owner"]

    def first(self, table: str) -> int:
        """The id of its first row in a table."""
        return self.ids[table][0]


def fill(world: World, who: Lodger) -> Kept:
    """Have a collection's people say the whole script, from the same morning on, and leave something open of every sort."""
    world.clock.moment = MORNING
    for act in (*SET_UP, *DAYS, *IN_GROUP):
        world.does(who, _own_sweep if act is SWEEP else act)
    world.does(who, *[photo("fed B 3")] * who.number, FETCH, say("fed the scorpion {size} {prey}s"))
    with world.app.store.write() as session:
        _leave_open(session, who, world.clock.now())
        code, _ = make_code(session, who.collection_id, "viewer", world.clock.now())
    with world.app.store.read() as session:
        return Kept(who, _ids(session, who.collection_id), code, world.clock.now())


def _own_sweep(world: World, who: Lodger, _at: datetime) -> None:
    for member_id in who.members.values():
        world.app.sweep(member_id=member_id)


def _leave_open(session: Session, who: Lodger, now: datetime) -> None:
    """A message set aside, one of the bot's that was given up, one that waits, and a push and a lost photo of its own."""
    slot = f"2026-06-{who.number:02}"
    pushes.plan(session, [NewPush(who.collection_id, who.members["owner"], "morning", "", slot, now)])
    known = {"collection_id": who.collection_id, "member_id": who.members["owner"], "channel": CHANNEL}
    message = Incoming(**known, chat=who.address(), key="last", text=who.words["note"], sent_at=now)
    inbox_id = inbox.receive(session, message)
    assert inbox_id is not None
    photo_id = photos.want(session, who.collection_id, inbox_id, CHANNEL, {"file": "gone"})
    photos.keep(session, photo_id, f"{who.number:064}", "image/png", 1)
    photos.lose(session, photo_id)
    inbox.mark_failed(session, inbox_id, who.words["note"])
    inbox.set_aside(session, inbox_id)
    for until in (None, now + timedelta(days=who.number)):
        body = {"text": who.words["note"]}
        made = outbox.put(session, who.collection_id, CHANNEL, who.address("viewer"), inbox_id, body)
        if until is None:
            outbox.give_up(session, made, who.words["note"])
        else:
            outbox.put_off(session, made, until)


def _ids(session: Session, collection_id: int) -> dict[str, list[int]]:
    tables = [one for one in Base.metadata.sorted_tables if {"id", "collection_id"} <= set(one.columns.keys())]
    return {
        table.name: list(
            session.scalars(select(table.c.id).where(table.c.collection_id == collection_id).order_by(table.c.id))
        )
        for table in tables
    }
