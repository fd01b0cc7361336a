"""Questions: the answer by number, by words or in other words; and everything that is no answer."""

from __future__ import annotations

from dataclasses import replace
from datetime import date, timedelta

import pytest

from bot.language.meaning import Ask, Choice, Entry, Meaning, Plan
from tests.conversation.room import TODAY, UNDO, Room, add, fed, log

WHICH = Meaning(
    "unclear",
    entries=(Entry("feeding", (), TODAY, fields={"quantity": [3, 3]}),),
    missing=("subjects",),
    question="Which one did you feed?",
    choices=(Choice("group B", {"subjects": ("group B",)}), Choice("group D", {"subjects": ("group D",)})),
)
NAMELESS = Meaning("unclear", missing=("subjects",), question="")


def test_a_question_offers_choices_and_writes_nothing(room: Room) -> None:
    """While something is in doubt nothing is written, and the choices come in order."""
    reply = room.say("fed 3", WHICH)
    assert (reply.text, reply.choices) == ("Which one did you feed?", ("group B", "group D"))
    assert room.entries() == []


@pytest.mark.parametrize("answer", ["2", "2.", "#2", "group D", " Group  d! "])
def test_a_choice_is_taken_by_number_or_words(room: Room, answer: str) -> None:
    """The number of a choice and its words both settle the question; the entry belongs to the first message."""
    room.say("fed 3", WHICH)
    reply = room.say(answer)
    assert reply.text == "Written: group D: fed 3, Tue 3 Mar 2026."
    assert room.entries()[0].words == "fed 3"


def test_an_answer_in_other_words_is_left_to_the_reader(room: Room) -> None:
    """What is no choice is offered to the reader, with what is pending."""
    room.told.answers["the red one"] = log(fed("Saffron", quantity=[3, 3]))
    room.say("fed 3", WHICH)
    room.say("the red one")
    assert room.lines() == [("feeding", ("Saffron",), TODAY, {"quantity": [3, 3]})]


def test_a_message_that_stands_for_itself_is_no_answer(room: Room) -> None:
    """What tells of other places by itself is a new message, even if the reader could make an answer of it."""
    room.told.answers["misted everyone"] = log(Entry("misting", ("group B",), TODAY))
    room.told.answers["fed D"] = log(fed("group D", quantity=[3, 3]))
    room.say("B", Meaning("unclear", entries=(Entry("note", ("group B",), TODAY),), missing=("kind",)))
    room.say("misted everyone", log(Entry("misting", ("tub 2", "tub 4", "tub 7"), TODAY)))
    assert room.lines()[-1][:2] == ("misting", ("tub 2", "tub 4", "tub 7"))
    room.say("fed 3", WHICH)
    room.say("fed D", log(fed("group D")))
    assert room.lines()[-1] == ("feeding", ("group D",), TODAY, {"quantity": [3, 3]})


def test_a_question_or_a_set_up_is_no_answer(room: Room) -> None:
    """“Show me pot 3” names a place and asks; "B?" is an answer given unsurely."""
    room.told.answers |= {"show me D": log(fed("group D")), "D?": log(fed("group D"))}
    room.say("fed 3", WHICH)
    room.say("show me D", Meaning("ask", ask=Ask("history", subjects=("group D",))))
    assert room.entries() == []
    room.say("D?", Meaning("ask", ask=Ask("history", subjects=("group D",))))
    assert room.lines()[0][1] == ("group D",)


def test_a_question_that_was_in_doubt_leaves_no_note(room: Room) -> None:
    """Dropping what was only asked keeps no note: nothing had happened."""
    room.say("when did Q eat", Meaning("unclear", ask=Ask("last", "feeding"), missing=("subjects",), question="Who?"))
    assert room.say("never mind").text == "“when did Q eat” was left unanswered."
    assert room.entries() == []


def test_a_question_without_choices_is_given_some(room: Room) -> None:
    """Who it may be about is offered from the roster, and a day in doubt as today or yesterday."""
    bare = replace(WHICH, choices=())
    assert room.say("fed 3", bare).choices == ("group B", "group D", "Saffron")
    assert room.say("3").text == "Written: Saffron: fed 3, Tue 3 Mar 2026."
    undated = Meaning("unclear", entries=(Entry("feeding", ("group B",), None),), missing=("on",), question="When?")
    assert room.say("fed B on the 31st", undated).choices == ("today", "yesterday")
    assert "Mon 2 Mar 2026" in room.say("yesterday").text


def test_of_many_those_told_of_lately_are_offered(room: Room) -> None:
    """On a long roster the choices are those that something was told of, latest first."""
    for name in ("Ash", "Birch", "Cedar", "Elm"):
        add(room, name)
    room.say("fed Elm", log(fed("Elm")))
    room.say("fed B", log(fed("group B")))
    assert room.say("fed 3", replace(WHICH, choices=())).choices == ("group B", "Elm")


def test_an_answer_may_leave_something_else_in_doubt(room: Room) -> None:
    """If the answer is still unclear the next question is asked, about the same words."""
    room.told.answers["group D"] = Meaning("unclear", missing=("on",), entries=(Entry("feeding", ("group D",), None),))
    room.told.answers["today"] = log(fed("group D"))
    room.say("fed 3", WHICH)
    assert room.say("2").text == "Which day was that?"
    room.say("today")
    assert [row.words for row in room.entries()] == ["fed 3"]


def test_a_number_that_is_no_choice_answers_nothing(room: Room) -> None:
    """“7” among two choices is no answer; the question is left open."""
    room.say("fed 3", WHICH)
    room.say("7", NAMELESS)
    room.say("1")
    assert room.lines()[0][1] == ("group B",)


@pytest.mark.parametrize("words", ["never mind", "nm", "cancel", "Leave it.", "forget it"])
def test_never_mind_keeps_the_words_as_a_note(room: Room, words: str) -> None:
    """Dropping a question writes no feeding, but the words are kept."""
    room.say("fed 3", WHICH)
    assert room.say(words).text == "Kept your words as a note: “fed 3”."
    assert [(row.kind, row.words) for row in room.entries()] == [("note", "fed 3")]
    room.say("2")
    assert len(room.entries()) == 1


def test_an_unrelated_log_keeps_the_old_words_as_a_note(room: Room) -> None:
    """A new log while a question is open is written; the words in doubt are kept, and one sentence says so."""
    room.say("fed 3", WHICH)
    reply = room.say("misted 7", log(Entry("misting", ("tub 7",), TODAY)))
    assert reply.text.splitlines() == ["Kept your words as a note: “fed 3”.", "Written: tub 7: misted, Tue 3 Mar 2026."]
    assert [row.kind for row in room.entries()] == ["note", "misting"]


def test_a_question_of_the_keepers_own_leaves_ours_open(room: Room) -> None:
    """Asking something meanwhile is answered, with a reminder; the answer may still come."""
    room.say("fed 3", WHICH)
    reply = room.say("when did B eat", Meaning("ask", ask=Ask("last", "feeding", ("group B",))))
    assert reply.text.endswith("Still open: Which one did you feed?")
    assert reply.choices == ("group B", "group D")
    room.say("1")
    assert room.lines()[0][1] == ("group B",)


def test_what_cannot_be_read_repeats_the_question(room: Room) -> None:
    """Words that say nothing are met with the same question, not with another one."""
    room.say("fed 3", WHICH)
    assert room.say("the glorp", NAMELESS).text == "I did not get that. Which one did you feed?"


def test_undo_drops_the_question(room: Room) -> None:
    """Undo right after a question takes that message back, not the one before."""
    room.say("fed D", log(fed("group D")))
    room.say("fed 3", WHICH)
    assert room.say("undo", UNDO).text == "Dropped the question; nothing was written by that message."
    assert [line[1] for line in room.lines()] == [("group D",)]


def test_a_question_is_not_waited_on_for_ever(room: Room) -> None:
    """A day later "2" is no answer any more: the words are kept as a note, and the new message stands for itself."""
    room.say("fed 3", WHICH)
    room.clock.pass_time(timedelta(days=1))
    reply = room.say("2", Meaning("unclear", missing=("kind",), question=""))
    assert [row.on for row in room.entries()] == [TODAY]
    assert reply.text.startswith("Kept your words as a note: “fed 3”.")
    assert "What was done" in reply.text


def test_a_refused_answer_leaves_the_question_open(room: Room) -> None:
    """An answer that cannot be (a day to come) is refused, and a better one is taken."""
    pending = Meaning("unclear", entries=(Entry("feeding", ("group B",), None),), missing=("on",), question="When?")
    room.told.answers["friday"] = log(fed("group B", on=date(2026, 3, 6)))
    room.told.answers["today"] = log(fed("group B"))
    room.say("fed B on the 31st", pending)
    assert "has not come yet" in room.say("friday").text
    assert room.say("today").text.startswith("Written")


def test_a_plan_in_doubt_is_settled_by_a_choice(room: Room) -> None:
    """A choice settles what is missing in a plan as in a log."""
    doubt = Meaning(
        "unclear",
        plans=(Plan("feeding", (), date(2026, 3, 5)),),
        missing=("subjects",),
        question="Feed which?",
        choices=(Choice("group B", {"subjects": ["group B"]}),),
    )
    room.say("feed on thursday", doubt)
    assert room.say("1").text.startswith("Planned: group B")


def test_the_answer_to_a_settled_question_counts_as_its_message(room: Room) -> None:
    """Undo after an answered question takes back what the answer wrote; replying to the answer means the same."""
    room.say("fed 3", WHICH, key="m1")
    room.say("2", key="m2")
    room.say("fed B", log(fed("group B")))
    room.say("undo", UNDO, reply_to="m2")
    assert [line[1] for line in room.lines()] == [("group B",)]
