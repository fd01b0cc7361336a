"""Thinning keeps the newest copy and the first of each day, week, month and year, and does so in whatever steps it is done."""

from __future__ import annotations

from datetime import UTC, datetime, timedelta
from zoneinfo import ZoneInfo

from hypothesis import given
from hypothesis import strategies as st

from bot.backup.thinning import DAYS, MONTHS, WEEKS, due, kept

START = datetime(2024, 2, 27, 3, 30, tzinfo=UTC)
MOMENTS = st.lists(
    st.integers(0, 60 * 24 * 900).map(lambda minutes: START + timedelta(minutes=minutes)), unique=True, max_size=120
)


def nightly(nights: int) -> list[datetime]:
    return [START + timedelta(days=night) for night in range(nights)]


def test_three_years_of_nights() -> None:
    """Counted by hand on a calendar: 7 days, the Mondays of this week and three more, 12 firsts of months, and the firsts of years."""
    last = datetime(2026, 3, 11, 3, 30, tzinfo=UTC)  # a Wednesday
    stay = kept(nightly((last - START).days + 1))
    days = [datetime(2026, 3, day, 3, 30, tzinfo=UTC) for day in range(5, 12)]
    mondays = [datetime(2026, 3, 9, 3, 30, tzinfo=UTC) - timedelta(weeks=weeks) for weeks in range(4)]
    months = [datetime(2025, month, 1, 3, 30, tzinfo=UTC) for month in range(4, 13)]
    months += [datetime(2026, month, 1, 3, 30, tzinfo=UTC) for month in range(1, 4)]
    years = [START, datetime(2025, 1, 1, 3, 30, tzinfo=UTC), datetime(2026, 1, 1, 3, 30, tzinfo=UTC)]
    assert stay == {*days, *mondays, *months, *years}


@given(MOMENTS)
def test_the_newest_is_always_kept_and_thinning_again_changes_nothing(moments: list[datetime]) -> None:
    """Of none, none are kept."""
    stay = kept(moments)
    assert stay <= set(moments)
    assert kept(stay) == stay
    assert not moments or max(moments) in stay


@given(MOMENTS)
def test_every_period_that_had_a_copy_still_has_one(moments: list[datetime]) -> None:
    """Of the last seven days, four weeks and twelve months that had any, and of every year."""
    stay = kept(moments)
    for period, number in (("%Y-%m-%d", DAYS), ("%G-%V", WEEKS), ("%Y-%m", MONTHS), ("%Y", 1000)):
        had = sorted({moment.strftime(period) for moment in moments})
        assert set(had[-number:]) <= {moment.strftime(period) for moment in stay}


@given(MOMENTS)
def test_thinning_day_by_day_keeps_what_thinning_at_once_would(moments: list[datetime]) -> None:
    """A copy that goes would never have been wanted again."""
    stay: set[datetime] = set()
    for moment in sorted(moments):
        stay = kept(stay | {moment})
    assert stay == kept(moments)


@given(MOMENTS)
def test_few_are_kept(moments: list[datetime]) -> None:
    """No more than the days, weeks and months, one for each year, and the newest."""
    years = {moment.year for moment in moments}
    assert len(kept(moments)) <= DAYS + WEEKS + MONTHS + len(years) + 1


ROOM = ZoneInfo("Europe/Lisbon")


def local(day: int, hour: int, minute: int = 0, month: int = 3) -> datetime:
    return datetime(2026, month, day, hour, minute, tzinfo=ROOM)


def test_a_copy_is_due_at_the_first_quiet_hour_after_the_last() -> None:
    """Half past three by the clock on the wall, on the nights of the change of clocks too (29 March and 25 October 2026)."""
    assert due(None, local(3, 19)) == local(3, 19)
    assert due(local(3, 3, 31), local(3, 19)) == local(4, 3, 30)
    assert due(local(3, 3, 30), local(3, 19)) == local(4, 3, 30)
    assert due(local(3, 1), local(3, 2)) == local(3, 3, 30)
    assert due(local(28, 3, 31), local(28, 4)) == local(29, 3, 30)
    assert due(local(24, 3, 31, 10), local(24, 4, 0, 10)) == local(25, 3, 30, 10)
    assert due(local(1, 12), local(9, 12)) == local(2, 3, 30)
