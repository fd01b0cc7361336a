"""Photos: wanted, kept or lost, and found by what they show."""

from __future__ import annotations

from datetime import timedelta

import pytest

from storage import journal, photos
from storage.journal import Subject
from tests.storage.keeper import NOW, Keeper

DIGEST = "ab" * 32
MINUTE = timedelta(minutes=1)


def want(keeper: Keeper, message_id: int | None = None) -> int:
    message_id = keeper.message() if message_id is None else message_id
    return photos.want(keeper.session, keeper.collection_id, message_id, "telegram", {"file_id": "x", "size": 3})


def kept(keeper: Keeper, message_id: int) -> int:
    made = want(keeper, message_id)
    photos.keep(keeper.session, made, f"{made:064x}", "image/jpeg", 10)
    return made


def latest(keeper: Keeper, subject: Subject, limit: int = 9) -> list[int]:
    return [row.id for row in photos.latest(keeper.session, keeper.collection_id, [subject], limit)]


def test_a_photo_is_wanted_until_it_is_kept(keeper: Keeper) -> None:
    """It comes with what its service wants to hear, for its own channel, and is asked for no more once it is kept."""
    first, second = want(keeper), want(keeper)
    assert [(row.id, row.reference) for row in photos.wanted(keeper.session, "telegram", NOW)] == [
        (first, {"file_id": "x", "size": 3}),
        (second, {"file_id": "x", "size": 3}),
    ]
    assert photos.wanted(keeper.session, "matrix", NOW) == []
    photos.keep(keeper.session, first, DIGEST, "image/png", 1234)
    assert [row.id for row in photos.wanted(keeper.session, "telegram", NOW)] == [second]
    row = photos.photo(keeper.session, first)
    assert (row.state, row.digest, row.media_type, row.bytes) == ("kept", DIGEST, "image/png", 1234)
    assert photos.kept(keeper.session) == {(DIGEST, "image/png")}


def test_a_photo_put_off_is_wanted_again_when_it_is_due(keeper: Keeper) -> None:
    """Tries are counted, and nothing asks for it before its time."""
    made = want(keeper)
    assert photos.put_off(keeper.session, made, NOW + MINUTE) == 1
    assert photos.put_off(keeper.session, made, NOW + 2 * MINUTE) == 2
    assert photos.wanted(keeper.session, "telegram", NOW + MINUTE) == []
    assert [row.id for row in photos.wanted(keeper.session, "telegram", NOW + 2 * MINUTE)] == [made]


def test_a_lost_photo_is_wanted_no_more(keeper: Keeper) -> None:
    """It counts as lost and belongs to its message still."""
    message_id = keeper.message()
    made, other = want(keeper, message_id), want(keeper, message_id)
    photos.lose(keeper.session, made)
    assert [row.id for row in photos.wanted(keeper.session, "telegram", NOW)] == [other]
    assert photos.counted(keeper.session, keeper.collection_id) == {"lost": 1, "wanted": 1}
    assert photos.counted(keeper.session, 99) == {}
    assert [row.state for row in photos.of_message(keeper.session, message_id)] == ["lost", "wanted"]


def test_a_photo_that_is_not_there_is_a_fault(keeper: Keeper) -> None:
    """Asking for or marking a photo that does not exist is a LookupError."""
    with pytest.raises(LookupError):
        photos.photo(keeper.session, 99)
    with pytest.raises(LookupError):
        photos.lose(keeper.session, 99)


def test_the_last_photos_of_an_animal_are_found_newest_first(keeper: Keeper) -> None:
    """Of those that show what was told of it, and are kept; others' photos and those only wanted are not among them."""
    of_dwarfs, of_sid = Subject(keeper.dwarfs), Subject(keeper.scorpion)
    mine, others, later = keeper.message(), keeper.message(), keeper.message()
    keeper.write("feeding", of_dwarfs, message_id=mine)
    keeper.write("feeding", of_sid, message_id=others)
    keeper.write("moult", of_dwarfs, message_id=later)
    first, other, last = kept(keeper, mine), kept(keeper, others), kept(keeper, later)
    want(keeper, later)
    assert latest(keeper, of_dwarfs) == [last, first]
    assert latest(keeper, of_dwarfs, 1) == [last]
    assert latest(keeper, of_sid) == [other]
    assert latest(keeper, Subject(enclosure_id=keeper.cube)) == []


def test_a_photo_follows_the_message_that_it_is_said_to_show(keeper: Keeper) -> None:
    """A photo without words shows what another message told, once that is said."""
    told, alone = keeper.message(), keeper.message()
    keeper.write("note", Subject(enclosure_id=keeper.tub), message_id=told)
    made = kept(keeper, alone)
    assert latest(keeper, Subject(enclosure_id=keeper.tub)) == []
    photos.show(keeper.session, made, told)
    assert latest(keeper, Subject(enclosure_id=keeper.tub)) == [made]
    assert photos.photo(keeper.session, made).inbox_id == alone


def test_a_corrected_entry_counts_for_what_it_says_now(keeper: Keeper) -> None:
    """A photo of an entry that was corrected to another animal is that animal's; of one taken back it is nobody's."""
    of_dwarfs, of_sid = Subject(keeper.dwarfs), Subject(keeper.scorpion)
    told, corrects = keeper.message(), keeper.message()
    wrong = keeper.write("moult", of_dwarfs, message_id=told)
    made = kept(keeper, told)
    right = keeper.write("moult", of_sid, message_id=corrects, supersedes=wrong)
    assert (latest(keeper, of_dwarfs), latest(keeper, of_sid)) == ([], [made])
    journal.retract(keeper.session, [right], keeper.member_id, None, NOW)
    assert latest(keeper, of_sid) == []
