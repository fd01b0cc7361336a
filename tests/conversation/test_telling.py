"""What is told is written, and said back as it was written."""

from __future__ import annotations

from datetime import date, time, timedelta

import pytest

from bot.language.meaning import Ask, Entry, Meaning, Plan
from tests.conversation.room import TODAY, Room, add, fed, log


def test_a_log_is_echoed_with_names_and_the_absolute_date(room: Room) -> None:
    """The echo of a feeding says who, what, how many and on which date, and hands over the entry as the contract has it."""
    meaning = log(fed("group B", on=date(2026, 3, 2), prey="roach", quantity=[3, 3]))
    reply = room.say("fed B 3 roaches yesterday", meaning)
    assert reply.text == "Written: group B: fed 3 roaches, Mon 2 Mar 2026."
    assert reply.entries == (
        {"kind": "feeding", "subjects": ["group B"], "on": "2026-03-02", "prey": "roach", "quantity": [3, 3]},
    )


def test_one_act_on_several_places_is_one_entry(room: Room) -> None:
    """Misting two tubs makes a single entry with both as its subjects."""
    room.say("misted both", log(Entry("misting", ("tub 2", "tub 4"), TODAY)))
    assert room.lines() == [("misting", ("tub 2", "tub 4"), TODAY, {})]


def test_an_entry_keeps_the_words_it_came_from(room: Room) -> None:
    """The journal holds the keeper's own words beside what was read from them."""
    room.say("fed B", log(fed("group B")))
    assert room.entries()[0].words == "fed B"


def test_time_and_part_of_day_are_kept_and_said(room: Room) -> None:
    """A clock time and a part of the day stand in the entry and in its echo."""
    meaning = log(Entry("misting", ("tub 4",), TODAY, time(9, 30), "morning"))
    reply = room.say("misted 4 at 9:30 this morning", meaning)
    assert "morning" in reply.text
    assert "09:30" in reply.text
    assert reply.entries[0]["at"] == "09:30"


def test_a_plan_is_kept_apart_from_what_was_done(room: Room) -> None:
    """Something to come is echoed as planned, and stands in the journal with the mood plan."""
    plan = Plan("feeding", ("group B",), date(2026, 3, 5))
    reply = room.say("feed B on thursday", Meaning("plan", plans=(plan,)))
    assert reply.text.startswith("Planned: group B")
    assert [row.mood for row in room.entries()] == ["plan"]


def test_a_repeating_plan_needs_no_day(room: Room) -> None:
    """“Every two days” is a plan without a day of its own."""
    plan = Plan("misting", ("tub 4",), every_days=2)
    assert "every 2 days" in room.say("mist 4 every other day", Meaning("plan", plans=(plan,))).text


def test_a_log_that_also_asks_and_plans_gets_all_in_one_reply(room: Room) -> None:
    """One message may log, plan and ask: one reply says what was written, what is planned, and the answer."""
    meaning = log(
        fed("group B"),
        plans=(Plan("feeding", ("group B",), date(2026, 3, 10)),),
        ask=Ask("last", "misting", ("tub 4",)),
    )
    text = room.say("fed B, again in a week, and when was 4 misted", meaning).text
    assert "Written: group B" in text
    assert "Planned: group B" in text
    assert "misting" in text.splitlines()[-1]


def test_an_answer_counts_what_the_same_message_told(room: Room) -> None:
    """A question beside a log is answered with the log already in the journal."""
    meaning = log(fed("group B"), ask=Ask("last", "feeding", ("group B",)))
    assert "today" in room.say("fed B. when did B last eat", meaning).text.splitlines()[-1]


def test_small_talk_is_never_an_entry(room: Room) -> None:
    """Thanks and greetings get a line back and write nothing."""
    assert room.say("thanks!").text == "You are welcome."
    assert room.say("hello").text.startswith("Hello")
    assert room.say("night all!").text.startswith("Good night")
    assert room.say("ok").text == "All right."
    assert "No question is open" in room.say("never mind").text
    assert "nothing down" in room.say("lovely weather we are having over here today").text
    assert room.entries() == []


def test_words_after_note_are_kept(room: Room) -> None:
    """What begins with "note" and is about nobody is kept as a note all the same."""
    assert room.say("Note: the heater is broken").text == "Written: note: “the heater is broken”, Tue 3 Mar 2026."
    assert [row.words for row in room.entries()] == ["the heater is broken"]


@pytest.mark.parametrize("words", ["help", "/start", "What can you do?", "what can I say"])
def test_a_call_for_help_is_answered(room: Room, words: str) -> None:
    """However it is asked, help says what can be said."""
    assert "undo" in room.say(words).text


def test_a_long_history_goes_on_with_more(room: Room) -> None:
    """“More” brings the next page, as long as there is one; then it is a word like any other."""
    for ago in range(80):
        day = TODAY - timedelta(days=ago)
        room.say(f"fed B {ago} days ago", log(fed("group B", on=day)))
    history = Meaning("ask", ask=Ask("history", subjects=("group B",)))
    first = room.say("show me B", history)
    assert first.choices
    texts = [first.text]
    while len(texts) < 9 and (reply := room.say("more")).header:
        texts.append(reply.text)
    assert 1 < len(texts) < 9
    assert "Tue 3 Mar" in texts[0]
    assert "Dec" in texts[-1]


def test_an_undated_log_is_not_written(room: Room) -> None:
    """An entry whose day is in doubt is refused with a sentence instead of being given some day."""
    reply = room.say("fed B some day", log(Entry("feeding", ("group B",), None)))
    assert "which day" in reply.text
    assert room.entries() == []


def test_a_log_in_the_future_is_not_written(room: Room) -> None:
    """What has not come yet cannot have been done."""
    reply = room.say("fed B on friday", log(fed("group B", on=date(2026, 3, 6))))
    assert "Fri 6 Mar 2026 has not come yet" in reply.text
    assert room.entries() == []


def test_a_plan_in_the_past_is_not_made(room: Room) -> None:
    """A reminder for a day that is over is refused with a sentence."""
    plan = Plan("feeding", ("group B",), date(2026, 3, 1))
    assert "is past" in room.say("remind me", Meaning("plan", plans=(plan,))).text
    odd = Plan("feeding", ("group B",), every_days=0)
    assert "how many days" in room.say("remind me always", Meaning("plan", plans=(odd,))).text
    assert room.entries() == []


def test_an_unknown_name_writes_nothing(room: Room) -> None:
    """If one of two entries names somebody unknown, neither is written."""
    reply = room.say("fed B and Q", log(fed("group B"), fed("group Q")))
    assert reply.text == "There is no group Q on the roster, so nothing was written."
    assert room.entries() == []


@pytest.mark.parametrize(
    ("field", "span"),
    [
        ("count", [-3, -3]),
        ("count", [10**9, 10**9]),
        ("quantity", [5, 2]),
        ("number", [None, None]),
        ("temperature_c", [240.0, 240.0]),
        ("humidity_pct", [55, 155]),
    ],
)
def test_a_number_that_cannot_be_true_is_refused(room: Room, field: str, span: list[float | None]) -> None:
    """Absurd numbers are answered with a sentence, nothing is written, and the next message works."""
    reply = room.say("odd", log(Entry("note", ("tub 4",), TODAY, fields={field: span})))
    assert "cannot be right" in reply.text
    assert room.entries() == []
    assert room.say("fed B", log(fed("group B"))).text.startswith("Written")


def test_a_hatched_sac_offers_to_add_the_brood(room: Room) -> None:
    """The hatching stays with the mother, and one line says how the brood gets onto the roster."""
    sac = Entry("sac", ("Saffron",), TODAY, fields={"stage": "hatched", "number": [60, 60]})
    reply = room.say("Saffron's sac hatched, 60", log(sac))
    assert "“add brood NAME, 60 from Saffron, in PLACE”" in reply.text


def test_the_death_of_an_animal_says_how_to_close_it(room: Room) -> None:
    """A dead animal stays on the roster until the keeper says otherwise; a death in a group says nothing of that."""
    reply = room.say("Saffron died", log(Entry("death", ("Saffron",), TODAY)))
    assert "“close Saffron”" in reply.text
    assert "close" not in room.say("one of B died", log(Entry("death", ("group B",), TODAY))).text


def test_the_reader_is_given_the_place_last_talked_of(room: Room) -> None:
    """“She” may lean on the one place that was just talked of, for fifteen minutes."""
    room.say("fed B", log(fed("group B")))
    room.say("and again")
    assert room.told.contexts[-1].focus == ("group B",)
    assert [entry.kind for entry in room.told.contexts[-1].last] == ["feeding"]
    room.clock.pass_time(timedelta(minutes=16))
    room.say("and again")
    stale = room.told.contexts[-1]
    assert (stale.focus, stale.last) == ((), ())


def test_without_a_pronoun_there_is_no_place_to_lean_on(room: Room) -> None:
    """A message that names nobody at all does not silently mean the last one talked of."""
    room.say("fed B", log(fed("group B")))
    room.say("fed 3 roaches")
    assert room.told.contexts[-1].focus == ()


def test_two_places_give_no_place_to_lean_on(room: Room) -> None:
    """After a message about two places, "they" could mean either, so the reader is given none."""
    room.say("fed both", log(fed("group B", "group D")))
    room.say("and again")
    assert room.told.contexts[-1].focus == ()


def test_a_group_and_its_tub_are_one_place_to_lean_on(room: Room) -> None:
    """A group and the tub it lives in are the same place, so the reader may lean on them."""
    room.say("B and 4", log(fed("group B"), Entry("misting", ("tub 4",), TODAY)))
    room.say("and again")
    assert set(room.told.contexts[-1].focus) == {"group B", "tub 4"}


def test_a_question_gives_a_place_to_lean_on(room: Room) -> None:
    """“When did Saffron eat” and then "fed her": the question says who she is."""
    room.say("when did Saffron eat", Meaning("ask", ask=Ask("last", "feeding", ("Saffron",))))
    room.say("thanks")
    room.say("fed her")
    assert room.told.contexts[-1].focus == ("Saffron",)


def test_one_that_lives_nowhere_is_known_to_the_reader(room: Room) -> None:
    """An animal without a place is on the roster that messages are read with."""
    add(room, "Bramble")
    room.say("hello")
    assert room.told.rosters[-1].place_of("Bramble") == "Bramble"
