"""The roster and the vocabulary, changed by talking."""

from __future__ import annotations

from typing import Any

import pytest

from bot.conversation.reply import Reply
from bot.language.meaning import Meaning, Setup
from storage import roster, stays
from storage.vocabulary import vocabulary
from tests.conversation.room import TODAY, UNDO, Room, add, change, fed, log


def set_up(room: Room, action: str, **fields: Any) -> Reply:  # noqa: ANN401 - handed on as it is
    return room.say(f"{action} {fields}", Meaning("setup", setup=Setup(action, fields)))


def test_a_group_is_added_with_all_that_was_told(room: Room) -> None:
    """Name, number, species and place are kept and said."""
    reply = add(room, "group C", count=(14, 14), enclosure="tub 7", species="Damon diadema")
    assert reply.text.splitlines()[0] == "Added group C or “C” (group, 14 in it, Damon diadema) in tub 7."
    assert room.home("group C") == "tub 7"


def test_a_new_place_is_made_for_a_newcomer(room: Room) -> None:
    """An enclosure that is not on the roster is made, tagged, and said to be new."""
    reply = add(room, "Bramble", enclosure="pot 3", tags=("pots",))
    assert reply.text.splitlines()[0] == "Added Bramble (animal) in pot 3 (a new place), tagged pots."
    place = room.names().place("pot 3")
    assert place is not None
    assert place.tags == ("pots",)


def test_a_newcomer_in_a_place_of_its_own_has_always_lived_there(room: Room) -> None:
    """Who is set up in a place that nobody had before is taken to have lived there all along; else from today on."""
    add(room, "Bramble", enclosure="pot 3")
    add(room, "Thistle", enclosure="tub 4")
    names = room.names()
    with room.app.store.read() as session:
        since = [stays.stays(session, row.id)[0].since for row in names.animals if row.name in ("Bramble", "Thistle")]
    assert since == [None, TODAY]


def test_a_newcomer_may_live_with_another(room: Room) -> None:
    """“In with B” puts it where group B lives."""
    add(room, "Bramble", enclosure="B")
    assert room.home("Bramble") == "tub 4"


def test_a_brood_keeps_its_mother(room: Room) -> None:
    """“Add brood S, 60 from Saffron, in pot 3” keeps whose brood it is, by her name or by her tub."""
    reply = add(room, "S", count=(60, 60), parent="Saffron", enclosure="pot 3")
    assert reply.text.splitlines()[0] == "Added S (group, 60 in it) in pot 3 (a new place), brood of Saffron."
    add(room, "T", count=(5, 5), parent="tub 7")
    child = room.names().animal("S")
    assert child is not None
    with room.app.store.read() as session:
        assert [row.how for row in roster.parents(session, child.id)] == ["brood"]
    assert "no Nobody on the roster" in add(room, "U", parent="Nobody").text
    assert room.names().animal("U") is None


def test_a_number_told_as_a_range_is_kept_as_a_count(room: Room) -> None:
    """“About 40” at set-up is no exact number: it stands as a count of the day."""
    add(room, "group C", kind="group", count=(36, 44))
    assert room.lines() == [("count", ("group C",), TODAY, {"count": [36, 44]})]


@pytest.mark.parametrize(
    ("fields", "words"),
    [
        ({"name": "Group b"}, "group B is on the roster already"),
        ({"name": "B"}, "group B is on the roster already"),
        ({"name": "  "}, "needs at least one letter"),
        ({"name": "x" * 200}, "too long"),
        ({"name": "group C", "count": (10**9, 10**9)}, "cannot be right"),
        ({"name": "group C", "tags": ("shelf 1",)}, "belongs to a place"),
    ],
)
def test_a_newcomer_that_cannot_be_is_refused(room: Room, fields: dict[str, Any], words: str) -> None:
    """A name in use, no name, an absurd number or a tag without a place: one sentence, and nothing on the roster."""
    before = room.names()
    reply = room.say("add", Meaning("setup", setup=Setup("add", fields)))
    assert words in reply.text
    assert room.names() == before


def test_a_place_is_added_with_size_and_tags(room: Room) -> None:
    """A place takes a size and tags; the same name again is refused."""
    reply = set_up(room, "add_place", name="tub 9", size_cm=(30, 20, 15), tags=("shelf 1", "slings"))
    assert reply.text == "Added the place tub 9, 30 x 20 x 15 cm, tagged shelf 1 and slings."
    assert "goes by that name already" in set_up(room, "add_place", name="Tub 9").text
    assert "size cannot be right" in set_up(room, "add_place", name="tub 10", size_cm=(0, 20, 15)).text


def test_a_size_is_set_and_taken_back(room: Room) -> None:
    """The size of a place is set by its name or by who lives there; undo brings the former one back."""
    assert set_up(room, "size", name="B", size_cm=(30, 20, 15)).text == "tub 4 is 30 x 20 x 15 cm."
    set_up(room, "size", name="tub 4", size_cm=(40, 20, 15))
    assert room.say("undo", UNDO).text == "As before: tub 4 is 30 x 20 x 15 cm."
    assert room.say("undo", UNDO).text == "As before: tub 4 is of no size told."
    assert "width, depth and height" in set_up(room, "size", name="tub 4").text
    add(room, "Bramble")
    assert "no place yet" in set_up(room, "size", name="Bramble", size_cm=(3, 2, 1)).text


def test_a_rename_keeps_the_old_name_understood(room: Room) -> None:
    """After a rename both names are known; undo renames back; a name in use is refused."""
    set_up(room, "rename", name="group B", to="the dwarfs")
    renamed = room.names().animal("group B")
    assert renamed is not None
    assert renamed.name == "the dwarfs"
    room.say("undo", UNDO)
    assert room.names().animal("the dwarfs") == room.names().animal("group B")
    set_up(room, "rename", name="tub 4", to="cube")
    assert room.names().place("tub 4") == room.names().place("cube")
    assert "group D goes by that name" in set_up(room, "rename", name="Saffron", to="D").text
    assert "tub 2 goes by that name" in set_up(room, "rename", name="cube", to="tub 2").text
    assert "tub 4" in room.say("undo", UNDO).text
    assert "no zebra on the roster" in set_up(room, "rename", name="zebra", to="horse").text


def test_a_new_name_has_a_short_form_too(room: Room) -> None:
    """Renamed to "group E", a group is E for short; undo needs no more than the rename taken back."""
    set_up(room, "rename", name="group B", to="group E")
    assert room.names().animal("E") == room.names().animal("group E")
    assert room.say("undo", UNDO).text.startswith("As before: it is called group B")


def test_an_empty_place_is_closed_and_opened_again(room: Room) -> None:
    """A place without anybody is closed at once; undo puts it back."""
    set_up(room, "add_place", name="tub 9")
    assert "tub 9 is off the roster" in set_up(room, "close", name="tub 9").text
    assert room.names().place("tub 9") is None
    assert room.say("undo", UNDO).text == "As before: tub 9 is on the roster."
    assert room.names().place("tub 9") is not None


def test_closing_a_place_where_somebody_lives_is_asked_about(room: Room) -> None:
    """Closing an occupied tub says who lives there and asks; the keeper may keep it."""
    reply = set_up(room, "close", name="tub 4")
    assert reply.text.startswith("group B lives in tub 4.")
    assert room.say("2").text == "tub 4 stays as it is."
    assert room.home("group B") == "tub 4"


def test_closing_a_place_with_all_who_live_there(room: Room) -> None:
    """The other answer takes both off the roster, keeps the history, and can be undone."""
    set_up(room, "close", name="tub 4")
    assert "tub 4 and group B are off the roster" in room.say("1").text
    assert room.names().animal("group B") is None
    room.say("undo", UNDO)
    assert room.home("group B") == "tub 4"


def test_an_animal_is_closed_and_brought_back(room: Room) -> None:
    """An animal that died or left goes off the roster; undo brings it back to its place."""
    assert "Saffron is off the roster" in set_up(room, "close", name="Saffron").text
    assert room.names().animal("Saffron") is None
    assert room.say("undo", UNDO).text == "As before: Saffron is on the roster."
    assert room.home("Saffron") == "tub 7"


def test_tags_and_other_names_stay(room: Room) -> None:
    """A tag and an alias are given to the right place and animal; that they cannot be undone is said, and undo goes on."""
    assert set_up(room, "tag", name="Saffron", tags=("slings",)).text == "tub 7 is tagged slings."
    assert "cannot be taken back" in room.say("undo", UNDO).text
    assert room.say("undo", UNDO).text == "Taken back: Saffron is off the roster again."
    assert set_up(room, "alias", phrase="the shy ones", name="group B").text.startswith("“the shy ones” is group B")
    assert set_up(room, "alias", phrase="t4", name="tub 4").text.startswith("“t4” is tub 4")
    assert room.names().animal("the shy ones") == room.names().animal("group B")
    assert "group B goes by that name" in set_up(room, "alias", phrase="the shy ones", name="group D").text


def test_an_animal_is_closed_by_name(room: Room) -> None:
    """“Close Saffron” needs no reader: it is understood by her name."""
    assert room.say("close Saffron.").text == "Saffron is off the roster; the history is kept."
    assert "nothing down" in room.say("close the window").text


def test_a_group_is_known_by_the_end_of_its_name(room: Room) -> None:
    """“Group E” is E for short, unless somebody else is called so; a number is no name."""
    assert "or “E”" in add(room, "group E").text
    assert room.names().animal("e") == room.names().animal("group E")
    assert "or “" not in add(room, "colony E").text
    assert "or “" not in add(room, "group 7").text


def test_a_newcomer_without_a_place_is_said_to_have_none(room: Room) -> None:
    """Somebody may be added before it has a home."""
    assert add(room, "Bramble").text.splitlines()[0] == "Added Bramble (animal), in no place yet."


def test_another_name_is_not_forgotten(room: Room) -> None:
    """“Forget B” says whose name it is and that it stays."""
    assert "It is a name of group B" in set_up(room, "forget", phrase="B").text


def test_the_zone_may_come_from_the_reader(room: Room) -> None:
    """A zone that the reader found in other words is set as well."""
    assert "Asia/Tokyo" in set_up(room, "zone", zone="Asia/Tokyo").text


def test_words_are_taught_forgotten_and_taken_back(room: Room) -> None:
    """“RR means red runner roach” holds until forgotten; undo goes back through each step."""
    set_up(room, "teach", phrase="RR", means="red runner roach")
    room.say("hello")
    assert dict(room.told.rosters[-1].vocabulary) == {"RR": "red runner roach"}
    set_up(room, "forget", phrase="rr")
    assert taught(room) == {}
    assert room.say("undo", UNDO).text == "As before: “rr” means red runner roach."
    assert "means nothing of its own" in room.say("undo", UNDO).text
    assert taught(room) == {}
    assert "never taught" in set_up(room, "forget", phrase="RR").text


def taught(room: Room) -> dict[str, str]:
    with room.app.store.read() as session:
        return vocabulary(session, 1)


def test_undo_after_set_up_and_log_takes_the_later_first(room: Room) -> None:
    """Undo goes back in time through logs and set-up alike."""
    room.say("fed B", log(fed("group B")))
    add(room, "Bramble", enclosure="pot 3")
    assert "Bramble is off the roster again." in room.say("undo", UNDO).text
    assert room.names().place("pot 3") is None
    assert "Taken back: group B: fed" in room.say("undo", UNDO).text


def test_a_place_where_somebody_lives_by_now_cannot_be_taken_back(room: Room) -> None:
    """Adding a place is not undone under the feet of those who moved in since."""
    room.say("add tub 9", Meaning("setup", setup=Setup("add_place", {"name": "tub 9"})), key="m9")
    add(room, "Bramble", enclosure="tub 9")
    assert "Bramble lives in tub 9 by now" in room.say("undo", UNDO, reply_to="m9").text


def test_a_correction_right_after_set_up_is_refused(room: Room) -> None:
    """“Make that 4” after a set-up change does not reach back to an older log."""
    room.say("fed B 3", log(fed("group B", quantity=[3, 3])))
    set_up(room, "add_place", name="tub 9")
    assert "one of the set-up" in room.say("make that 4", change(quantity=[4, 4])).text
    assert room.lines()[0][3] == {"quantity": [3, 3]}


def test_the_time_zone_is_told_by_talking(room: Room) -> None:
    """“My time zone is …” changes the zone in which days are meant; an unknown zone is answered with a near one."""
    assert room.say("my time zone is asia/tokyo").text.startswith("The time zone is Asia/Tokyo from now on; it is 04:")
    assert "Did you mean Europe/Lisbon?" in room.say("My timezone is Europe/Lisbn!").text
    assert "Say it like" in room.say("my time zone is 7").text
    room.say("note", log(fed("group B")))
    assert room.entries()[0].zone == "Asia/Tokyo"


def test_the_name_of_a_place_taken_meanwhile_is_a_sentence(room: Room) -> None:
    """Undoing a closing whose name is in use again is refused with a sentence, not an error."""
    set_up(room, "add_place", name="tub 9")
    room.say("close it", Meaning("setup", setup=Setup("close", {"name": "tub 9"})), key="closing")
    set_up(room, "add_place", name="tub 9")
    assert "called tub 9 already" in room.say("undo", UNDO, reply_to="closing").text
