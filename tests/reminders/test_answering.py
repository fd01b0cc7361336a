"""Answers to what the bot asked unasked write what a text would have written, and can be taken back."""

from __future__ import annotations

from datetime import date

import pytest
from sqlalchemy import select

from storage.tables import Outbox
from tests.reminders.house import House


@pytest.fixture
def morning(house: House) -> House:
    """The list of the 5th is out: B to be fed, D to be misted, and nothing else."""
    house.say("no reminders for B")
    house.say("no reminders for D")
    house.say("feed B every 3 days")
    house.say("fed B 3 roaches")
    house.say("mist D every 3 days")
    house.say("misted D")
    heard = house.wait("03-05 08:05")
    assert heard[-1][1].choices == ("all done", "one by one", "later")
    return house


def since(house: House, day: int = 5) -> list[tuple[str, str]]:
    return [(row.kind, row.words) for row in house.entries() if row.on is not None and row.on >= date(2026, 3, day)]


def test_all_done_writes_one_entry_for_each_place_and_task(morning: House) -> None:
    """The words of the entries are those of the answer, and one undo takes them all back."""
    reply = morning.say("all done")
    assert reply.text.startswith("Written: ")
    assert sorted(since(morning)) == [("feeding", "all done"), ("misting", "all done")]
    assert len(reply.entries) == 2
    morning.say("undo")
    assert since(morning) == []


def test_what_was_told_meanwhile_is_not_told_twice(morning: House) -> None:
    """Fed before the answer: only the misting is written."""
    morning.say("fed B 2 roaches")
    morning.say("all done")
    assert [kind for kind, _ in since(morning)].count("feeding") == 1


def test_one_by_one_goes_through_the_list(morning: House) -> None:
    """Each is asked by itself; done, skipped, and nothing is open afterwards."""
    first = morning.say("one by one")
    assert first.choices == ("done", "later", "skip this once")
    second = morning.say("1")
    assert second.text.startswith("Written: group B: fed")
    assert second.choices == ("done", "later", "skip this once")
    assert morning.say("skip").text == "Skipped this once: group D: light misting."
    assert [kind for kind, _ in since(morning)] == ["feeding"]
    assert "group D" not in "".join(reply.text for _, reply in morning.wait("03-06 09:00"))


def test_a_skip_can_be_taken_back(morning: House) -> None:
    """After undo the task is due again."""
    morning.say("skip")
    assert morning.wait("03-06 09:00") == []
    morning.say("undo")
    assert "group B: feed" in "".join(reply.text for _, reply in morning.wait("03-07 09:00"))


@pytest.mark.parametrize(
    ("words", "when"), [("later", "03-05 10:05"), ("in 30 minutes", "03-05 08:35"), ("in 3 hours", "03-05 11:05")]
)
def test_a_list_can_be_put_off(morning: House, words: str, when: str) -> None:
    """It comes again at that time, as things stand then, and not before."""
    morning.say(words)
    assert [shown for shown, _ in morning.wait("03-05 12:00")] == [when]


def test_tomorrow_comes_with_the_list_of_tomorrow(morning: House) -> None:
    """One message, not two."""
    morning.say("tomorrow")
    assert [shown for shown, _ in morning.wait("03-06 12:00")] == ["03-06 08:00"]


def test_one_task_put_off_comes_by_itself(morning: House) -> None:
    """Of the list the rest is asked on; what was put off is a reminder of its own."""
    morning.say("one by one")
    following = morning.say("in 2 hours")
    assert "group D" in following.text
    morning.say("done")
    ((_, reminder),) = morning.wait("03-05 12:00")
    assert reminder.text == "Reminder: group B: feed"
    morning.say("done")
    assert sorted(kind for kind, _ in since(morning)) == ["feeding", "misting"]


def test_another_message_is_no_answer(morning: House) -> None:
    """A text about something else is dealt with as ever, and the list can still be answered."""
    assert morning.say("when did B last eat").text.startswith("group B")
    assert "all done" not in morning.say("hello").text
    assert morning.say("all done").text.startswith("Written")


def test_one_is_the_next_page_where_a_page_was_shown_last(morning: House) -> None:
    """The list is out, a long history was asked for since: its "more" goes first, the list is still open."""
    for number in range(1, 30):
        morning.say(f"D note: cork turned {number} times")
        morning.say(f"fed D {number} springtails on the 4th")
    assert "more" in morning.say("show me D since january").choices
    assert "Written" not in morning.say("1").text
    assert morning.say("all done").text.startswith("Written")


def test_a_reply_answers_the_push_that_it_hangs_on(morning: House) -> None:
    """Though a later question is open, a reply to the list is about the list."""
    with morning.app.store.write() as session:
        for push in session.scalars(select(Outbox).where(Outbox.inbox_id.is_(None))):
            push.service_id = "service 7"
    morning.say("fed the purple one")
    assert morning.say("all done", reply_to="service 7").text.startswith("Written")


def test_a_look_in_answered(house: House) -> None:
    """Nothing yet is a sighting of nobody, out is one of them; the morning after it is about the evening before."""
    house.say("moved B to tub 9")
    house.wait("03-03 20:05")
    reply = house.say("nothing yet")
    assert "hiding, not seen, Tue 3 Mar 2026" in reply.text
    house.wait("03-06 07:00")
    assert "Thu 5 Mar 2026, night" in house.say("out").text


def test_live_prey_answered(house: House) -> None:
    """Eaten corrects the feeding; undo brings it back as it was."""
    house.say("fed D 2 live crickets")
    house.wait("03-03 08:05")
    house.say("eaten")
    assert [row.fields.get("outcome") for row in house.entries() if row.kind == "feeding"] == ["ate"]
    house.say("undo")
    assert [row.fields.get("outcome") for row in house.entries() if row.kind == "feeding"] == [None]


def test_a_head_count_is_not_done_by_saying_so(house: House) -> None:
    """A task that needs its number is left, and the reply says what to say instead."""
    house.say("no reminders for B")
    house.say("no reminders for D")
    house.say("remind me to count B on the 4th")
    house.wait("03-04 08:05")
    assert "needs its number" in house.say("done").text
    assert since(house, 4) == []


def test_a_reminder_of_nobody_is_done_as_a_note(house: House) -> None:
    """It is written down, and does not come again."""
    house.say("no reminders for B")
    house.say("no reminders for D")
    house.say("remind me to order crickets on the 4th at 7pm")
    house.wait("03-04 19:05")
    assert "order crickets" in house.say("done").text
    assert house.wait("03-06 12:00") == []


def test_one_plan_for_several_is_a_task_for_each(house: House) -> None:
    """A reminder that names B and D asks for both, and what is done of one leaves the other."""
    house.say("no reminders for B")
    house.say("no reminders for D")
    house.say("remind me to check B and D on the 4th at 7pm")
    ((_, reminder), *_rest) = [one for one in house.wait("03-04 19:05") if "Reminder" in one[1].text]
    assert "group B" in reminder.text
    assert "group D" in reminder.text
    house.say("one by one")
    house.say("done")
    assert [(row.kind, len(row.subjects)) for row in house.entries() if row.on == date(2026, 3, 4)] == [("note", 1)]
    assert "group D" in house.say("done").text


def test_a_corrected_answer_still_answers_its_plan(house: House) -> None:
    """The note that a reminder is done is put on another day: the reminder does not stand again."""
    house.say("no reminders for B")
    house.say("no reminders for D")
    house.say("remind me to order crickets on the 4th at 7pm")
    house.wait("03-04 19:05")
    house.say("done")
    assert "Changed" in house.say("no, that was yesterday").text
    assert [row.fields.get("plan") is not None for row in house.entries() if row.kind == "note"] == [True]
    assert house.wait("03-06 12:00") == []
