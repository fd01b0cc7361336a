"""The rules of a time zone as a calendar carries them (VTIMEZONE; RFC 5545, 3.6.5): each change of the clocks, from this machine's own table.

The calendar library makes such parts too, and leaves out changes of zones whose clocks follow the moon: its Africa/Casablanca has
none in 2027. A test compares all zones.
"""

from __future__ import annotations

from collections import defaultdict
from collections.abc import Iterator
from dataclasses import dataclass
from datetime import UTC, date, datetime, time, timedelta
from zoneinfo import ZoneInfo

from icalendar import Timezone, TimezoneDaylight, TimezoneStandard

_DAY, _MINUTE = timedelta(days=1), timedelta(minutes=1)


@dataclass(frozen=True, slots=True)
class _Observance:
    """How the clocks stand after a change: its name, the offsets before and after, and whether it is summer time."""

    name: str
    before: timedelta
    after: timedelta
    summer: bool


def zone_part(zone: ZoneInfo, first: date, last: date) -> Timezone:
    """The part for a zone, good from `first` to `last`."""
    made = Timezone()
    made.add("tzid", zone.key)
    beginning = datetime.combine(first, time(), tzinfo=UTC)
    changes: dict[_Observance, list[datetime]] = defaultdict(list)
    now = beginning.astimezone(zone)
    offset = now.utcoffset() or timedelta()
    changes[_Observance(now.tzname() or zone.key, offset, offset, bool(now.dst()))].append(
        datetime.combine(first, time())
    )
    for moment in _changes(zone, beginning, datetime.combine(last, time(), tzinfo=UTC)):
        before, after = (moment - _MINUTE).astimezone(zone), moment.astimezone(zone)
        old, new = before.utcoffset() or timedelta(), after.utcoffset() or timedelta()
        told = _Observance(after.tzname() or zone.key, old, new, bool(after.dst()))
        changes[told].append((moment + old).replace(tzinfo=None))
    for told, moments in changes.items():
        made.add_component(_part(told, moments))
    return made


def _changes(zone: ZoneInfo, since: datetime, until: datetime) -> Iterator[datetime]:
    """The moments, in UTC and to the minute, at which the offset of a zone changes."""
    day = since
    while day < until:
        following = day + _DAY
        if day.astimezone(zone).utcoffset() != following.astimezone(zone).utcoffset():
            yield _change(zone, day, following)
        day = following


def _change(zone: ZoneInfo, low: datetime, high: datetime) -> datetime:
    """The first minute of the new offset, between a moment before the change and one after it."""
    old = low.astimezone(zone).utcoffset()
    while high - low > _MINUTE:
        middle = low + (high - low) // 2 // _MINUTE * _MINUTE
        low, high = (middle, high) if middle.astimezone(zone).utcoffset() == old else (low, middle)
    return high


def _part(told: _Observance, moments: list[datetime]) -> TimezoneStandard | TimezoneDaylight:
    part = TimezoneDaylight() if told.summer else TimezoneStandard()
    part.add("dtstart", moments[0])
    if moments[1:]:
        part.add("rdate", moments[1:])
    part.add("tzname", told.name)
    part.add("tzoffsetfrom", told.before)
    part.add("tzoffsetto", told.after)
    return part
