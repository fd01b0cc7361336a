"""The feeding calendar: what became of food on each day by the journal, and what the due list says of today."""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from datetime import date, timedelta

from bot.answers.drawing import Drawing, Stretch, stretch_of
from bot.answers.feeding_take import take_in
from bot.answers.growing import moults_of
from bot.answers.view import Target, View, refused
from bot.answers.wards import due_list
from bot.care.days import shifted
from bot.care.due.model import HELD as HELD_TODAY
from bot.care.due.model import OVERDUE, Task
from bot.language.meaning import Ask
from bot.pictures.feeding_calendar import (
    GIVEN,
    HELD,
    MOST_WEEKS,
    MOULT,
    NOT_OFFERED,
    PARTLY,
    REFUSED,
    TAKEN,
    FeedingCalendar,
    FoodDay,
    picture,
)
from bot.wording import say_count
from storage import journal
from storage.journal import EntryRow


def draw(ask: Ask, view: View, target: Target) -> Drawing | str:
    """The calendar of one occupant; a sentence where no feeding is written of those days."""
    stretch = _whole_weeks(stretch_of(ask, view))
    found = view.history(target, ("feeding",), stretch.since, stretch.until, journal.WHOLE)
    fed = sorted((entry for entry in found if entry.on is not None), key=lambda entry: (entry.on, entry.id))
    if not fed:
        return f"{target.name}: no feeding is written {_period(view, stretch, None)}, so there is nothing to draw."
    days = [FoodDay(entry.on, became(entry)) for entry in fed if entry.on is not None]
    days += [
        FoodDay(entry.on, MOULT)
        for entry in moults_of(view, target)
        if stretch.holds(entry.on) and entry.on is not None
    ]
    days += _of_today(view, target, stretch, {day.on for day in days})
    told = FeedingCalendar(_title(target, days, fed), _basis(view, target, stretch, fed), tuple(days), stretch.until)
    return Drawing(told.title, told.basis, f"{target.name}, feedings", lambda theme: picture(told, theme))


def _whole_weeks(stretch: Stretch) -> Stretch:
    """The days that the calendar has room for: whole weeks, the last of them the one that holds the last day."""
    monday = stretch.until - timedelta(days=stretch.until.weekday())
    first = shifted(monday, -7 * (MOST_WEEKS - 1))
    return Stretch(max(first, stretch.since), stretch.until, stretch.asked and stretch.since >= first)


def became(entry: EntryRow) -> str:
    """What became of the food of one feeding, as far as it was told."""
    if refused(entry):
        return REFUSED
    take = next(take_in(entry), None)
    if take is None:
        some_left = entry.fields.get("outcome") == "partly" or entry.fields.get("uneaten") is not None
        return PARTLY if some_left else GIVEN
    if not take.taken:
        return REFUSED
    return TAKEN if take.taken == take.offered else PARTLY


def _of_today(view: View, target: Target, stretch: Stretch, told: set[date]) -> Iterator[FoodDay]:
    """The days up to today on which feeding is held, or was due and is not written, as the due list has it."""
    if stretch.until < view.today:
        return
    task = next(
        (one for one in due_list(view, [target.name]) if (one.ward, one.kind) == (target.name, "feeding")), None
    )
    if task is None:
        return
    since, what = _held_since(view, task), HELD
    if task.state == OVERDUE and task.latest is not None:
        since, what = shifted(task.latest, 1), NOT_OFFERED
    for number in range((view.today - since).days + 1) if since is not None else ():
        day = shifted(view.today, -number)
        if stretch.holds(day) and day not in told:
            yield FoodDay(day, what)


def _held_since(view: View, task: Task) -> date | None:
    """The first day of the hold: that of the newest entry it rests on."""
    if task.state != HELD_TODAY or task.hold in {None, "stop", "away"}:
        return None
    rows = (journal.entry(view.session, number) for number in task.rests_on)
    held = {"settling": "move", "premoult": "observation", "moult": "moult", "refusals": "feeding"}.get(task.hold or "")
    return max((row.on for row in rows if row is not None and row.on is not None and row.kind == held), default=None)


def _title(target: Target, days: Sequence[FoodDay], fed: Sequence[EntryRow]) -> str:
    number, no = len(fed), sum(day.what == REFUSED for day in days)
    times = "once" if number == 1 else f"{number} times"
    return f"{target.name}: offered food {times}, {no or 'none'} refused"


def _basis(view: View, target: Target, stretch: Stretch, fed: Sequence[EntryRow]) -> str:
    last = fed[-1]
    older = bool(view.history(target, ("feeding",), until=shifted(stretch.since, -1), limit=1))
    number = say_count((len(fed), len(fed)), "feeding")
    return (
        f"{number} {_period(view, stretch, None if older else fed[0].on)}; last {view.day(last.on)}: {view.act(last)}."
    )


def _period(view: View, stretch: Stretch, first: date | None) -> str:
    if stretch.asked or first is not None:
        return stretch.said(view, first, older=False)
    return f"in the {MOST_WEEKS} weeks up to {view.bare_day(stretch.until)}"
