"""Messages edited or deleted in the chat."""

from __future__ import annotations

from bot.language.meaning import Entry, Meaning, Setup
from tests.conversation.room import TODAY, UNDO, Room, change, fed, log, moved
from tests.conversation.test_doubts import WHICH


def test_an_edit_supersedes_what_the_message_told(room: Room) -> None:
    """The edited text is read afresh; its entry takes the place of the old one."""
    room.say("fed B 3", log(fed("group B", quantity=[3, 3])), key="m1")
    reply = room.say("fed B 4", log(fed("group B", quantity=[4, 4])), key="m2", edits="m1")
    assert reply.text == "Corrected, now: group B: fed 4, Tue 3 Mar 2026."
    assert room.lines() == [("feeding", ("group B",), TODAY, {"quantity": [4, 4]})]
    assert room.entries()[0].supersedes is not None


def test_an_edit_may_add_and_drop_entries(room: Room) -> None:
    """Entries of the same kind are matched; what is no longer said is taken back, what is new is written."""
    room.say("fed B, misted 7", log(fed("group B"), Entry("misting", ("tub 7",), TODAY)), key="m1")
    edited = log(Entry("misting", ("tub 2",), TODAY))
    reply = room.say("misted 2", edited, key="m2", edits="m1")
    assert "Taken back: group B: fed" in reply.text
    assert room.lines() == [("misting", ("tub 2",), TODAY, {})]
    again = log(Entry("misting", ("tub 2",), TODAY), fed("group D"), Entry("watering", ("tub 2",), TODAY))
    room.say("misted 2, fed D, watered 2", again, key="m3", edits="m1")
    assert {line[0] for line in room.lines()} == {"misting", "feeding", "watering"}


def test_an_edit_of_an_edit_means_the_first_message(room: Room) -> None:
    """However often a message is edited, its latest text alone stands, and undo takes it back as one."""
    room.say("fed B 3", log(fed("group B", quantity=[3, 3])), key="m1")
    room.say("fed B 4", log(fed("group B", quantity=[4, 4])), key="m2", edits="m1")
    room.say("fed B 5", log(fed("group B", quantity=[5, 5])), key="m3", edits="m2")
    assert [line[3]["quantity"] for line in room.lines()] == [[5, 5]]
    room.say("undo", UNDO)
    assert room.entries() == []


def test_an_edit_under_the_same_key_is_a_revision(room: Room) -> None:
    """A service that keeps the message's id and counts revisions is understood too."""
    room.say("fed B 3", log(fed("group B", quantity=[3, 3])), key="m1")
    room.told.meanings["fed B 4"] = log(fed("group B", quantity=[4, 4]))
    assert room.app.receive("owner", "fed B 4", key="m1", revision=1, edits="m1") is not None
    room.app.work()
    assert [line[3]["quantity"] for line in room.lines()] == [[4, 4]]


def test_an_edit_replaces_a_correction_of_it_too(room: Room) -> None:
    """If a message was corrected by another one and is then edited, the edited text stands."""
    room.say("fed B 3", log(fed("group B", quantity=[3, 3])), key="m1")
    room.say("make that 4", change(quantity=[4, 4]))
    room.say("fed D 5", log(fed("group D", quantity=[5, 5])), key="m3", edits="m1")
    assert room.lines() == [("feeding", ("group D",), TODAY, {"quantity": [5, 5]})]
    room.say("undo", UNDO)
    assert room.entries() == []


def test_an_edited_correction_corrects_anew(room: Room) -> None:
    """“Make that 4”, edited to "make that 6", is one correction of the same entry, and undo goes back to the first reading."""
    room.say("fed B 3", log(fed("group B", quantity=[3, 3])), key="m1")
    room.say("make that 4", change(quantity=[4, 4]), key="m2")
    room.say("make that 6", change(quantity=[6, 6]), key="m3", edits="m2")
    assert [line[3]["quantity"] for line in room.lines()] == [[6, 6]]
    room.say("undo", UNDO)
    assert [line[3]["quantity"] for line in room.lines()] == [[3, 3]]


def test_an_edit_into_small_talk_takes_the_entries_back(room: Room) -> None:
    """A log edited into something that is none no longer stands."""
    room.say("fed B", log(fed("group B")), key="m1")
    reply = room.say("thanks", key="m2", edits="m1")
    assert reply.text.splitlines()[0].startswith("Taken back: group B: fed")
    assert room.entries() == []


def test_an_edit_of_small_talk_into_a_log_writes_it(room: Room) -> None:
    """A message that wrote nothing may be edited into one that does."""
    room.say("fde B", key="m1")
    room.say("fed B", log(fed("group B")), key="m2", edits="m1")
    assert len(room.entries()) == 1


def test_an_edit_that_is_refused_leaves_what_stood(room: Room) -> None:
    """If the edited text cannot be written, the entry from before still stands."""
    room.say("fed B 3", log(fed("group B", quantity=[3, 3])), key="m1")
    room.say("fed Q", log(fed("group Q")), key="m2", edits="m1")
    assert room.lines() == [("feeding", ("group B",), TODAY, {"quantity": [3, 3]})]


def test_an_edit_to_nothing_takes_the_entries_back(room: Room) -> None:
    """A message edited to be empty, or far too long to be read, no longer says what it said."""
    room.say("fed B 3", log(fed("group B")), key="m1")
    assert "no words" in room.say("  ", key="m2", edits="m1").text
    assert room.entries() == []


def test_an_edit_settles_the_question_about_the_message(room: Room) -> None:
    """Editing a message in doubt into a clear one answers the question, and no note is left behind."""
    room.say("fed 3", WHICH, key="m1")
    room.say("fed B 3", log(fed("group B", quantity=[3, 3])), key="m2", edits="m1")
    assert [row.kind for row in room.entries()] == ["feeding"]
    room.say("2")
    assert len(room.entries()) == 1


def test_an_edited_move_moves_them_anew(room: Room) -> None:
    """The new place made by a mistyped move is gone after the edit."""
    room.say("moved B to tubb 2", log(moved("group B", "tubb 2")), key="m1")
    room.say("moved B to tub 2", log(moved("group B", "tub 2")), key="m2", edits="m1")
    assert room.home("group B") == "tub 2"
    assert room.names().place("tubb 2") is None


def test_an_edited_set_up_is_made_anew(room: Room) -> None:
    """A mistyped name at set-up is put right by editing the message."""
    room.say("add tbu 9", Meaning("setup", setup=Setup("add_place", {"name": "tbu 9"})), key="m1")
    room.say("add tub 9", Meaning("setup", setup=Setup("add_place", {"name": "tub 9"})), key="m2", edits="m1")
    assert room.names().place("tbu 9") is None
    assert room.names().place("tub 9") is not None


def test_an_edit_of_a_message_that_never_came_is_a_message(room: Room) -> None:
    """If we never had the first text, the edited one counts by itself."""
    room.say("fed B", log(fed("group B")), key="m2", edits="m1")
    assert len(room.entries()) == 1


def test_a_deleted_message_takes_its_entries_with_it(room: Room) -> None:
    """Deleting retracts what the message told, also as corrected since; again, there is nothing left to take back."""
    room.say("fed B 3", log(fed("group B", quantity=[3, 3])), key="m1")
    room.say("make that 4", change(quantity=[4, 4]), key="m2")
    assert room.say("", key="d1", deletes="m1").text.startswith("Taken back: group B: fed 4")
    assert room.entries() == []
    assert "nothing written that still stands" in room.say("", key="d2", deletes="m1").text
    assert "never had" in room.say("", key="d3", deletes="m99").text


def test_a_deleted_correction_brings_the_former_reading_back(room: Room) -> None:
    """Deleting "make that 4" leaves what was told first."""
    room.say("fed B 3", log(fed("group B", quantity=[3, 3])), key="m1")
    room.say("make that 4", change(quantity=[4, 4]), key="m2")
    room.say("", key="d1", deletes="m2")
    assert [line[3]["quantity"] for line in room.lines()] == [[3, 3]]


def test_deleting_a_message_in_doubt_drops_the_question(room: Room) -> None:
    """No answer is waited for once the message is gone."""
    room.say("fed 3", WHICH, key="m1")
    assert "Dropped the question" in room.say("", key="d1", deletes="m1").text
    room.say("2")
    assert room.entries() == []
