"""What the bot says unasked, to whom, and when."""

from __future__ import annotations

from datetime import time

import pytest

from bot.reminders import message
from bot.reminders import sweep as sweeping
from bot.reminders.sweep import LEASE
from storage import preferences
from storage.preferences import PreferenceRow
from tests.reminders.house import House


def quiet(house: House) -> None:
    """Leave only what the keeper plans: no task of the care sheets."""
    house.say("no reminders for B")
    house.say("no reminders for D")


def test_a_reminder_comes_at_its_time_and_once(house: House) -> None:
    """Asked for 7 pm of a day, it comes then, and the sweeps after it say nothing more of it."""
    house.say("remind me to pull the sac of D on the 5th at 7pm")
    heard = [(when, reply.text) for when, reply in house.wait("03-05 23:00") if "Reminder" in reply.text]
    assert [when for when, _ in heard] == ["03-05 19:00"]
    assert "group D: see to the egg sac" in heard[0][1]
    assert house.sweep() == []


def test_an_act_told_before_cancels_its_reminder(house: House) -> None:
    """What was done at noon is not reminded of in the evening."""
    house.say("remind me to weigh D on the 5th at 7pm")
    house.wait("03-05 12:00")
    house.say("D weighs 4 g")
    assert not [reply for _, reply in house.wait("03-05 23:00") if "Reminder" in reply.text]


def test_the_morning_list_is_one_message_with_choices(house: House) -> None:
    """At eight: the day, what is overdue and due in short lines, and how to answer it all."""
    house.say("feed B every 2 days")
    house.say("fed B 3 roaches")
    house.say("remind me to mist D on the 4th")
    heard = dict(house.wait("03-04 09:00"))
    morning = heard["03-04 08:00"]
    lines = morning.text.splitlines()
    assert lines[0] == "Wed 4 Mar 2026"
    assert "- group B: feed" in lines
    assert "Take out: 3 roaches" in lines
    assert all(len(line) <= 80 for line in lines)
    assert morning.choices == ("all done", "one by one", "later")


def test_a_morning_with_nothing_to_do_is_silent(house: House) -> None:
    """No list is sent where nothing is due."""
    quiet(house)
    assert [when for when, _ in house.wait("03-06 09:00")] == []
    assert {row.state for row in house.pushes()} == {"skipped"}


def test_an_outage_ends_in_one_message(house: House) -> None:
    """Three mornings, a reminder and a look-in were missed: one message says since when, each thing once."""
    house.say("moved B to tub 9")
    house.say("remind me to pull the sac of D on the 5th at 7pm")
    (merged,) = house.sleep("03-06 10:00")
    assert merged.text.startswith("I could not reach you since Mon 2 Mar, 09:00.")
    assert merged.text.count("see to the egg sac") == 1
    assert house.sweep() == []
    assert {row.state for row in house.pushes()} == {"sent"}


def test_a_look_in_comes_in_the_evening_of_its_day(house: House) -> None:
    """After a move: the first evening, the third; a sighting told before answers it."""
    house.say("moved B to tub 9")
    evenings = [(when, reply) for when, reply in house.wait("03-04 12:00") if reply.text.startswith("Seen")]
    assert [when for when, _ in evenings] == ["03-03 20:00"]
    assert evenings[0][1].choices == ("out", "webbing", "nothing yet", "later")
    house.wait("03-05 12:00")
    house.say("B is webbing")
    assert not [reply for _, reply in house.wait("03-05 23:00") if reply.text.startswith("Seen")]


def test_live_prey_is_asked_about_the_next_morning(house: House) -> None:
    """Offered live without an outcome: the question comes with the list, and for nothing else by itself."""
    house.say("fed D 2 live crickets")
    heard = house.wait("03-03 09:00")
    assert [when for when, _ in heard] == ["03-03 08:00"]
    assert "a live cricket can injure a moulting animal" in heard[0][1].text
    assert heard[0][1].choices == ("eaten", "taken out", "later")


def test_each_member_hears_what_they_want_when_they_want(house: House) -> None:
    """A partner with another morning, quiet hours and no look-ins; a reminder goes to whom it was asked by."""
    partner = house.join("ana")
    with house.app.store.write() as session:
        preferences.prefer(session, partner, PreferenceRow(time(6), None, time(22), time(7, 15), ("morning", "plan")))
    house.say("moved B to tub 9")
    house.say("remind me to pull the sac of D on the 5th at 7pm", address="ana")
    house.say("feed D every day", address="ana")
    hers = [when for when, _ in house.wait("03-05 23:00", "ana")]
    assert hers == ["03-03 07:15", "03-04 07:15", "03-05 07:15", "03-05 19:00"]
    assert "03-05 19:00" not in {row.slot for row in house.pushes()}


def test_a_viewer_receives_nothing_unasked(house: House) -> None:
    """Whoever may only ask is not asked."""
    viewer = house.join("guest", "viewer")
    house.say("feed B every day")
    house.wait("03-05 23:00")
    assert house.pushes(viewer) == []


def test_channels_are_swept_apart(house: House) -> None:
    """A process that serves another channel leaves this one's pushes alone."""
    house.say("remind me to pull the sac of D on the 5th at 7pm")
    house.wait("03-05 18:00")
    house.clock.moment = house.clock.moment.replace(minute=30, hour=19)
    assert house.app.sweep("telegram") == 0
    assert house.app.sweep("console") == 1


@pytest.mark.parametrize("zone", ["Asia/Tokyo", "America/New_York"])
def test_a_move_to_another_zone_loses_and_doubles_no_list(house: House, zone: str) -> None:
    """The clock on the wall jumps; the list of that day comes once, whichever way it jumped."""
    house.say("feed B every day")
    house.wait("03-04 07:00")
    house.say(f"my time zone is {zone}")
    house.wait("03-06 12:00")
    slots = [row.slot for row in house.pushes() if row.purpose == "morning" and not row.subject]
    assert slots == sorted(set(slots))
    assert {"2026-03-04", "2026-03-05"} <= set(slots)


def test_one_that_was_slow_sends_nothing(house: House, monkeypatch: pytest.MonkeyPatch) -> None:
    """While a message is put together its lease runs out and another takes over: only one of the two goes out."""
    house.say("remind me to pull the sac of D on the 3rd at 6pm")
    house.wait("03-03 17:59")
    compose = message.compose
    sent: list[int] = []

    def slow(*given: object) -> object:
        monkeypatch.setattr(sweeping, "compose", compose)
        house.clock.pass_time(LEASE)
        sent.append(house.app.sweep())
        return compose(*given)  # type: ignore[arg-type]

    house.clock.pass_time(LEASE * 2)
    monkeypatch.setattr(sweeping, "compose", slow)
    assert house.app.sweep() == 0
    assert sent == [1]
    assert len(house.sweep()) == 1


def test_a_plan_not_done_comes_round_again(house: House) -> None:
    """Every other day at six: again after each interval, not every day."""
    quiet(house)
    house.say("remind me to weigh D every 2 days at 6pm")
    evenings = [when for when, reply in house.wait("03-08 23:00") if "Reminder" in reply.text]
    assert len(evenings) == 4
    assert all(when.endswith("18:00") for when in evenings)
