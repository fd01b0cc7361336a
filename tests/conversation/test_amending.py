"""Corrections: what they change, what they leave, and what undo brings back."""

from __future__ import annotations

from datetime import date, time

import pytest

from bot.language.meaning import Amend, Entry, Meaning, Plan
from tests.conversation.room import TODAY, UNDO, Room, change, fed, log

YESTERDAY = date(2026, 3, 2)


def test_undo_takes_back_the_last_message(room: Room) -> None:
    """Undo retracts all that the last message wrote, and says it."""
    room.say("fed B", log(fed("group B")))
    room.say("fed D and misted", log(fed("group D"), Entry("misting", ("tub 2",), TODAY)))
    reply = room.say("undo", UNDO)
    assert reply.text == "Taken back: group D: fed, Tue 3 Mar 2026; tub 2: misted, Tue 3 Mar 2026."
    assert [line[1] for line in room.lines()] == [("group B",)]


def test_undo_again_takes_back_the_one_before(room: Room) -> None:
    """Each undo goes one message further back; with nothing left it says so."""
    room.say("fed B", log(fed("group B")))
    room.say("fed D", log(fed("group D")))
    room.say("undo", UNDO)
    room.say("undo", UNDO)
    assert room.entries() == []


def test_the_subject_is_corrected(room: Room) -> None:
    """“No, D not B” changes who it was and leaves all else."""
    room.say("fed B 3", log(fed("group B", quantity=[3, 3])))
    reply = room.say("no, D not B", change(subjects=("group D",)))
    assert reply.text == "Changed, now: group D: fed 3, Tue 3 Mar 2026."
    assert room.lines() == [("feeding", ("group D",), TODAY, {"quantity": [3, 3]})]


def test_only_the_subject_named_as_wrong_is_replaced(room: Room) -> None:
    """In "fed B and Saffron", "no, D not B" keeps Saffron, and the order."""
    room.say("fed B and Saffron", log(fed("group B", "Saffron")))
    room.say("no, D not B", change(subjects=("group D",)))
    assert room.lines()[0][1] == ("group D", "Saffron")


def test_only_the_entry_that_names_the_wrong_one_is_changed(room: Room) -> None:
    """Of two entries on different places, the one with the name said to be wrong is corrected."""
    room.say("fed B, misted 7", log(fed("group B"), Entry("misting", ("tub 7",), TODAY)))
    room.say("no, D not B", change(subjects=("group D",)))
    assert sorted(line[1] for line in room.lines()) == [("group D",), ("tub 7",)]


def test_a_new_subject_for_several_entries_is_asked_about(room: Room) -> None:
    """“No, D” after two entries on different places: which of them is asked, with the entries as choices."""
    room.say("fed B, misted 7", log(fed("group B"), Entry("misting", ("tub 7",), TODAY)))
    reply = room.say("no, D!", change(subjects=("group D",)))
    assert reply.choices == ("group B: fed, Tue 3 Mar 2026", "tub 7: misted, Tue 3 Mar 2026")
    room.say("1")
    assert sorted(line[1] for line in room.lines()) == [("group D",), ("tub 7",)]


def test_the_day_of_all_entries_is_corrected(room: Room) -> None:
    """“That was yesterday” moves every entry of the message, and drops nothing else."""
    room.say("fed B, misted 7", log(fed("group B"), Entry("misting", ("tub 7",), TODAY)))
    room.say("that was yesterday", change(on=YESTERDAY))
    assert {line[2] for line in room.lines()} == {YESTERDAY}


def test_a_day_to_come_is_refused(room: Room) -> None:
    """A correction may not put a log into the future; what stood still stands."""
    room.say("fed B", log(fed("group B")))
    assert "has not come yet" in room.say("that was friday", change(on=date(2026, 3, 6))).text
    assert room.lines()[0][2] == TODAY


def test_an_unknown_subject_is_refused(room: Room) -> None:
    """A correction to a name that is not on the roster changes nothing."""
    room.say("fed B", log(fed("group B")))
    assert "no group Q" in room.say("no, Q", change(subjects=("group Q",))).text
    assert room.lines()[0][1] == ("group B",)


@pytest.mark.parametrize(
    ("kind", "fields", "field"),
    [
        ("feeding", {"quantity": [3, 3]}, "quantity"),
        ("feeding", {}, "quantity"),
        ("moult", {"number": [1, 1]}, "number"),
        ("death", {}, "number"),
        ("count", {"count": [40, 40]}, "count"),
        ("measurement", {"measure": "weight", "value": [34.0, 34.0]}, "value"),
    ],
)
def test_a_bare_number_changes_whichever_number_the_entry_carries(
    room: Room, kind: str, fields: dict[str, object], field: str
) -> None:
    """“Make that 4” finds the number of the last entry, under whatever name."""
    room.say("told", log(Entry(kind, ("group B",), TODAY, fields=fields)))
    room.say("make that 4", change(quantity=[4, 4]))
    assert room.lines()[0][3] == {**fields, field: [4, 4]}


def test_a_number_for_what_has_none_is_refused(room: Room) -> None:
    """There is no number in a misting, so "make that 4" is answered with what stands."""
    room.say("misted 4", log(Entry("misting", ("tub 4",), TODAY)))
    assert "cannot tell what that changes" in room.say("make that 4", change(quantity=[4, 4])).text


def test_a_number_that_two_entries_carry_is_asked_about(room: Room) -> None:
    """With two numbers to choose from the keeper picks by number or by words; leaving it changes nothing."""
    room.say("fed both", log(fed("group B", quantity=[3, 3]), fed("group D", quantity=[5, 5])))
    assert len(room.say("make that 4", change(quantity=[4, 4])).choices) == 2
    room.say("group D: fed 5, Tue 3 Mar 2026")
    assert [line[3]["quantity"] for line in room.lines()] == [[3, 3], [4, 4]]
    room.say("make that 4", change(quantity=[4, 4]))
    assert "nothing was changed" in room.say("never mind").text


def test_the_outcome_goes_to_the_feeding(room: Room) -> None:
    """“She refused” after a feeding and a misting changes the feeding."""
    room.say("fed B, misted 7", log(fed("group B"), Entry("misting", ("tub 7",), TODAY)))
    room.say("they refused", change(outcome="refused"))
    assert room.lines()[-1][3] == {"outcome": "refused"}


def test_a_correction_that_changes_nothing_says_so(room: Room) -> None:
    """Saying what stands already writes nothing new."""
    room.say("fed B", log(fed("group B")))
    assert "stands so already" in room.say("that was today", change(on=TODAY)).text
    assert len(room.entries()) == 1


def test_a_correction_of_nothing_is_a_clear_sentence(room: Room) -> None:
    """Before anything was told there is nothing to correct."""
    with room.app.store.write() as session:
        from storage import households  # noqa: PLC0415

        households.add_member(session, 1, "console", "ana", "Ana", "keeper", room.clock.now())
    room.told.meanings |= {"make that 4": change(quantity=[4, 4]), "undo": UNDO}
    assert "nothing of yours to change" in room.say("make that 4", address="ana").text
    assert "nothing of yours to take back" in room.say("undo", address="ana").text


def test_undo_of_a_correction_brings_the_former_reading_back(room: Room) -> None:
    """After two corrections, each undo goes one reading back, and the last takes the act itself back."""
    room.say("fed B 3", log(fed("group B", quantity=[3, 3])))
    room.say("no, D not B", change(subjects=("group D",)))
    room.say("make that 4", change(quantity=[4, 4]))
    assert "As before: group D: fed 3" in room.say("undo", UNDO).text
    assert room.lines() == [("feeding", ("group D",), TODAY, {"quantity": [3, 3]})]
    assert "As before: group B: fed 3" in room.say("undo", UNDO).text
    assert room.lines() == [("feeding", ("group B",), TODAY, {"quantity": [3, 3]})]
    room.say("undo", UNDO)
    assert room.entries() == []


def test_a_correction_after_an_undone_correction_counts(room: Room) -> None:
    """The reading that undo brought back can be corrected in its turn."""
    room.say("fed B 3", log(fed("group B", quantity=[3, 3])))
    room.say("make that 4", change(quantity=[4, 4]))
    room.say("undo", UNDO)
    room.say("that was yesterday", change(on=YESTERDAY))
    assert room.lines() == [("feeding", ("group B",), YESTERDAY, {"quantity": [3, 3]})]
    room.say("undo", UNDO)
    assert room.lines() == [("feeding", ("group B",), TODAY, {"quantity": [3, 3]})]


def test_a_correction_of_one_of_two_entries_leaves_both_correctable(room: Room) -> None:
    """After one entry of a message was corrected, "that was yesterday" still means all of the message."""
    room.say("fed B 3, misted 7", log(fed("group B", quantity=[3, 3]), Entry("misting", ("tub 7",), TODAY)))
    room.say("make that 4", change(quantity=[4, 4]))
    room.say("that was yesterday", change(on=YESTERDAY))
    assert {line[2] for line in room.lines()} == {YESTERDAY}
    assert len(room.entries()) == 2


def test_an_earlier_message_is_corrected_by_answering_it(room: Room) -> None:
    """A correction that replies to an earlier message changes that one, not the last."""
    room.say("fed B 3", log(fed("group B", quantity=[3, 3])), key="m1")
    room.say("fed D 5", log(fed("group D", quantity=[5, 5])), key="m2")
    room.say("make that 4", change(quantity=[4, 4]), reply_to="m1")
    assert [line[3]["quantity"] for line in room.lines()] == [[5, 5], [4, 4]]
    room.say("undo", UNDO, reply_to="m1")
    assert [line[1] for line in room.lines()] == [("group D",)]
    assert "Nothing of that message stands" in room.say("undo", UNDO, reply_to="m1").text


def test_the_bots_own_reply_may_be_answered(room: Room) -> None:
    """Answering the bot's echo means the message it echoed."""
    from storage import outbox  # noqa: PLC0415

    room.say("fed B 3", log(fed("group B", quantity=[3, 3])), key="m1")
    with room.app.store.write() as session:
        from storage import inbox  # noqa: PLC0415

        row = inbox.find(session, 1, "console", "owner", "m1")
        assert row is not None
        outbox.mark_sent(session, outbox.answers_to(session, row.id)[0].id, "bot-1")
    room.say("fed D 5", log(fed("group D", quantity=[5, 5])))
    room.say("make that 4", change(quantity=[4, 4]), reply_to="bot-1")
    assert sorted(line[3]["quantity"] for line in room.lines()) == [[4, 4], [5, 5]]


def test_an_answer_to_a_message_that_never_came_is_an_ordinary_one(room: Room) -> None:
    """A reply to something unknown is taken by itself."""
    room.say("fed B", log(fed("group B")), reply_to="nobody knows")
    assert len(room.entries()) == 1


def test_a_plan_can_be_corrected(room: Room) -> None:
    """The day of a plan is changed like that of a log, but not into the past."""
    room.say("feed B thursday", Meaning("plan", plans=(Plan("feeding", ("group B",), date(2026, 3, 5)),)))
    assert room.say("make it friday", change(on=date(2026, 3, 6), at=time(9))).text.startswith("Planned: ")
    assert room.lines()[0][2] == date(2026, 3, 6)
    assert "in the past" in room.say("make it yesterday", change(on=YESTERDAY)).text


def test_a_number_does_not_fit_a_plan(room: Room) -> None:
    """“Make that 4” right after a plan without a number changes nothing, and says what stands."""
    room.say("feed B thursday", Meaning("plan", plans=(Plan("feeding", ("group B",), date(2026, 3, 5)),)))
    assert "cannot tell what that changes" in room.say("make that 4", change(quantity=[4, 4])).text


def test_a_viewer_may_ask_and_not_write(room: Room) -> None:
    """A viewer's log, correction and undo are refused politely; a question is answered."""
    from bot.language.meaning import Ask  # noqa: PLC0415
    from storage import households  # noqa: PLC0415

    with room.app.store.write() as session:
        households.add_member(session, 1, "console", "vic", "Vic", "viewer", room.clock.now())
    room.told.meanings |= {
        "fed B": log(fed("group B")),
        "undo": UNDO,
        "make that 4": change(quantity=[4, 4]),
        "fed Q": Meaning("unclear", missing=("subjects",), question="Which?"),
        "when": Meaning("ask", ask=Ask("last", "feeding", ("group B",))),
    }
    for text in ("fed B", "undo", "make that 4", "fed Q", "my time zone is Europe/Paris", "x" * 5000):
        assert "may ask here but not write" in room.say(text, address="vic").text
    assert "not write" not in room.say("when", address="vic").text
    assert room.entries() == []


def test_a_number_is_that_of_the_one_named(room: Room) -> None:
    """Of several written, the entry of whom the correction names is changed, and no other."""
    room.say("B 3, D 4 crickets", log(fed("group B", quantity=[3, 3]), fed("group D", quantity=[4, 4])))
    meant = Meaning("amend", amend=Amend("change", {"quantity": [5, 5]}, ("group D",)))
    assert room.say("no, D was 5", meant).text == "Changed, now: group D: fed 5, Tue 3 Mar 2026."
    assert [line[3]["quantity"] for line in room.lines()] == [[3, 3], [5, 5]]
