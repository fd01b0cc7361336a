"""The window of the next moult: by own intervals as soon as there are any."""

from __future__ import annotations

import math
from datetime import date, timedelta
from itertools import accumulate, pairwise

import numpy as np
import pytest
import statsmodels.api as sm
from hypothesis import given
from hypothesis import strategies as st

from bot.care.next_moult import LENGTHENING, USUAL_DAYS, next_moult

DAY = date(2024, 5, 1)
GAPS = st.lists(st.integers(8, 900), min_size=1, max_size=10)


def after(*gaps: int) -> list[date]:
    """Days of moults with these intervals between them."""
    return [DAY + timedelta(days=days) for days in accumulate(gaps, initial=0)]


def test_without_an_interval_the_stage_tells() -> None:
    """One moult and a stage: the usual days of that stage after it (common practice). No stage or no moult: nothing."""
    window = next_moult([DAY], "juvenile")
    assert window is not None
    assert (window.since, window.until) == (DAY + timedelta(days=60), DAY + timedelta(days=180))
    assert (window.source, window.basis, window.lengthening) == ("usual", 0, None)
    assert window.since < window.likely < window.until
    assert next_moult([DAY]) is None
    assert next_moult([DAY], "nymph") is None
    assert next_moult([], "sling") is None


def test_one_interval_is_lengthened_as_usual() -> None:
    """After one interval of 80 days: 80 to 100 days, likely 89, on one interval."""
    window = next_moult(after(80))
    assert window is not None
    days = [(day - window.last).days for day in (window.since, window.likely, window.until)]
    assert days == [80, 89, 100]
    assert (window.source, window.basis, window.last) == ("one", 1, DAY + timedelta(days=80))


def test_two_intervals_are_carried_on() -> None:
    """60 and 90 days carry on to 135; the window holds the usual 90 to 112 and the own 135, and a tenth more."""
    window = next_moult(after(60, 90))
    assert window is not None
    assert [(day - window.last).days for day in (window.since, window.likely, window.until)] == [90, 135, 149]
    assert (window.source, window.basis) == ("own", 2)
    assert window.lengthening == pytest.approx(1.5)


@given(st.lists(st.integers(8, 900), min_size=4, max_size=12))
def test_window_of_many_intervals_is_that_of_least_squares(gaps: list[int]) -> None:
    """From four intervals on, the window is the 80 % prediction interval of statsmodels' least squares, at least a tenth."""
    window = next_moult(after(*gaps))
    assert window is not None
    # Exact fits leave no scatter for statsmodels to work with.
    if len({round(math.log(late / early), 6) for early, late in pairwise(gaps)}) == 1:
        return
    count = len(gaps)
    fit = sm.OLS(np.log(gaps), sm.add_constant(np.arange(count))).fit()
    known = fit.get_prediction([[1, count]]).summary_frame(alpha=0.2).iloc[0]
    middle = math.exp(min(known["mean"], math.log(36_525)))
    assert (window.likely - window.last).days == pytest.approx(middle, abs=0.51)
    assert window.lengthening == pytest.approx(math.exp(fit.params[1]), rel=1e-6)
    low = min(middle * math.exp(known["obs_ci_lower"] - known["mean"]), middle / 1.1)
    assert (window.since - window.last).days == pytest.approx(low, abs=0.51)


@given(GAPS)
def test_window_is_in_order_and_after_the_last_moult(gaps: list[int]) -> None:
    """Never before the last moult, never upside down, and always as many intervals as there are."""
    window = next_moult(after(*gaps))
    assert window is not None
    assert window.last <= window.since <= window.likely <= window.until
    assert window.basis == len(gaps)


@given(GAPS)
def test_a_change_widens_the_window(gaps: list[int]) -> None:
    """A change of temperature or food makes the window wider on both sides and leaves its middle."""
    plain, changed = next_moult(after(*gaps)), next_moult(after(*gaps), changed=True)
    assert plain is not None
    assert changed is not None
    assert changed.since <= plain.since
    assert changed.until >= plain.until
    assert changed.likely == plain.likely
    assert changed.since < plain.since or (plain.since - plain.last).days < 5


def test_order_and_doubles_do_not_matter() -> None:
    """Moults told out of order, or twice, give the same window."""
    days = after(50, 60, 75)
    assert next_moult([*reversed(days), days[1]]) == next_moult(days)


def test_usual_lengthening_holds_the_published() -> None:
    """Factors from one interval to the next that published means imply lie within the usual 1.00 to 1.25.

    Brachypelma baumgarteni (educators' sheet), Grammostola vachoni (abstract), a lycosid (abstract): see the module.
    """
    baumgarteni = (71.0 / 60.9) ** (1 / 2.5)
    lycosid = (29.6 / 27.3) ** (1 / 4.5), (56.1 / 29.6) ** (1 / 3)

    def years(factor: float) -> float:
        return (factor**11 - 1) / (factor**8 - 1)

    vachoni = min((1 + step / 1000 for step in range(1, 400)), key=lambda one: abs(years(one) - 7.03 / 4.03))
    assert (round(baumgarteni, 2), round(vachoni, 2)) == (1.06, 1.14)
    assert all(LENGTHENING[0] <= factor <= LENGTHENING[1] for factor in (baumgarteni, vachoni, *lycosid))


def test_usual_days_hold_the_published_means() -> None:
    """61 and 71 days a moult of a young Brachypelma are usual for a juvenile, the mean of 233 of a theraphosid for a subadult."""
    (sling, juvenile, subadult) = (USUAL_DAYS[stage] for stage in ("sling", "juvenile", "subadult"))
    assert sling[1] < 60.9 < juvenile[1]
    assert juvenile[0] < 71 < juvenile[1]
    assert subadult[0] < 233.4 < subadult[1]


def test_a_moult_told_twice_within_a_week_is_one() -> None:
    """The skin found the next day, or the same moult told again, makes no interval of a day (common practice)."""
    days = after(60, 61)
    assert next_moult([*days[:2], days[1] + timedelta(days=1), days[2], days[2] + timedelta(days=7)]) == next_moult(
        days
    )
    assert next_moult([DAY, DAY + timedelta(days=1)]) is None
