"""Moves: homes, new places, groups split and joined, and all of it taken back."""

from __future__ import annotations

from bot.language.meaning import Entry, Meaning
from storage import roster
from tests.conversation.room import TODAY, UNDO, Room, add, change, log, moved


def test_a_move_changes_where_they_live(room: Room) -> None:
    """After a move to a known tub the group lives there."""
    reply = room.say("moved B to tub 7", log(moved("group B", "tub 7")))
    assert room.home("group B") == "tub 7"
    assert "group B: moved to tub 7" in reply.text
    assert "Saffron lives in tub 7 too." in reply.text


def test_an_unknown_place_is_made_and_said(room: Room) -> None:
    """A move to a place that is not on the roster puts it there, and the echo says so."""
    reply = room.say("moved B to the glass cube", log(moved("group B", "glass cube")))
    assert "glass cube was not on the roster; it is now." in reply.text
    assert room.home("group B") == "glass cube"


def test_a_tub_named_as_the_mover_stands_for_who_lives_in_it(room: Room) -> None:
    """“Moved tub 4 into tub 7” moves the group that lives in tub 4."""
    room.say("moved tub 4 to tub 7", log(moved("tub 4", "tub 7")))
    assert room.home("group B") == "tub 7"


def test_nobody_can_be_moved_out_of_an_empty_place(room: Room) -> None:
    """A move out of a tub where nobody lives is refused with a sentence."""
    room.say("moved Saffron to tub 2", log(moved("Saffron", "tub 2")))
    assert "Nobody lives in tub 7" in room.say("moved tub 7 to 4", log(moved("tub 7", "tub 4"))).text


def test_a_move_to_a_shelf_leaves_the_roster_as_it_is(room: Room) -> None:
    """A tag is no enclosure: the move is written, and the reply says that the roster stays."""
    reply = room.say("moved tub 4 to shelf 2", log(moved("tub 4", "shelf 2")))
    assert "stays in place" in reply.text
    assert room.home("group B") == "tub 4"
    assert room.names().place("shelf 2") is None


def test_a_move_without_destination_is_written(room: Room) -> None:
    """“Rehoused B” is an entry, and nobody changes place."""
    room.say("rehoused B", log(Entry("move", ("group B",), TODAY)))
    assert room.lines() == [("move", ("group B",), TODAY, {})]
    assert room.home("group B") == "tub 4"


def test_moving_in_with_another_group_keeps_both(room: Room) -> None:
    """“Moved D to B” without a word of joining: D lives where B lives, and both are groups still."""
    reply = room.say("moved D to B", log(moved("group D", "B", "moved D to B")))
    assert room.home("group D") == "tub 4"
    assert "group B lives in tub 4 too." in reply.text


def test_joined_groups_become_one_with_lineage(room: Room) -> None:
    """“Joined D with B” ends group D and keeps where it went."""
    reply = room.say("joined D with B", log(moved("group D", "group B", "joined D with B")))
    assert "group D joined group B" in reply.text
    names = room.names()
    assert names.animal("group D") is None
    kept = names.animal("group B")
    assert kept is not None
    with room.app.store.read() as session:
        assert [row.how for row in roster.parents(session, kept.id)] == ["join"]


def test_groups_joined_without_a_place(room: Room) -> None:
    """“Merged B and D” keeps B, the first named; "joined B with D" keeps D, the one joined with."""
    room.say("merged B and D", log(Entry("move", ("group B", "group D"), TODAY)))
    assert room.names().animal("group D") is None
    assert room.home("group B") == "tub 4"
    room.say("undo", UNDO)
    room.say("joined B with D", log(Entry("move", ("group B", "group D"), TODAY)))
    assert room.names().animal("group B") is None
    assert room.home("group D") == "tub 2"


def test_undo_parts_joined_groups(room: Room) -> None:
    """Taking a joining back makes the joined group one of its own again, in its old place."""
    room.say("joined D with B", log(moved("group D", "group B", "joined D with B")))
    reply = room.say("undo", UNDO)
    assert "group D is a group of its own again." in reply.text
    assert room.home("group D") == "tub 2"
    kept = room.names().animal("group B")
    assert kept is not None
    with room.app.store.read() as session:
        assert roster.parents(session, kept.id) == []


def test_a_part_split_off_becomes_a_group_of_its_own(room: Room) -> None:
    """“Split 6 off B into pot 9”: B stays, a new group of six lives in pot 9, and the reply says its name."""
    words = "split 6 off B into pot 9"
    reply = room.say(words, log(moved("group B", "pot 9", words, count=[6, 6])))
    assert "6 split off to pot 9" in reply.text
    assert "New on the roster: group B offshoot, 6 in pot 9." in reply.text
    assert (room.home("group B"), room.home("group B offshoot")) == ("tub 4", "pot 9")
    new = room.names().animal("group B offshoot")
    assert new is not None
    assert (new.count, new.species) == (6, "Neoholothele incei")
    with room.app.store.read() as session:
        assert [row.how for row in roster.parents(session, new.id)] == ["split"]


def test_undo_of_a_split_takes_the_group_and_the_place_back(room: Room) -> None:
    """After undo neither the new group nor the new place is on the roster."""
    words = "split 6 off B into pot 9"
    room.say(words, log(moved("group B", "pot 9", words, count=[6, 6])))
    reply = room.say("undo", UNDO)
    assert "group B offshoot is off the roster again." in reply.text
    assert "pot 9 is off the roster again." in reply.text
    assert room.names().animal("group B offshoot") is None
    assert room.names().place("pot 9") is None
    assert room.entries() == []


def test_a_corrected_split_makes_the_group_anew(room: Room) -> None:
    """“Make that 7” after a split of six: one new group, of seven, in the same place; undo brings the six back."""
    words = "split 6 off B into pot 9"
    room.say(words, log(moved("group B", "pot 9", words, count=[6, 6])))
    room.say("make that 7", change(quantity=[7, 7]))
    new = room.names().animal("group B offshoot")
    assert new is not None
    assert new.count == 7
    assert room.home("group B offshoot") == "pot 9"
    assert room.names().animal("group B second offshoot") is None
    room.say("undo", UNDO)
    again = room.names().animal("group B offshoot")
    assert again is not None
    assert again.count == 6
    assert room.home("group B offshoot") == "pot 9"
    room.say("undo", UNDO)
    assert room.names().place("pot 9") is None


def test_so_many_of_a_group_are_a_part_of_it(room: Room) -> None:
    """“Moved about 15 of group B” and "moved six B" say themselves that the rest stayed."""
    words = "moved about 15 of group B into pot 9"
    room.say(words, log(moved("group B", "pot 9", words, count=[13, 17])))
    assert room.home("group B offshoot") == "pot 9"
    room.say("moved six B to tub 7", log(moved("group B", "tub 7", "moved six B to tub 7", count=[6, 6])))
    assert room.home("group B second offshoot") == "tub 7"
    assert room.home("group B") == "tub 4"


def test_a_part_taken_out_to_nowhere_told_is_a_group_without_a_place(room: Room) -> None:
    """“Split B, took 12 out” leaves the rest in place, and the twelve wait for a home."""
    words = "split B, took 12 out"
    reply = room.say(words, log(Entry("move", ("group B",), TODAY, fields={"count": [12, 12]}, words=words)))
    assert "group B offshoot, 12 in no place yet" in reply.text
    assert (room.home("group B"), room.home("group B offshoot")) == ("tub 4", None)
    room.say("moved them", log(moved("group B offshoot", "pot 9")))
    assert room.home("group B offshoot") == "pot 9"


def test_a_part_may_join_another_group(room: Room) -> None:
    """“Took 6 from B and put them in with D”: no new group, six of B are with D."""
    words = "took 6 from B, in with D"
    reply = room.say(words, log(moved("group B", "group D", words, count=[6, 6])))
    assert "6 of group B are with group D now." in reply.text
    assert room.home("group B") == "tub 4"
    assert "Taken back" in room.say("undo", UNDO).text


def test_a_slightly_smaller_count_is_the_whole_group(room: Room) -> None:
    """“Moved B to the cube, 40 in” of 42 is a move of all of them."""
    room.say("moved B to the cube, 40 in", log(moved("group B", "cube", "moved B to the cube, 40 in", count=[40, 40])))
    assert room.home("group B") == "cube"
    assert room.names().animal("group B offshoot") is None


def test_a_much_smaller_count_is_asked_about(room: Room) -> None:
    """“Moved B to pot 9, 6 in” of 42 could be either, so it is asked, and nothing is written before the answer."""
    words = "moved B to pot 9, 6 in"
    reply = room.say(words, log(moved("group B", "pot 9", words, count=[6, 6])))
    assert reply.choices == ("all of group B moved, 6 in", "6 split off, the rest stay")
    assert room.entries() == []
    assert "New on the roster: group B offshoot" in room.say("2").text
    assert room.home("group B") == "tub 4"


def test_the_other_answer_moves_them_all(room: Room) -> None:
    """Answering that all moved moves the group; a corrected number does not open the question again."""
    words = "moved B to pot 9, 6 in"
    room.say(words, log(moved("group B", "pot 9", words, count=[6, 6])))
    room.say("all of group B moved, 6 in")
    assert room.home("group B") == "pot 9"
    room.say("make that 8", change(quantity=[8, 8]))
    assert room.home("group B") == "pot 9"
    assert room.lines()[-1][3]["count"] == [8, 8]
    room.say("undo", UNDO)
    room.say("undo", UNDO)
    assert room.home("group B") == "tub 4"


def test_a_count_decides_how_many_there_were(room: Room) -> None:
    """The last count, not the number at set-up, says whether fewer went than there are."""
    room.say("counted 6", log(Entry("count", ("group B",), TODAY, fields={"count": [6, 6]})))
    room.say("more", log(Entry("count", ("group B",), TODAY, fields={"count": [5, None]})))
    reply = room.say("moved B to pot 9, 6 in", log(moved("group B", "pot 9", "moved B to pot 9, 6 in", count=[6, 6])))
    assert reply.choices == ()
    assert room.home("group B") == "pot 9"


def test_nobody_moves_in_with_itself(room: Room) -> None:
    """A move of a group to itself is refused."""
    assert "with itself" in room.say("moved B to B", log(moved("group B", "group B"))).text


def test_a_move_to_one_without_a_place_is_refused(room: Room) -> None:
    """Where the other one lives must be known before anybody can move in with it."""
    add(room, "Bramble")
    assert "Bramble has no place yet" in room.say("moved B to Bramble", log(moved("group B", "Bramble"))).text


def test_a_corrected_destination_moves_them_again(room: Room) -> None:
    """“No, to tub 2” after a move to a new place: they live in tub 2 and the place made by mistake is gone."""
    room.say("moved B to tubb 2", log(moved("group B", "tubb 2")))
    reply = room.say("no, to tub 2", change(to="tub 2"))
    assert "tubb 2 is off the roster again." in reply.text
    assert room.home("group B") == "tub 2"
    room.say("undo", UNDO)
    assert room.home("group B") == "tubb 2"


def test_a_move_that_asks_keeps_what_else_was_told(room: Room) -> None:
    """A message with a doubtful move and a feeding writes both once the doubt is settled."""
    words = "moved B to pot 9, 6 in"
    meaning = Meaning(
        "log", entries=(moved("group B", "pot 9", words, count=[6, 6]), Entry("feeding", ("group D",), TODAY))
    )
    room.say(words, meaning)
    room.say("1")
    assert [line[0] for line in room.lines()] == ["move", "feeding"]
