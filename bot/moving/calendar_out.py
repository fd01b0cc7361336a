"""What is planned, as a calendar (RFC 5545): the keeper's plans with their repeats, and what the due engine reckons for the days ahead.

An event has the same UID in every export of every copy of the collection, so that a calendar that takes the file in again
changes the event instead of doubling it. SEQUENCE and DTSTAMP are of the moment of export: the later file is the newer one.
"""

from __future__ import annotations

import re
from collections.abc import Iterable, Iterator, Sequence
from datetime import UTC, date, datetime, time, timedelta
from uuid import UUID, uuid5

from icalendar import Calendar, Event

from bot.answers.task_words import say_task
from bot.answers.view import View
from bot.answers.wards import away as away_of
from bot.answers.wards import due_list
from bot.care.days import shifted
from bot.care.due import DUE, OVERDUE, Away, Fact, Task
from bot.care.due.repeats import Repeat, repeat_of
from bot.moving.calendar_repeats import series_of, slot_from, slots
from bot.moving.calendar_zone import zone_part
from bot.reminders.agenda import bare, task_key
from bot.reminders.moments import PARTS
from bot.wording import sentence
from bot.wording.days import say_full_day
from storage import households, journal
from storage.moving_names import Names

PRODUCT = "-//Rackside//Rackside//EN"
LASTS = timedelta(minutes=15)
"""How long an event with a time of day is drawn."""

YEAR = 366

WINDOW = 7
"""Days over which an event of the engine's is drawn at most."""

_NAMED = re.compile(r"\b(plan|occupant|place) (\d+)\b")
_SECTIONS = {"plan": "entries", "occupant": "occupants", "place": "enclosures"}
_NO_DAY = "size"
"""A task that is told once and calls for nothing."""


def calendar_of(view: View, days: int) -> tuple[bytes, int]:
    """The calendar as the bytes of a file, and how many events are in it. `days` is how far ahead the engine's own tasks go."""
    scribe = _Scribe(view, days)
    events = [*scribe.tasks(), *scribe.away()]
    made = Calendar()
    made.add("prodid", PRODUCT)
    made.add("version", "2.0")
    made.add("calscale", "GREGORIAN")
    made.add("x-wr-calname", households.collection(view.session, view.collection_id).name)
    if any(isinstance(event.decoded("dtstart"), datetime) for event in events):
        made.add_component(zone_part(view.zone, shifted(view.today, -YEAR), shifted(view.today, 10 * YEAR)))
    for event in events:
        made.add_component(event)
    return made.to_ical(), len(events)


class _Scribe:
    """Makes the events of one collection at one moment."""

    def __init__(self, view: View, days: int) -> None:
        self.view = view
        self.last = shifted(view.today, days)
        self.names = Names(view.session, view.collection_id)
        self.spans = [one for one in away_of(view) if one.until >= view.today]

    def tasks(self) -> Iterator[Event]:
        """The events of everything that is to be done."""
        for task in due_list(self.view):
            if task.kind != _NO_DAY and task.earliest is not None and task.latest is not None:
                yield from self._of_task(task, task.earliest, task.latest)

    def away(self) -> Iterator[Event]:
        """The days on which the keeper is away."""
        for span in self.spans:
            event = self._event("Away", "You said that you are away.", f"plan {span.fact}")
            yield _all_day(event, span.since, span.until)

    def _of_task(self, task: Task, earliest: date, latest: date) -> Iterator[Event]:
        plan = None if task.plan is None else journal.entry(self.view.session, task.plan)
        if plan is None:
            yield from self._reckoned(task, earliest, latest)
            return
        at = task.at or PARTS.get(task.part or "")
        if plan.fields.get("every_days") is None:
            yield self._once(task, max(earliest, self._today), at)
            return
        told = plan.told_at.astimezone(self.view.zone).replace(tzinfo=None)
        fact = Fact(plan.id, plan.kind, plan.mood, plan.on, told, plan.fields, plan.words, plan.at, plan.part)
        yield from self._repeating(task, repeat_of(fact), max(earliest, self._today), at)

    def _reckoned(self, task: Task, earliest: date, latest: date) -> Iterator[Event]:
        """What the engine reckons: on the days between which it is due; a long time would fill the calendar, so its last day stands for it."""
        late = task.state == OVERDUE
        if earliest > self.last:
            return
        if late or (latest - earliest).days <= WINDOW:
            yield _all_day(self._task_event(task), *((self._today,) * 2 if late else (earliest, latest)))
            return
        span = f"Due from {say_full_day(earliest)} to {say_full_day(latest)}. "
        yield _all_day(self._task_event(task, span=span), latest, latest)

    @property
    def _today(self) -> date:
        return self.view.today

    def _once(self, task: Task, day: date, at: time | None, more: str = "") -> Event:
        return self._when(self._task_event(task, more), day, at)

    def _repeating(self, task: Task, repeat: Repeat, due: date, at: time | None) -> Iterator[Event]:
        """The series from its next day on; what stands over from a day of the calendar that has passed is an event by itself."""
        if repeat.anchored and slot_from(repeat, due) != due:
            yield self._once(task, due, at, f" standing {due.isoformat()}")
        end = max(self.last, shifted(self._today, YEAR))
        series = series_of(repeat, due, end)
        event = self._when(self._task_event(task), series.first, at)
        if series.rule is not None:
            event.add("rrule", dict(series.rule))
        rest = list(series.days[1:])
        kept_out, back = self._while_away(list(_until(slots(repeat, series.first), self.spans)))
        dates = [self._start(day, at) for day in [*(day for day in rest if day not in kept_out), *back]]
        if dates:
            event.add("rdate", sorted(dates))
        if kept_out and series.rule is not None:
            event.add("exdate", [self._start(day, at) for day in kept_out])
        yield event

    def _while_away(self, days: Sequence[date]) -> tuple[list[date], list[date]]:
        """Of a series the days on which the keeper is away, and the days of coming back on which those stand over."""
        out = {day: span for day in days for span in self.spans if span.since <= day <= span.until}
        back = {shifted(span.until, 1) for span in out.values()} - set(days)
        return list(out), sorted(day for day in back if not any(one.since <= day <= one.until for one in self.spans))

    def _task_event(self, task: Task, more: str = "", span: str = "") -> Event:
        head = bare(say_task(self.view, task))
        if span:
            head += ", last day"
        elif task.state in {DUE, OVERDUE}:
            head += f" ({task.state})"
        key = task_key(self.view, task) + more
        event = self._event(head, span + sentence(task.reason), key)
        if task.place:
            event.add("location", task.place)
        event.add("categories", [task.kind])
        return event

    def _event(self, summary: str, description: str, key: str) -> Event:
        now = self.view.now.astimezone(UTC).replace(microsecond=0)
        event = Event()
        event.add("uid", self._uid(key))
        event.add("dtstamp", now)
        event.add("sequence", int(now.timestamp()) // 60)
        event.add("summary", summary)
        event.add("description", description)
        event.add("transp", "TRANSPARENT")
        return event

    def _uid(self, key: str) -> str:
        """The same for the same task of the same animal or place, in every copy of the collection and over renamings."""
        named = _NAMED.sub(lambda found: f"{found[1]} {self.names.name(_SECTIONS[found[1]], int(found[2]))}", key)
        return str(uuid5(UUID(self.names.uid), named))

    def _when(self, event: Event, day: date, at: time | None) -> Event:
        if at is None:
            return _all_day(event, day, day)
        event.add("dtstart", self._start(day, at))
        event.add("duration", LASTS)
        return event

    def _start(self, day: date, at: time | None) -> date | datetime:
        return day if at is None else datetime.combine(day, at.replace(tzinfo=None, fold=0), tzinfo=self.view.zone)


def _all_day(event: Event, first: date, last: date) -> Event:
    """The event on whole days; its end is the day after the last, which is not part of it (RFC 5545, 3.6.1)."""
    event.add("dtstart", first)
    event.add("dtend", shifted(last, 1))
    return event


def _until(days: Iterable[date], spans: Sequence[Away]) -> Iterator[date]:
    """The days up to the end of the last span."""
    end = max((span.until for span in spans), default=date.min)
    for day in days:
        if day > end:
            return
        yield day
