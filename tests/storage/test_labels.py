"""Labels keep their code, and whoever stands before an enclosure does so for a while."""

from __future__ import annotations

from datetime import timedelta

from storage import households, labels
from tests.storage.keeper import NOW, Keeper


def test_a_label_keeps_its_code(keeper: Keeper) -> None:
    """The first code an enclosure gets is its code ever after; another enclosure has its own."""
    codes = iter(["here-1", "here-2", "here-3"])
    of = [keeper.tub, keeper.tub, keeper.cube, keeper.tub]
    made = [labels.label_of(keeper.session, keeper.collection_id, place, lambda: next(codes)) for place in of]
    assert made == ["here-1", "here-1", "here-2", "here-1"]
    assert labels.by_code(keeper.session, "here-2") == labels.LabelRow("here-2", keeper.collection_id, keeper.cube)
    assert labels.by_code(keeper.session, "here-3") is None


def test_a_member_stands_before_one_enclosure_up_to_a_moment(keeper: Keeper) -> None:
    """Until the moment and not at it; another enclosure takes the place of the first; each member stands alone."""
    guest = households.add_member(keeper.session, keeper.collection_id, "telegram", "5", "Guest", "keeper", NOW)
    until = NOW + timedelta(minutes=10)
    assert labels.stands_before(keeper.session, keeper.member_id, NOW) is None
    labels.stand_before(keeper.session, keeper.member_id, keeper.tub, until)
    assert labels.stands_before(keeper.session, keeper.member_id, until - timedelta(seconds=1)) == keeper.tub
    assert labels.stands_before(keeper.session, keeper.member_id, until) is None
    assert labels.stands_before(keeper.session, guest, NOW) is None
    labels.stand_before(keeper.session, keeper.member_id, keeper.cube, until + timedelta(minutes=5))
    assert labels.stands_before(keeper.session, keeper.member_id, until) == keeper.cube
    labels.walk_away(keeper.session, keeper.member_id)
    assert labels.stands_before(keeper.session, keeper.member_id, NOW) is None
