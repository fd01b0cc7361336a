"""What is told beside the echo of a check over salt, of a reading made with a checked meter, and of feeders in stock."""

from __future__ import annotations

import pytest

from bot.language.meaning import Entry, Meaning
from tests.conversation.room import TODAY, UNDO, Room, change, fed, log


def check(room: Room, shown: float, warm: float | None = 24, salt: str = "NaCl") -> list[str]:
    """A check of hyg 3, and the lines of the reply after the echo."""
    fields = {"meter": "hyg 3", "salt": salt, "shown_pct": [shown, shown]}
    told = fields if warm is None else {**fields, "checked_c": [warm, warm]}
    reply = room.say(f"hyg 3 {shown} {salt} {warm}", log(Entry("note", (), TODAY, fields=told)))
    return reply.text.splitlines()


def stock(room: Room, how: str, number: int) -> str:
    """A lot of crickets, and the reply."""
    note = Entry("note", (), TODAY, fields={"feeder": "cricket", "stock": how, "pieces": [number, number]})
    return room.say(f"{how} {number}", log(note)).text


def test_a_check_says_how_far_off_the_meter_is(room: Room) -> None:
    """The echo has what was read over what; then what the air stands at (Greenspan 1977) and what is done from now on."""
    said = check(room, 71)
    assert said[0] == "Written: hyg 3 read 71 % over table salt at 24 °C, Tue 3 Mar 2026."
    assert (
        said[1] == "Over wet table salt the air stands at 75.3 % at 24 °C (Greenspan 1977), so hyg 3 is 4.3 points low."
    )
    assert said[2] == "Its readings from now on are shown with +4.3 points, the raw ones kept."


def test_a_check_without_a_temperature_says_what_was_taken(room: Room) -> None:
    """From 20 to 25 °C table salt holds 75.48 to 75.30 %, so the offset is a range."""
    said = check(room, 71, None)
    assert said[1] == (
        "Over wet table salt the air stands at 75.3 to 75.5 % at 20 to 25 °C (taken, as no temperature was told) "
        "(Greenspan 1977), so hyg 3 is 4.3 to 4.5 points low."
    )


@pytest.mark.parametrize(("shown", "off"), [(74, "1.3 points low"), (77, "1.7 points high")])
def test_under_two_points_is_left(room: Room, shown: float, off: str) -> None:
    """Household meters are specified to no better."""
    said = check(room, shown)
    assert said[1].endswith(f"hyg 3 is {off}.")
    assert said[2] == "Under 2 points: its readings are left as they are."


def test_far_off_the_check_itself_is_doubted(room: Room) -> None:
    """More than ten points may be dry salt."""
    assert "So far off, make sure that the salt was wet and stood 8 to 24 hours." in check(room, 60)


def test_both_salts(room: Room) -> None:
    """The second salt makes a line of the two checks."""
    assert "so hyg 3 is 4.2 points high." in check(room, 37, salt="MgCl2")[1]
    assert (
        check(room, 72)[2] == "Both salts are told, so its readings from now on are set right on a line through both."
    )


def test_a_check_that_cannot_be(room: Room) -> None:
    """Salt in a freezer or an oven says nothing of a meter."""
    assert (
        check(room, 71, 70)[1] == "That is no temperature or reading of a check over table salt, so it changes nothing."
    )


def test_a_reading_is_said_as_it_will_be_shown(room: Room) -> None:
    """The journal keeps the raw number; the reply says what it comes to."""
    check(room, 71)
    reading = Entry("reading", ("tub 4",), TODAY, fields={"humidity_pct": [57, 57], "meter": "hyg 3"})
    said = room.say("tub 4 57% hyg 3", log(reading)).text.splitlines()
    assert said == [
        "Written: tub 4: 57 % humidity by hyg 3, Tue 3 Mar 2026.",
        "hyg 3 was checked over salt, so its 57 % is shown as 61 %.",
    ]
    assert room.entries()[-1].fields["humidity_pct"] == [57, 57]


def test_a_reading_of_no_known_meter_is_only_echoed(room: Room) -> None:
    """Another meter's check is nothing to it."""
    check(room, 71)
    reading = Entry("reading", ("tub 4",), TODAY, fields={"humidity_pct": [57, 57]})
    assert room.say("tub 4 57%", log(reading)).text == "Written: tub 4: 57 % humidity, Tue 3 Mar 2026."


def test_a_check_taken_back_changes_nothing_any_more(room: Room) -> None:
    """Undo takes the offset away with the check."""
    check(room, 71)
    room.say("undo", UNDO)
    reading = Entry("reading", ("tub 4",), TODAY, fields={"humidity_pct": [57, 57], "meter": "hyg 3"})
    assert room.say("tub 4 57% hyg 3", log(reading)).text == "Written: tub 4: 57 % humidity by hyg 3, Tue 3 Mar 2026."


def test_where_a_meter_hangs_is_echoed(room: Room) -> None:
    """The note says the place and the meter."""
    note = Entry("note", ("tub 4",), TODAY, fields={"meter": "hyg 3"})
    assert room.say("hyg 3 is in tub 4", log(note)).text == "Written: tub 4: hyg 3 hangs here, Tue 3 Mar 2026."


def test_a_reading_by_a_meter_alone_is_of_where_it_hangs(room: Room) -> None:
    """The place is known from where the meter was put; a meter put nowhere leaves the question."""
    reading = Entry("reading", (), TODAY, fields={"humidity_pct": [57, 57], "meter": "hyg 3"})
    doubt = Meaning("unclear", entries=(reading,), missing=("subjects",), question="Which one was it for?")
    assert room.say("hyg 3 57%", doubt).text.startswith("Which one was it for?")
    room.say("hyg 3 is in tub 4", log(Entry("note", ("tub 4",), TODAY, fields={"meter": "hyg 3"})))
    said = room.say("hyg 3 57 %", doubt).text
    assert said == "Written: tub 4: 57 % humidity by hyg 3, Tue 3 Mar 2026."


def test_stock_is_said_with_its_sum(room: Room) -> None:
    """What came and what died are echoed, then what there is by the book, feedings taken away."""
    assert stock(room, "added", 500) == "Written: 500 crickets into stock, Tue 3 Mar 2026."
    room.say("fed B 12 crickets", log(fed("group B", prey="cricket", quantity=[12, 12])))
    assert stock(room, "lost", 30).splitlines() == [
        "Written: 30 crickets out of stock, dead or thrown away, Tue 3 Mar 2026.",
        "In stock now by the book: 458 crickets.",
    ]
    assert stock(room, "left", 400) == "Written: 400 crickets left in stock, Tue 3 Mar 2026."


def test_a_wrong_number_of_a_stock_is_changed(room: Room) -> None:
    """“make that 300” after a lot changes the number of the lot, and undo takes it back."""
    stock(room, "added", 500)
    assert "300 crickets into stock" in room.say("make that 300", change(quantity=[300, 300])).text
    assert room.entries()[-1].fields["pieces"] == [300, 300]
    assert "300 locusts into stock" in room.say("no, locusts", change(prey="locust")).text
