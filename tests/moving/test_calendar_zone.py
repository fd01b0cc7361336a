"""The rules of a zone in a calendar say what the machine's own table says."""

from __future__ import annotations

import io
from datetime import UTC, date, datetime, timedelta
from zoneinfo import ZoneInfo, available_timezones

import pytest
from dateutil.tz import tzical

from bot.moving.calendar_zone import zone_part

FIRST, LAST = date(2025, 3, 1), date(2029, 3, 1)


def read(zone: str) -> object:
    """The zone as dateutil reads it from the part."""
    text = zone_part(ZoneInfo(zone), FIRST, LAST).to_ical().decode()
    return tzical(io.StringIO(f"BEGIN:VCALENDAR\n{text}END:VCALENDAR\n")).get(zone)


@pytest.mark.parametrize("start", sorted({name[0] for name in available_timezones() if "/" in name}))
def test_every_zone_is_as_far_from_utc_as_it_is(start: str) -> None:
    """At some hour of each week of four years, by a reader of another author (dateutil), but for the hours of the changes."""
    for name in sorted(one for one in available_timezones() if one.startswith(start) and "/" in one):
        own, told = ZoneInfo(name), read(name)
        moment = datetime(2025, 3, 3, 0, 30, tzinfo=UTC)
        while moment.date() < LAST:
            wall = moment.astimezone(own).replace(tzinfo=None, fold=0)
            near = {(moment + timedelta(hours=hours)).astimezone(own).utcoffset() for hours in (-3, 0, 3)}
            if len(near) == 1:
                assert told.utcoffset(wall) == own.utcoffset(wall), (name, wall)  # type: ignore[attr-defined]
            moment += timedelta(hours=151)
