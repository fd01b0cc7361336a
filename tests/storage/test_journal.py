"""The journal is append-only: corrections supersede, undo retracts, nothing is overwritten."""

from __future__ import annotations

from datetime import date, time

import pytest
from sqlalchemy import text
from sqlalchemy.exc import IntegrityError

from storage import journal
from storage.journal import NewEntry, Subject
from storage.store import Store
from storage.tables import APPEND_ONLY
from tests.storage.keeper import NOW, TODAY, ZONE, Keeper, day


def test_an_entry_comes_back_as_it_was_written(keeper: Keeper) -> None:
    """Every part of an entry is kept, and who wrote it, by which message and when."""
    message_id = keeper.message()
    subjects = (Subject(keeper.dwarfs), Subject(enclosure_id=keeper.cube))
    new = NewEntry(
        "feeding", "log", TODAY, time(18, 30), "evening", ZONE, {"prey": "roach"}, subjects, "fed B and the cube"
    )
    (entry_id,) = journal.append(keeper.session, keeper.collection_id, keeper.member_id, message_id, NOW, [new])
    keeper.session.expire_all()
    found = journal.entry(keeper.session, entry_id)
    assert NewEntry(*(getattr(found, name) for name in NewEntry.__dataclass_fields__)) == new
    assert (found.member_id, found.message_id, found.told_at) == (keeper.member_id, message_id, NOW)
    assert (found.supersedes, found.superseded_by, found.retracted, found.current) == (None, None, False, True)


def test_ids_come_back_in_order_in_bulk(keeper: Keeper) -> None:
    """Thousands of entries at once get their ids in the order given."""
    new = [
        NewEntry("note", "log", TODAY, None, None, ZONE, {"number": number}, (Subject(keeper.dwarfs),))
        for number in range(3000)
    ]
    ids = journal.append(keeper.session, keeper.collection_id, keeper.member_id, None, NOW, new)
    found = journal.between(keeper.session, keeper.collection_id, TODAY, TODAY)
    assert [row.id for row in found] == ids
    assert [row.fields["number"] for row in found] == list(range(3000))


def test_nothing_to_append_appends_nothing(keeper: Keeper) -> None:
    """An empty list of entries is no error."""
    assert journal.append(keeper.session, keeper.collection_id, keeper.member_id, None, NOW, []) == []


def test_a_correction_supersedes(keeper: Keeper) -> None:
    """The corrected entry stays, no longer current, and names its correction."""
    message_id = keeper.message()
    first = keeper.write("feeding", Subject(keeper.dwarfs), message_id=message_id)
    second = keeper.write("feeding", Subject(keeper.scorpion), supersedes=first, message_id=message_id)
    third = keeper.write("feeding", Subject(keeper.scorpion), day(9), supersedes=second, message_id=message_id)
    rows = journal.entries_of_message(keeper.session, message_id, current=False)
    assert [(row.id, row.superseded_by, row.current) for row in rows] == [
        (first, second, False),
        (second, third, False),
        (third, None, True),
    ]
    assert [row.origin_id for row in rows] == [first] * 3
    assert [row.id for row in journal.entries_of_message(keeper.session, message_id)] == [third]


def test_a_correction_keeps_its_place_in_the_day(keeper: Keeper) -> None:
    """What corrects an entry of the same day is ordered as if it had been told then."""
    first = keeper.write("feeding", Subject(keeper.dwarfs))
    other = keeper.write("misting", Subject(keeper.dwarfs))
    corrected = keeper.write("feeding", Subject(keeper.dwarfs), supersedes=first, quantity=[4, 4])
    found = journal.history(keeper.session, occupant_id=keeper.dwarfs, limit=5)
    assert [row.id for row in found] == [other, corrected]


def test_retracting_a_correction_retracts_the_act(keeper: Keeper) -> None:
    """The earlier wording does not come back by itself."""
    first = keeper.write("feeding", Subject(keeper.dwarfs))
    second = keeper.write("feeding", Subject(keeper.dwarfs), supersedes=first)
    keeper.take_back(second)
    assert journal.history(keeper.session, occupant_id=keeper.dwarfs, limit=5) == []
    assert journal.entry(keeper.session, second).retracted


def test_retracting_twice_is_retracting_once(keeper: Keeper) -> None:
    """An undo that comes again changes nothing."""
    entry_id = keeper.write("feeding", Subject(keeper.dwarfs))
    keeper.take_back(entry_id, entry_id)
    keeper.take_back(entry_id)
    keeper.take_back()
    assert keeper.session.scalar(text("SELECT count(*) FROM retractions")) == 1


def test_an_unknown_entry_is_an_error(keeper: Keeper) -> None:
    """Asking for, or correcting, an entry that is not there raises LookupError."""
    with pytest.raises(LookupError):
        journal.entry(keeper.session, 99)
    with pytest.raises(LookupError):
        keeper.write("feeding", Subject(keeper.dwarfs), supersedes=99)
    with pytest.raises(LookupError):
        journal.history(keeper.session, occupant_id=keeper.dwarfs, limit=1, before=99)


def test_corrections_match_entries_one_to_one(keeper: Keeper) -> None:
    """A list of corrections of another length is refused."""
    new = NewEntry("note", "log", TODAY, None, None, ZONE)
    with pytest.raises(ValueError, match="argument"):
        journal.append(keeper.session, keeper.collection_id, keeper.member_id, None, NOW, [new], [None, None])


def test_a_subject_is_exactly_one_thing() -> None:
    """Neither nothing nor both."""
    with pytest.raises(ValueError, match="either"):
        Subject()
    with pytest.raises(ValueError, match="either"):
        Subject(1, 2)


@pytest.mark.parametrize("table", APPEND_ONLY)
@pytest.mark.parametrize("act", ["UPDATE {} SET {} = {}", "DELETE FROM {}"])
def test_the_database_itself_refuses_to_overwrite(store: Store, table: str, act: str) -> None:
    """Neither UPDATE nor DELETE gets past the triggers, whatever program sends it."""
    with store.write() as session:
        keeper = Keeper(session)
        keeper.take_back(keeper.write("note", Subject(keeper.dwarfs)))
        session.execute(text("INSERT INTO vocabulary (collection_id, phrase, phrase_key) VALUES (1, 'RR', 'rr')"))
    column = "entry_id" if table == "entry_subjects" else "id"
    with (
        pytest.raises(IntegrityError, match=f"{table} is append-only"),
        store.write() as session,
    ):
        session.execute(text(act.format(table, column, column)))


def test_the_last_message_is_the_last_that_still_holds(keeper: Keeper) -> None:
    """After an undo, the message before is the last one; messages of others do not count."""
    messages = [keeper.message(), keeper.message()]
    entries = [keeper.write("feeding", Subject(keeper.dwarfs), message_id=message_id) for message_id in messages]
    assert journal.last_message_with_entries(keeper.session, keeper.member_id) == messages[1]
    keeper.take_back(entries[1])
    assert journal.last_message_with_entries(keeper.session, keeper.member_id) == messages[0]
    keeper.take_back(entries[0])
    assert journal.last_message_with_entries(keeper.session, keeper.member_id) is None


def test_between_takes_both_days_and_only_what_is_asked(keeper: Keeper) -> None:
    """Days are included at both ends; mood and kind pick; the order is that of the days."""
    late = keeper.write("feeding", Subject(keeper.dwarfs), day(9))
    early = keeper.write("misting", Subject(keeper.dwarfs), day(7))
    keeper.write("feeding", Subject(keeper.dwarfs), day(6))
    plan = keeper.write("feeding", Subject(keeper.dwarfs), day(9), mood="plan")
    keeper.take_back(keeper.write("feeding", Subject(keeper.dwarfs), day(8)))

    def found(since: date | None, until: date | None, *moods: str, kinds: list[str] | None = None) -> list[int]:
        rows = journal.between(keeper.session, keeper.collection_id, since, until, moods, kinds)
        return [row.id for row in rows]

    assert found(day(7), day(9), "log") == [early, late]
    assert found(day(7), day(9), "log", "plan") == [early, late, plan]
    assert found(day(7), None, "log", kinds=["feeding"]) == [late]
    assert found(None, day(6), "plan") == []


def test_plans_without_a_day_are_found(keeper: Keeper) -> None:
    """A repeating plan has no day of its own, and is in no span of days."""
    plan = keeper.write("misting", Subject(keeper.dwarfs), None, mood="plan", every_days=3.5)
    gone = keeper.write("feeding", Subject(keeper.dwarfs), None, mood="plan")
    keeper.take_back(gone)
    assert [row.id for row in journal.undated(keeper.session, keeper.collection_id)] == [plan]
    assert journal.between(keeper.session, keeper.collection_id, None, None, ["plan"]) == []
    assert journal.history(keeper.session, occupant_id=keeper.dwarfs, moods=["plan"], limit=9) == []


def test_collections_do_not_see_each_other(keeper: Keeper) -> None:
    """What one household writes is not between the days of another."""
    keeper.write("feeding", Subject(keeper.dwarfs))
    assert journal.between(keeper.session, keeper.collection_id + 1, None, None) == []
