"""The calendar file: by RFC 5545, as two libraries read it, and as the due engine has it."""

from __future__ import annotations

from collections.abc import Iterator
from datetime import UTC, date, datetime, timedelta
from typing import Any
from zoneinfo import ZoneInfo

import pytest
import vobject
from icalendar import Calendar, Component

from bot.answers.view import View
from bot.answers.wards import due_list
from bot.app import SetClock
from bot.household import Household
from bot.moving.calendar_out import calendar_of
from storage import households
from tests.front import Front

ZONES = (
    "Europe/Dublin", "Europe/Lisbon", "America/New_York", "America/St_Johns", "Australia/Lord_Howe", "Asia/Kathmandu",
    "Africa/Casablanca", "Pacific/Chatham", "America/Santiago", "UTC",
)  # fmt: skip

TOLD = (
    "fed marigolds 8 crickets, larches 5, rushes 6, sedges 4, stilts 3, all eaten",
    "misted everything lightly",
    "filled all the dishes",
    "spot cleaned low box, bark box, slate box and fern box",
    "counted marigolds: 60, larches 24",
    "mist slate box every 3 days",
    "weigh flint twice a week",
    "remind me to order crickets on friday at 9pm",
    "feed the larches every other sunday",
    "full clean bark box monthly on the 31st",
    "remind me to read a meter, and then; some, more \u2026 of very long words about nothing but a line that is folded on sunday",
)


def view_of(household: Household, session: Any, moment: datetime | None = None) -> View:  # noqa: ANN401 - a session
    return View.open(session, household.collection.id, moment or household.app.clock.now())


def written(household: Household, days: int = 30, moment: datetime | None = None) -> bytes:
    with household.app.store.read() as session:
        return calendar_of(view_of(household, session, moment), days)[0]


def events(made: bytes) -> list[Component]:
    return list(Calendar.from_ical(made).walk("VEVENT"))


def called(made: bytes, words: str) -> Component:
    (found,) = [event for event in events(made) if words in str(event["SUMMARY"])]
    return found


@pytest.fixture
def planned(front: Front) -> Front:
    for words in TOLD:
        front.say(words)
    return front


@pytest.fixture
def made(planned: Front) -> bytes:
    return written(planned.household)


def test_lines_are_folded_and_end_as_they_must(made: bytes) -> None:
    """RFC 5545, 3.1: CRLF, and no line longer than 75 octets; what is folded is whole again."""
    assert made.endswith(b"\r\n")
    lines = made.split(b"\r\n")
    assert max(map(len, lines)) <= 75
    assert not any(b"\n" in line or b"\r" in line for line in lines)
    assert any(line.startswith(b" ") for line in lines)
    assert "some, more \u2026 of very long words about nothing" in str(called(made, "read a meter")["SUMMARY"])


def test_text_is_escaped(made: bytes) -> None:
    """RFC 5545, 3.3.11: comma, semicolon and backslash in TEXT."""
    flat = made.replace(b"\r\n ", b"").decode()
    assert "and then\\; some\\, more" in flat
    found = [event.summary.value for event in vobject.readOne(flat).vevent_list]
    assert any("and then; some, more" in summary for summary in found)


def test_a_calendar_has_what_it_must(made: bytes) -> None:
    """RFC 5545, 3.6: VERSION and PRODID once; 3.6.1: UID and DTSTAMP in each event, DTEND or DURATION, not both, of one type."""
    calendar = Calendar.from_ical(made)
    assert calendar["VERSION"] == "2.0"
    assert calendar["PRODID"]
    assert not calendar.errors
    for event in events(made):
        assert not event.errors
        assert event["UID"]
        assert ("DTEND" in event) != ("DURATION" in event)
        if "DTEND" in event:
            assert type(event["DTEND"].dt) is type(event["DTSTART"].dt) is date
            assert event["DTEND"].dt > event["DTSTART"].dt


def test_every_uid_is_its_own(made: bytes) -> None:
    """RFC 5545, 3.8.4.7: globally unique."""
    found = [str(event["UID"]) for event in events(made)]
    assert len(found) == len(set(found)) > 20


def test_the_stamp_is_of_the_moment_of_writing(planned: Front, made: bytes) -> None:
    """RFC 5545, 3.8.7.2: DTSTAMP in UTC; 3.8.7.4: SEQUENCE does not go back."""
    assert {event["DTSTAMP"].dt for event in events(made)} == {planned.clock.now().replace(microsecond=0)}
    assert b"DTSTAMP:20260303T190500Z" in made
    planned.clock.pass_time(timedelta(hours=1))
    later = written(planned.household)
    assert min(event["SEQUENCE"] for event in events(later)) > max(event["SEQUENCE"] for event in events(made))


def test_writing_it_again_changes_events_and_doubles_none(planned: Front, made: bytes) -> None:
    """What is done, renamed and days later keeps its UID."""
    planned.clock.pass_time(timedelta(days=2))
    planned.say("fed larches 6 crickets, all eaten")
    planned.say("rename slate box to grey box")
    after = {str(event["UID"]): event for event in events(written(planned.household))}
    assert str(called(made, "Rushes: light mist")["UID"]) in after
    (feeding,) = [one for one in after.values() if "Larches: feed" in str(one["SUMMARY"])]
    assert str(feeding["UID"]) == str(called(made, "Larches: feed")["UID"])


def test_a_plan_for_a_day_stands_on_it(made: bytes) -> None:
    """At its time, in the keeper's zone, whose rules are in the file (RFC 5545, 3.2.19)."""
    event = called(made, "order crickets")
    assert event["DTSTART"].dt == datetime(2026, 3, 6, 21, 0, tzinfo=ZoneInfo("Europe/Dublin"))
    assert event["DTSTART"].params["TZID"] == "Europe/Dublin"
    assert [str(zone["TZID"]) for zone in Calendar.from_ical(made).walk("VTIMEZONE")] == ["Europe/Dublin"]


def test_the_engines_days_stand_in_it(planned: Front, made: bytes) -> None:
    """Every task that falls due within the days asked for, from its first day to its last (short ones), or on its last."""
    with planned.household.app.store.read() as session:
        wanted = [
            one for one in due_list(view_of(planned.household, session))
            if one.plan is None and one.earliest and one.earliest <= date(2026, 4, 2)
        ]  # fmt: skip
    own = [
        event
        for event in events(made)
        if "RRULE" not in event and "order" not in event["SUMMARY"] and "meter" not in event["SUMMARY"]
    ]
    assert len(own) == len(wanted) > 15
    drawn = {(str(event["DESCRIPTION"]).rstrip("."), event["DTSTART"].dt) for event in own}
    for task in wanted:
        if task.state == "due" and task.latest and task.earliest and (task.latest - task.earliest).days <= 7:
            assert (task.reason[0].upper() + task.reason[1:].rstrip("."), task.earliest) in drawn


def test_fewer_days_ahead_are_fewer_events(planned: Front) -> None:
    """Plans with their repeats are there all the same."""
    few, many = events(written(planned.household, days=1)), events(written(planned.household, days=200))
    assert len(few) < len(many)
    assert sum("RRULE" in event for event in few) == sum("RRULE" in event for event in many) == 4


def acted(household: Household, plan: str, days: int) -> Iterator[date]:
    """The days on which the engine has a plan due, if each time it is done on that day; by talking."""
    clock = household.app.clock
    assert isinstance(clock, SetClock)
    end = clock.moment.date() + timedelta(days=days)
    while True:
        with household.app.store.read() as session:
            view = view_of(household, session)
            (task,) = [one for one in due_list(view) if one.plan is not None and one.ward == "Flint"]
        assert task.earliest is not None
        if task.earliest > end:
            return
        clock.moment = max(
            clock.moment, datetime.combine(task.earliest, datetime.min.time(), tzinfo=UTC) + timedelta(hours=12)
        )
        yield task.earliest
        household.say(plan)


def test_the_days_are_those_of_a_keeper_who_does_each_on_its_day(household: Household, clock: SetClock) -> None:
    """The engine asked day after day for eight weeks, against vobject's reading of the file."""
    household.say("weigh flint every 5 days")
    event = vobject.readOne(written(household).decode()).vevent_list
    (weighing,) = [one for one in event if "Flint: measure" in one.summary.value]
    until = clock.moment.replace(tzinfo=None) + timedelta(days=56)
    in_file = [day.date() for day in weighing.getrruleset().between(datetime(2026, 1, 1), until, inc=True)]  # noqa: DTZ001
    assert in_file == list(acted(household, "flint 31g", 56))


@pytest.mark.parametrize("zone", ZONES)
def test_a_time_of_day_is_the_same_on_every_wall_over_a_year(front: Front, zone: str) -> None:
    """By vobject, which reckons with the rules of the zone in the file, whatever the clocks are set to."""
    with front.household.app.store.write() as session:
        households.set_zone(session, front.household.collection.id, zone)
    front.say("mist slate box every 2 days at 20:30")
    made = written(front.household)
    (misting,) = [
        one
        for one in vobject.readOne(made.decode()).vevent_list
        if "Rushes: " in one.summary.value and hasattr(one, "rrule")
    ]
    start = misting.dtstart.value
    found = list(misting.getrruleset(addRDate=True).between(start, start + timedelta(days=366), inc=True))
    assert len(found) == 184
    rules = ZoneInfo(zone)
    for moment in found:
        assert (moment.hour, moment.minute) == (20, 30)
        told = misting.dtstart.value.tzinfo.utcoffset(moment.replace(tzinfo=None))
        assert told == moment.replace(tzinfo=rules).utcoffset(), moment


def test_days_away_are_taken_out_and_stand_over(planned: Front) -> None:
    """As EXDATE (RFC 5545, 3.8.5.1); what fell into them comes on the day of coming back, as RDATE (3.8.5.2)."""
    planned.say("away 20 to 25 march")
    made = written(planned.household)
    away = called(made, "Away")
    assert (away["DTSTART"].dt, away["DTEND"].dt) == (date(2026, 3, 20), date(2026, 3, 26))
    (misting,) = [
        one for one in vobject.readOne(made.decode()).vevent_list if one.summary.value.startswith("Rushes: light mist")
    ]
    days = [day.day for day in misting.getrruleset(addRDate=True).between(datetime(2026, 3, 1), datetime(2026, 3, 31))]  # noqa: DTZ001
    assert days == [6, 9, 12, 15, 18, 26, 27, 30]


def test_what_is_stopped_is_not_in_it(planned: Front) -> None:
    """A stop without an end does away with the plan; one with an end begins the series on that day."""
    planned.say("stop misting reminders for slate box")
    assert not [one for one in events(written(planned.household)) if "Rushes: light mist" in one["SUMMARY"]]
    planned.say("no reminders for flint till 1 april")
    weighing = called(written(planned.household), "Flint: measure")
    assert weighing["DTSTART"].dt >= date(2026, 4, 1)


def test_what_stands_over_is_on_today(planned: Front) -> None:
    """A plan for a day that has passed, and a slot of the calendar that was missed."""
    later = planned.clock.now() + timedelta(days=20)
    made = written(planned.household, moment=later)
    today = later.date()
    assert called(made, "order crickets")["DTSTART"].dt.date() == today
    slots = [event for event in events(made) if "Larches: feed" in event["SUMMARY"]]
    assert sorted(("RRULE" in event, event["DTSTART"].dt == today) for event in slots) == [(False, True), (True, False)]


def test_an_empty_collection_is_an_empty_calendar(household: Household) -> None:
    """Nothing but the frame."""
    made = household.app.add_collection("Back room", "UTC")
    with household.app.store.read() as session:
        told, count = calendar_of(View.open(session, made, household.app.clock.now()), 30)
    assert count == 0
    assert [part.name for part in Calendar.from_ical(told).walk()] == ["VCALENDAR"]
