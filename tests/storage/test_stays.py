"""Who lived where, and when: worked out from the journal."""

from __future__ import annotations

from datetime import date, time

from storage import journal, roster, stays
from storage.journal import Subject
from tests.storage.keeper import Keeper, day

Span = tuple[int, date | None, date | None]


def spans(keeper: Keeper, occupant_id: int) -> list[Span]:
    """Place, since and until of each stay; the same after a rebuild."""
    before = [(stay.enclosure_id, stay.since, stay.until) for stay in stays.stays(keeper.session, occupant_id)]
    stays.rebuild(keeper.session, keeper.collection_id)
    after = [(stay.enclosure_id, stay.since, stay.until) for stay in stays.stays(keeper.session, occupant_id)]
    assert before == after
    return after


def test_a_placing_without_a_day_reaches_back_before_the_records(keeper: Keeper) -> None:
    """Who lived there before set-up lives there since before the records, and what was done to the place counts for it."""
    early = keeper.write("misting", Subject(enclosure_id=keeper.tub), day(1))
    keeper.place(keeper.dwarfs, keeper.tub, None)
    assert spans(keeper, keeper.dwarfs) == [(keeper.tub, None, None)]
    assert [row.id for row in journal.history(keeper.session, occupant_id=keeper.dwarfs, limit=9)] == [early]
    assert stays.occupants_in(keeper.session, keeper.tub, day(1)) == [keeper.dwarfs]


def test_a_placing_holds_for_its_whole_day(keeper: Keeper) -> None:
    """What was done to the place in the morning of the day of the placing counts; the day before does not."""
    keeper.write("misting", Subject(enclosure_id=keeper.tub), day(4))
    morning = keeper.write("misting", Subject(enclosure_id=keeper.tub), day(5), at=time(7))
    placed = keeper.place(keeper.dwarfs, keeper.tub, day(5))
    found = journal.history(keeper.session, occupant_id=keeper.dwarfs, limit=9)
    assert [row.id for row in found] == [placed, morning]


def test_a_move_ends_one_stay_and_begins_the_next(keeper: Keeper) -> None:
    """Also when it is told later than a move that came after it."""
    keeper.place(keeper.dwarfs, keeper.tub, day(1))
    keeper.move(Subject(keeper.dwarfs), keeper.tub, day(9))
    keeper.move(Subject(keeper.dwarfs), keeper.cube, day(5))
    assert spans(keeper, keeper.dwarfs) == [
        (keeper.tub, day(1), day(5)),
        (keeper.cube, day(5), day(9)),
        (keeper.tub, day(9), None),
    ]
    assert stays.occupants_in(keeper.session, keeper.cube) == []
    assert stays.occupants_in(keeper.session, keeper.cube, day(9)) == [keeper.dwarfs]
    assert stays.occupants_in(keeper.session, keeper.tub) == [keeper.dwarfs]
    assert [stay.occupant_id for stay in stays.stays_in(keeper.session, keeper.cube)] == [keeper.dwarfs]


def test_a_move_to_where_it_lives_changes_nothing(keeper: Keeper) -> None:
    """The stay goes on."""
    keeper.place(keeper.dwarfs, keeper.tub, day(1))
    keeper.move(Subject(keeper.dwarfs), keeper.tub, day(3))
    assert spans(keeper, keeper.dwarfs) == [(keeper.tub, day(1), None)]


def test_moving_a_place_moves_who_lives_in_it(keeper: Keeper) -> None:
    """A move that names the tub takes both of its occupants along; taking it back brings both back."""
    keeper.place(keeper.dwarfs, keeper.tub, day(1))
    keeper.place(keeper.scorpion, keeper.tub, day(2))
    moved = keeper.move(Subject(enclosure_id=keeper.tub), keeper.cube, day(5))
    for occupant_id, since in ((keeper.dwarfs, day(1)), (keeper.scorpion, day(2))):
        assert spans(keeper, occupant_id) == [(keeper.tub, since, day(5)), (keeper.cube, day(5), None)]
    keeper.take_back(moved)
    assert spans(keeper, keeper.scorpion) == [(keeper.tub, day(2), None)]


def test_a_correction_of_whom_a_move_names_moves_the_right_one(keeper: Keeper) -> None:
    """After "no, Sid, not B" it is Sid that moved, and B stays."""
    keeper.place(keeper.dwarfs, keeper.tub, day(1))
    keeper.place(keeper.scorpion, keeper.tub, day(1))
    wrong = keeper.move(Subject(keeper.dwarfs), keeper.cube, day(5))
    keeper.write("move", Subject(keeper.scorpion), day(5), supersedes=wrong, to_enclosure_id=keeper.cube)
    assert spans(keeper, keeper.dwarfs) == [(keeper.tub, day(1), None)]
    assert spans(keeper, keeper.scorpion) == [(keeper.tub, day(1), day(5)), (keeper.cube, day(5), None)]


def test_a_part_split_off_moves_alone(keeper: Keeper) -> None:
    """The group stays; the new group lives in the new place, and its history begins with the split."""
    keeper.place(keeper.dwarfs, keeper.tub, day(1))
    part = roster.add_occupant(keeper.session, keeper.collection_id, "group B2", "group")
    split = keeper.write(
        "move",
        Subject(keeper.dwarfs),
        day(5),
        part_of_group=True,
        new_occupant_id=part,
        to_enclosure_id=keeper.cube,
    )
    assert spans(keeper, keeper.dwarfs) == [(keeper.tub, day(1), None)]
    assert spans(keeper, part) == [(keeper.cube, day(5), None)]
    (first,) = journal.history(keeper.session, occupant_id=part, limit=9)
    assert (first.id, first.subjects) == (split, (Subject(keeper.dwarfs),))
    keeper.take_back(split)
    assert spans(keeper, part) == []


def test_a_group_that_others_joined_stays_where_it_is(keeper: Keeper) -> None:
    """A move that joins one group to another places the first and not the second, and `ended` closes the first one's stay."""
    keeper.place(keeper.dwarfs, keeper.tub, day(1))
    keeper.place(keeper.scorpion, keeper.cube, day(1))
    host = keeper.scorpion
    keeper.write("move", Subject(keeper.dwarfs), day(5), joined=True, new_occupant_id=host, to_enclosure_id=keeper.cube)
    ended = keeper.write("ended", Subject(keeper.dwarfs), day(5))
    assert spans(keeper, keeper.dwarfs) == [(keeper.tub, day(1), day(5)), (keeper.cube, day(5), day(5))]
    assert spans(keeper, keeper.scorpion) == [(keeper.cube, day(1), None)]
    assert stays.occupants_in(keeper.session, keeper.cube) == [keeper.scorpion]
    keeper.take_back(ended)
    assert stays.occupants_in(keeper.session, keeper.cube) == [keeper.dwarfs, keeper.scorpion]


def test_ending_an_occupant_ends_its_stay(keeper: Keeper) -> None:
    """Who is no more lives nowhere; brought back, it lives where it did."""
    keeper.place(keeper.dwarfs, keeper.tub, day(1))
    roster.end_occupant(keeper.session, keeper.dwarfs, day(8))
    assert spans(keeper, keeper.dwarfs) == [(keeper.tub, day(1), day(8))]
    roster.end_occupant(keeper.session, keeper.dwarfs, None)
    assert spans(keeper, keeper.dwarfs) == [(keeper.tub, day(1), None)]


def test_plans_and_moves_without_a_destination_move_nobody(keeper: Keeper) -> None:
    """What is only planned has not happened, and "moved B" alone does not say where to."""
    keeper.place(keeper.dwarfs, keeper.tub, day(1))
    keeper.write("move", Subject(keeper.dwarfs), day(5), mood="plan", to_enclosure_id=keeper.cube)
    keeper.write("move", Subject(keeper.dwarfs), day(5))
    assert spans(keeper, keeper.dwarfs) == [(keeper.tub, day(1), None)]
