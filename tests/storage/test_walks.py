"""Histories by occupant and by place, through moves; and that they walk an index."""

from __future__ import annotations

from datetime import time
from typing import TYPE_CHECKING

import pytest

from storage import journal
from storage.journal import EntryRow, NewEntry, Subject
from storage.store import Store
from tests.storage.keeper import NOW, ZONE, Keeper, day
from tests.storage.statements import sqlite_steps, statements_of

if TYPE_CHECKING:
    from sqlalchemy.engine import Connection


def ids(rows: list[EntryRow]) -> list[int]:
    return [row.id for row in rows]


@pytest.fixture
def moved(keeper: Keeper) -> dict[str, int]:
    """Group B lived in tub 4 from the 1st, and moved to the glass cube on the 5th at noon."""
    tub, cube = Subject(enclosure_id=keeper.tub), Subject(enclosure_id=keeper.cube)
    return {
        "placed": keeper.place(keeper.dwarfs, keeper.tub, day(1)),
        "tub misted before": keeper.write("misting", tub, day(4)),
        "cube misted before": keeper.write("misting", cube, day(4)),
        "tub misted that morning": keeper.write("misting", tub, day(5), part="morning"),
        "moved": keeper.move(Subject(keeper.dwarfs), keeper.cube, day(5)),
        "tub misted that evening": keeper.write("misting", tub, day(5), part="evening"),
        "cube misted that evening": keeper.write("misting", cube, day(5), at=time(18)),
        "fed": keeper.write("feeding", Subject(keeper.dwarfs), day(6)),
        "fed in the tub": keeper.write("feeding", Subject(keeper.dwarfs), day(3)),
        "tub misted after": keeper.write("misting", tub, day(7)),
        "cube misted after": keeper.write("misting", cube, day(7)),
    }


def test_what_was_done_to_a_place_counts_for_who_lived_there(keeper: Keeper, moved: dict[str, int]) -> None:
    """Mistings count for the group where it then lived, to the part of day; not those of the place it had left."""
    names = {entry_id: name for name, entry_id in moved.items()}
    found = [names[row.id] for row in journal.history(keeper.session, occupant_id=keeper.dwarfs, limit=99)]
    assert found == [
        "cube misted after",
        "fed",
        "cube misted that evening",
        "moved",
        "tub misted that morning",
        "tub misted before",
        "fed in the tub",
        "placed",
    ]


def test_what_a_group_did_shows_in_the_place_where_it_lived(keeper: Keeper, moved: dict[str, int]) -> None:
    """Each place shows the feedings of the time when the group lived in it, and both show the move."""
    names = {entry_id: name for name, entry_id in moved.items()}
    kinds = ("feeding", "move", "placed")
    tub = journal.history(keeper.session, enclosure_id=keeper.tub, kinds=kinds, limit=99)
    cube = journal.history(keeper.session, enclosure_id=keeper.cube, kinds=kinds, limit=99)
    assert [names[row.id] for row in tub] == ["moved", "fed in the tub", "placed"]
    assert [names[row.id] for row in cube] == ["fed", "moved"]


def test_a_corrected_move_changes_what_counts(keeper: Keeper, moved: dict[str, int]) -> None:
    """When the move is put a day later, and when it is taken back, histories follow."""
    later = NewEntry(
        "move", "log", day(8), None, None, ZONE, {"to_enclosure_id": keeper.cube}, (Subject(keeper.dwarfs),)
    )
    (corrected,) = journal.append(
        keeper.session, keeper.collection_id, keeper.member_id, None, NOW, [later], [moved["moved"]]
    )
    (last,) = journal.last_of_kind(keeper.session, occupant_id=keeper.dwarfs, kind="misting")
    assert last.id == moved["tub misted after"]
    keeper.take_back(corrected)
    found = journal.history(keeper.session, enclosure_id=keeper.cube, limit=99)
    assert ids(found) == [moved["cube misted after"], moved["cube misted that evening"], moved["cube misted before"]]


def test_the_last_of_a_kind_before_a_day(keeper: Keeper, moved: dict[str, int]) -> None:
    """The day itself does not count as before it; without a kind any entry counts; the limit holds."""
    session, occupant_id = keeper.session, keeper.dwarfs
    assert ids(journal.last_of_kind(session, occupant_id=occupant_id, kind="feeding")) == [moved["fed"]]
    before = journal.last_of_kind(session, occupant_id=occupant_id, kind="feeding", before=day(6))
    assert ids(before) == [moved["fed in the tub"]]
    assert journal.last_of_kind(session, occupant_id=occupant_id, kind="moult") == []
    assert ids(journal.last_of_kind(session, enclosure_id=keeper.tub)) == [moved["tub misted after"]]
    two = journal.last_of_kind(session, occupant_id=occupant_id, kind="misting", limit=2)
    assert ids(two) == [moved["cube misted after"], moved["cube misted that evening"]]


def test_history_is_paged_without_gap_or_repeat(keeper: Keeper, moved: dict[str, int]) -> None:
    """Pages of any size, put together, are the whole; a correction of the last entry of a page does not lose the place."""
    whole = ids(journal.history(keeper.session, occupant_id=keeper.dwarfs, limit=99))
    for size in (1, 2, 3, 99):
        pages: list[int] = []
        while page := journal.history(
            keeper.session, occupant_id=keeper.dwarfs, limit=size, before=pages[-1] if pages else None
        ):
            pages += ids(page)
        assert pages == whole
    keeper.write("feeding", Subject(keeper.dwarfs), day(6), supersedes=moved["fed"])
    after = journal.history(keeper.session, occupant_id=keeper.dwarfs, limit=99, before=moved["fed"])
    assert ids(after) == whole[2:]


def test_history_keeps_to_its_days(keeper: Keeper, moved: dict[str, int]) -> None:
    """Both ends are included."""
    found = journal.history(keeper.session, occupant_id=keeper.dwarfs, since=day(4), until=day(6), limit=99)
    assert {row.on for row in found} == {day(4), day(5), day(6)}
    assert moved["fed"] in ids(found)
    assert moved["tub misted before"] in ids(found)


def test_an_entry_on_a_group_and_its_place_shows_once(keeper: Keeper) -> None:
    """What names both is still one entry."""
    keeper.place(keeper.dwarfs, keeper.tub, None)
    both = (Subject(keeper.dwarfs), Subject(enclosure_id=keeper.tub), Subject(keeper.dwarfs))
    new = NewEntry("feeding", "log", day(2), None, None, ZONE, {}, both)
    (entry_id,) = journal.append(keeper.session, keeper.collection_id, keeper.member_id, None, NOW, [new])
    assert ids(journal.history(keeper.session, occupant_id=keeper.dwarfs, kinds=["feeding"], limit=9)) == [entry_id]
    assert journal.entry(keeper.session, entry_id).subjects == both[:2]


def test_a_history_is_of_one_thing(keeper: Keeper) -> None:
    """Neither nothing nor both."""
    with pytest.raises(ValueError, match="occupant or"):
        journal.history(keeper.session, limit=1)
    with pytest.raises(ValueError, match="occupant or"):
        journal.last_of_kind(keeper.session, occupant_id=1, enclosure_id=1)


@pytest.mark.sqlite_only("by the words in which it explains its plans")
def test_every_walk_searches_an_index_and_sorts_nothing(store: Store) -> None:
    """SQLite's own plan of each statement behind `history` and `last_of_kind`: no table is scanned, nothing is sorted."""
    with store.write() as session:
        keeper = Keeper(session)
        keeper.place(keeper.dwarfs, keeper.tub, day(1))
        keeper.move(Subject(keeper.dwarfs), keeper.cube, day(5))
        keeper.write("feeding", Subject(keeper.dwarfs), day(6))
    with store.read() as session:
        with statements_of(store.engine) as statements:
            journal.last_of_kind(session, occupant_id=keeper.dwarfs, kind="feeding", before=day(9))
            journal.last_of_kind(session, enclosure_id=keeper.cube)
            journal.history(
                session, enclosure_id=keeper.tub, kinds=["feeding", "move"], since=day(1), limit=5, before=3
            )
        for statement, parameters in statements:
            _assert_indexed(session.connection(), statement, parameters)
    assert sum("FROM entry_subjects" in statement for statement, _ in statements) > 6


def _assert_indexed(connection: Connection, statement: str, parameters: object) -> None:
    if not statement.startswith("SELECT"):
        return
    steps = sqlite_steps(connection, statement, parameters)
    assert not [step for step in steps if step.startswith("SCAN")], (statement, steps)
    if "ORDER BY entry_subjects.moment" in statement:
        assert not [step for step in steps if "TEMP B-TREE" in step], (statement, steps)
        walk = [step for step in steps if step.startswith("SEARCH entry_subjects")]
        kind = "kind" if "entry_subjects.kind = ?" in statement else "all"
        assert [f"USING COVERING INDEX ix_entry_subjects_{kind} " in step for step in walk] == [True], steps


def test_many_moves_cost_few_walks(store: Store) -> None:
    """The last feeding of a group that moved every day for a month is found in the latest stay: the earlier ones are not walked."""
    with store.write() as session:
        keeper = Keeper(session)
        for number in range(1, 29):
            keeper.move(Subject(keeper.dwarfs), (keeper.tub, keeper.cube)[number % 2], day(number))
        keeper.write("feeding", Subject(keeper.dwarfs), day(29))
    with store.read() as session, statements_of(store.engine) as statements:
        found = journal.last_of_kind(session, occupant_id=keeper.dwarfs, kind="feeding")
    assert [row.on for row in found] == [day(29)]
    assert sum("ORDER BY entry_subjects.moment" in statement for statement, _ in statements) == 2
