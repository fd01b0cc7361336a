"""Notes found by their fields."""

from __future__ import annotations

from typing import TYPE_CHECKING

import pytest

from storage import asides
from storage.journal import Subject
from tests.storage.keeper import Keeper, day
from tests.storage.statements import sqlite_steps, statements_of

if TYPE_CHECKING:
    from storage.store import Store


@pytest.mark.both_databases
def test_notes_come_in_the_order_in_which_they_happened(keeper: Keeper) -> None:
    """One without a day is from before the records, so it comes first; what lacks the field does not come."""
    cube = Subject(enclosure_id=keeper.cube)
    later = keeper.write("note", cube, day(9), meter="m2")
    undated = keeper.write("note", cube, None, meter="m0")
    earlier = keeper.write("note", cube, day(3), meter="m1")
    keeper.write("note", cube, day(1), stock="meterless")
    found = asides.notes_with(keeper.session, keeper.collection_id, ["meter"])
    assert [row.id for row in found] == [undated, earlier, later]


@pytest.mark.sqlite_only("by the words in which it explains its plans")
def test_notes_are_found_by_their_own_index(store: Store) -> None:
    """However many acts there are beside them, none is passed by."""
    with store.write() as session:
        collection_id = Keeper(session).collection_id
    with store.read() as session:
        with statements_of(store.engine) as statements:
            asides.notes_with(session, collection_id, ["meter"])
        steps = [step for one in statements for step in sqlite_steps(session.connection(), *one)]
    entries = [step for step in steps if step.startswith(("SEARCH entries", "SCAN entries"))]
    assert entries == ["SEARCH entries USING INDEX ix_entries_notes (collection_id=? AND mood=? AND kind=?)"]
