"""A row in every table that a copy carries, and words that databases do not take as they are."""

from __future__ import annotations

from datetime import time
from typing import TYPE_CHECKING

from sqlalchemy import select

from storage import tables
from storage.journal import Subject
from storage.tables import Base
from tests.storage.furnish import furnish
from tests.storage.keeper import NOW, Keeper, day

if TYPE_CHECKING:
    from sqlalchemy.orm import Session

    from storage.store import Store

ODD = "half a waxworm \0 \ud83d \x1a00 “Ω” 🕷"
"""With NUL, a lone surrogate, and the mark that stands for such."""


def fill(store: Store) -> None:
    """Write one of each thing into an empty store."""
    with store.write() as session:
        keeper = Keeper(session)
        _journal(keeper)
        furnish(session)
        _talk(session, keeper)
    with store.read() as session:
        empty = [table.name for table in Base.metadata.sorted_tables if not session.execute(select(table)).first()]
    assert empty == []


def _journal(keeper: Keeper) -> None:
    told = [keeper.message("fed B"), keeper.message(ODD)]
    first = keeper.write("feeding", Subject(keeper.dwarfs), at=time(21, 30, 1, 250), message_id=told[0], eaten=2.5)
    again = keeper.write("feeding", Subject(keeper.dwarfs), message_id=told[1], supersedes=first, said=ODD)
    keeper.take_back(again)
    keeper.place(keeper.dwarfs, keeper.tub, day(1))
    keeper.write("task", Subject(enclosure_id=keeper.tub), None, mood="plan", every_days=5)


def _talk(session: Session, keeper: Keeper) -> None:
    here, who = keeper.collection_id, keeper.member_id
    session.add(
        tables.Outbox(collection_id=here, channel="console", chat="ana", body={"text": ODD}, sent=False, due_at=NOW)
    )
    session.add(tables.Question(collection_id=here, member_id=who, pending={"words": [ODD, None, 1.5]}, asked_at=NOW))
    session.add(
        tables.Push(
            collection_id=here,
            member_id=who,
            purpose="plan",
            subject="4",
            slot="2026-03-10",
            planned_at=NOW,
            wakes_at=NOW,
            state="planned",
        )
    )
    session.add(tables.Sweep(member_id=who, until=NOW, zone="Europe/Lisbon"))
    session.add(tables.Preference(member_id=who, morning_at=time(7, 30), receives=["morning"]))
    session.add(tables.Taught(collection_id=here, phrase="RR", phrase_key="rr", means="red runner roach", told_at=NOW))
    session.add(tables.Lineage(child_id=keeper.dwarfs, parent_id=keeper.scorpion, how="brood", on=day(2)))
    session.add(tables.RosterChange(collection_id=here, what={"renamed": ODD}, words=ODD, told_at=NOW, member_id=who))
