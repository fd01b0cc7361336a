"""How PostgreSQL finds what is asked for: along the indexes that were made for it, in journals where that pays."""

from __future__ import annotations

from typing import TYPE_CHECKING

import pytest
from sqlalchemy import text

from storage import inbox, journal, outbox, pushes
from storage.engines import POSTGRESQL
from storage.journal import Subject
from tests.storage.keeper import NOW, Keeper, day
from tests.storage.statements import statements_of

if TYPE_CHECKING:
    from sqlalchemy import Connection

    from storage.store import Store

pytestmark = pytest.mark.parametrize("database", [POSTGRESQL], indirect=True, scope="session")


def test_what_is_asked_often_is_found_by_index(store: Store) -> None:
    """Of a table as small as this the server would read all, so it is told not to where an index can serve."""
    with store.write() as session:
        keeper = Keeper(session)
        keeper.place(keeper.dwarfs, keeper.tub, day(1))
        keeper.write("feeding", Subject(keeper.dwarfs), day(3), message_id=keeper.message())
    with store.write() as session:
        with statements_of(store.engine) as asked:
            journal.last_of_kind(session, occupant_id=keeper.dwarfs, kind="feeding", before=day(9))
            journal.last_of_kind(session, enclosure_id=keeper.cube)
            journal.history(
                session, enclosure_id=keeper.tub, kinds=["feeding", "move"], since=day(1), limit=5, before=1
            )
            journal.between(session, keeper.collection_id, day(1), day(9))
            inbox.next_waiting(session)
            outbox.claimable(session, "telegram", NOW)
            pushes.of_member(session, keeper.member_id)
        session.execute(text("SET LOCAL enable_seqscan = off"))
        plans = [_plan(session.connection(), *one) for one in asked]
    assert len(plans) > 12
    assert [plan for plan in plans if "Seq Scan" in plan] == []
    assert sum("ix_entry_subjects_kind" in plan or "ix_entry_subjects_all" in plan for plan in plans) > 3


def _plan(connection: Connection, statement: str, parameters: object) -> str:
    rows = connection.exec_driver_sql(f"EXPLAIN {statement}", parameters).scalars()  # type: ignore[arg-type]
    return "\n".join(map(str, rows))
