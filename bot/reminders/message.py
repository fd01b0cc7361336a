"""The message of one sweep to one member: what was asked for, the morning list, and what is to be answered."""

from __future__ import annotations

from collections.abc import Iterable, Sequence
from dataclasses import dataclass, field
from datetime import date, datetime, timedelta
from typing import TYPE_CHECKING, Any

from bot.care.cautions import CAUTIONED_ACTS
from bot.conversation.reply import Reply
from bot.reminders.model import LEFTOVERS, LOOK_IN, MORNING, PLAN, Agenda, Caution, Item, LookIn, Point
from bot.reminders.moments import PARTS, local
from bot.reminders.points import ALL_DONE, LATER, ONE_BY_ONE, choices, question, tasks
from bot.reminders.profile import Profile
from bot.reminders.told import fresh_cautions, remark
from bot.wording import say_date, say_full_day
from storage import pushes
from storage.pushes import NewPush, PushRow

if TYPE_CHECKING:
    from sqlalchemy.orm import Session

LATE = timedelta(minutes=10)
"""A push that goes out later than this was missed, and the message says so."""

MOST_LINES = 40
"""Lines of one section of the list; a longer one says how many more there are."""

LIST, ITEM = "list", "item"

_REMARK = "size"
"""A kind of task that only tells something, once."""


@dataclass(frozen=True, slots=True)
class Sitting:
    """A message being put together: for whom, and at which moment."""

    session: Session
    profile: Profile
    now: datetime

    @property
    def today(self) -> date:
        """The member's day."""
        return local(self.now, self.profile.zone).date()


@dataclass(frozen=True, slots=True)
class Composed:
    """A message, None where nothing is left to say, with the points that it asks about.

    `answered` and `skipped` are rows that need not go out any more; `told` are remarks that are not to be made again.
    """

    reply: Reply
    points: Sequence[Point] = ()
    stage: str = ITEM
    answered: Sequence[int] = ()
    skipped: Sequence[int] = ()
    told: Sequence[NewPush] = field(default=())

    @property
    def empty(self) -> bool:
        """Whether there is nothing to say."""
        return not self.reply.text

    def pending(self, push_ids: Sequence[int]) -> dict[str, Any]:
        """What the question keeps: the stage it is at, what is still to be answered, and the rows that went out together."""
        return {"stage": self.stage, "queue": [point.to_json() for point in self.points], "rows": list(push_ids)}


@dataclass(frozen=True, slots=True)
class _Sorted:
    """What of the agenda the claimed rows are about. `reminded` and `asked` go with their rows; `list` is None where none is due."""

    reminded: Sequence[tuple[PushRow, Item]]
    asked: Sequence[tuple[PushRow, Item]]
    look_ins: Sequence[tuple[PushRow, LookIn]]
    list: Agenda | None
    gone: Sequence[int]
    cautions: Sequence[Caution]


def compose(sitting: Sitting, agenda: Agenda, rows: Sequence[PushRow], before: datetime) -> Composed:
    """Put into words what the claimed rows are about, as it stands now. `before` is when the member was last looked after."""
    sort = _sort(sitting, agenda, rows)
    points = _points(sitting, sort)
    told = _remarks(sort.list)
    member = sitting.profile.member
    cautions, warned = fresh_cautions(sitting.session, member, _cautions(sitting, sort), sitting.today, sitting.now)
    lines = [*_reminders(sort), *_listed(sitting, sort, told)]
    lines += cautions if lines else []
    skipped = () if lines else tuple(row.id for row in rows if row.purpose == MORNING and not row.subject)
    if not lines and not points:
        return Composed(Reply(""), answered=sort.gone, skipped=skipped)
    stage = LIST if len(points) > 1 and tasks(points) else ITEM
    offered = (ALL_DONE, ONE_BY_ONE, LATER) if stage == LIST else choices(points[0]) if points else ()
    asked = _asked(points, stage)
    head = _late(sitting, rows, before)
    remembered = [*(remark(member, item.key, item.on or sitting.today, sitting.now) for item in told), *warned]
    text = "\n".join([*head, *lines, *asked])
    return Composed(Reply(text, offered), points, stage, sort.gone, skipped, remembered)


def _sort(sitting: Sitting, agenda: Agenda, rows: Sequence[PushRow]) -> _Sorted:
    items = {item.key: item for item in agenda.items if item.stands}
    looks = {look.key: look for look in agenda.look_ins}
    own = [row for row in rows if row.subject]
    tasked = [(row, items[row.subject]) for row in own if row.subject in items]
    looked = {row.subject: (row, looks[row.subject]) for row in own if row.purpose == LOOK_IN and row.subject in looks}
    known = {row.id for row, _ in tasked} | {row.id for row in own if row.subject in looked}
    gone = tuple(row.id for row in own if row.id not in known)
    once = {row.subject: (row, item) for row, item in tasked}
    asked = [(row, item) for row, item in once.values() if item.kind == LEFTOVERS]
    reminded = [(row, item) for row, item in once.values() if item.kind != LEFTOVERS]
    listed = any(row.purpose == MORNING and not row.subject for row in rows)
    rest = _rest(sitting, agenda, set(once)) if listed else None
    return _Sorted(reminded, asked, tuple(looked.values()), rest, gone, agenda.cautions)


def _rest(sitting: Sitting, agenda: Agenda, named: set[str]) -> Agenda:
    """The agenda for the list: without what is said by itself, and what was put off, skipped, or told already."""
    off = {(row.subject, row.slot) for row in pushes.taken_off(sitting.session, sitting.profile.member.id)}
    items = [
        item
        for item in agenda.items
        if item.key not in named
        and (item.key, _slot(item, sitting.today)) not in off
        and item.kind not in (LOOK_IN, LEFTOVERS)
    ]
    return Agenda(items, agenda.look_ins, agenda.totals)


def _points(sitting: Sitting, sort: _Sorted) -> list[Point]:
    points = [_task_point(item, row.id) for row, item in sort.reminded]
    if sort.list is not None:
        points += [_task_point(item, None) for item in _now(sitting, sort.list.items)]
    points += [_point("leftovers", item, row.id) for row, item in sort.asked]
    points += [
        Point("look-in", look.key, look.ward, LOOK_IN, look.on, look.text, row.id) for row, look in sort.look_ins
    ]
    return points


def _task_point(item: Item, push: int | None) -> Point:
    return _point("task", item, push)


def _point(sort: str, item: Item, push: int | None) -> Point:
    asked = sort == "leftovers"
    text = _question(item) if asked else item.text
    entry = next(iter(item.rests_on), None) if asked else item.plan
    return Point(sort, item.key, item.ward, item.kind, item.on, text, push, entry, item.fields)


def _question(item: Item) -> str:
    """What is asked of live prey: "group B: is the cricket offered on the 2nd out? …"."""
    return f"{item.ward}: {item.reason}" if item.ward else item.reason


def _reminders(sort: _Sorted) -> list[str]:
    return [f"Reminder: {item.text}" for _, item in sort.reminded]


def _listed(sitting: Sitting, sort: _Sorted, told: Iterable[Item]) -> list[str]:
    """The morning list; nothing where there is nothing to be done, seen or told."""
    agenda = sort.list
    if agenda is None:
        return []
    tonight = [look for look in agenda.look_ins if look.on == sitting.today]
    remarks = [item.reason for item in told]
    standing = _now(sitting, agenda.items)
    later = [item for item in agenda.items if item.stands and _comes_later(sitting, item)]
    if not (standing or later or tonight or remarks):
        return []
    lines = [say_full_day(sitting.today)]
    for title, state in (("Overdue", "overdue"), ("Due today", "due")):
        lines += _section(sitting, title, [item for item in standing if item.state == state])
    lines += _section(sitting, "Held", [item for item in agenda.items if item.state == "held"])
    lines += [f"Later today: {item.at or PARTS[item.part or '']:%H:%M} {item.text}" for item in later]
    if tonight:
        lines.append(f"Look in tonight: {', '.join(look.ward for look in tonight)}")
    return [*lines, *remarks, *agenda.totals]


def _now(sitting: Sitting, items: Iterable[Item]) -> list[Item]:
    """The tasks to be done now: not those that have a reminder of their own coming, nor remarks."""
    return [item for item in items if item.stands and item.kind != _REMARK and not _comes_later(sitting, item)]


def _comes_later(sitting: Sitting, item: Item) -> bool:
    """Whether a task has a time of its own today that has not come yet, at which this member is reminded."""
    at = item.at or PARTS.get(item.part or "")
    if at is None or item.on != sitting.today or PLAN not in sitting.profile.receives:
        return False
    return sitting.profile.moment(sitting.today, at) > sitting.now


def _section(sitting: Sitting, title: str, items: Sequence[Item]) -> list[str]:
    if not items:
        return []
    lines = [f"- {_line(sitting, item)}" for item in items[:MOST_LINES]]
    more = len(items) - len(lines)
    return [f"{title}:", *lines, *([f"- and {more} more: ask “what's due”"] if more else [])]


def _line(sitting: Sitting, item: Item) -> str:
    """One task of the list: what is to be done and, in short, by when; of one that is held the reason."""
    if item.state == "held":
        return f"{item.text}, {item.reason}"
    if item.by is None or item.by == sitting.today:
        return item.text
    day = say_date(item.by, sitting.today)
    return f"{item.text}, was due by {day}" if item.by < sitting.today else f"{item.text}, by {day}"


def _asked(points: Sequence[Point], stage: str) -> list[str]:
    """The question at the end: of all, or of the first point."""
    if not points or stage == LIST:
        return []
    plain = points[0].sort == "task" and len(points) == 1
    return [] if plain else [question(points)]


def _late(sitting: Sitting, rows: Sequence[PushRow], before: datetime) -> list[str]:
    if sitting.now - min(row.wakes_at for row in rows) <= LATE:
        return []
    since = local(before, sitting.profile.zone)
    return [
        f"I could not reach you since {say_date(since.date(), sitting.today)}, {since:%H:%M}. What came due meanwhile:"
    ]


def _remarks(agenda: Agenda | None) -> list[Item]:
    return [item for item in agenda.items if item.kind == _REMARK and item.stands] if agenda else []


def _cautions(sitting: Sitting, sort: _Sorted) -> list[Caution]:
    """The cautions that go with what is said: of those who are to be fed or moved now."""
    said = [item for _, item in sort.reminded]
    said += _now(sitting, sort.list.items) if sort.list else []
    wards = {item.ward for item in said if item.kind in CAUTIONED_ACTS}
    return [caution for caution in sort.cautions if caution.ward in wards]


def _slot(item: Item | Point, today: date) -> str:
    return (item.on or today).isoformat()
