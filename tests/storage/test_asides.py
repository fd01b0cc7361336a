"""Notes found by their fields."""

from __future__ import annotations

import pytest

from storage import asides
from storage.journal import Subject
from tests.storage.keeper import Keeper, day


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
