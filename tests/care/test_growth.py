"""Growth for each moult: the usual factor until three own moults say otherwise."""

from __future__ import annotations

from datetime import date, timedelta

import pytest
from hypothesis import given
from hypothesis import strategies as st

from bot.care.growth import (
    Factor,
    Moult,
    Size,
    all_stretches,
    growth_factor,
    size_after,
    stretches,
    usual_factor,
)

DAY = date(2025, 3, 1)


def grown(*values: float, every: int = 60) -> tuple[list[Size], list[Moult]]:
    """Sizes with one moult between each two, `every` days apart."""
    sizes = [Size(DAY + timedelta(days=every * place + 10), value) for place, value in enumerate(values)]
    moults = [Moult(DAY + timedelta(days=every * place)) for place in range(1, len(values))]
    return sizes, moults


# Geometric series from 5 mm, computed for the factors of Dyar (1.4), Przibram (1.26) and between.
SERIES = [
    (1.2, (5.0, 6.0, 7.2, 8.64, 10.37, 12.44, 14.93, 17.92, 21.5, 25.8, 30.96)),
    (1.26, (5.0, 6.3, 7.94, 10.0, 12.6, 15.88, 20.01, 25.21, 31.76, 40.02, 50.43)),
    (1.3, (5.0, 6.5, 8.45, 10.98, 14.28, 18.56, 24.13, 31.37, 40.79, 53.02, 68.93)),
    (1.35, (5.0, 6.75, 9.11, 12.3, 16.61, 22.42, 30.27, 40.86, 55.16, 74.47, 100.53)),
    (1.4, (5.0, 7.0, 9.8, 13.72, 19.21, 26.89, 37.65, 52.71, 73.79, 103.31, 144.63)),
]


@pytest.mark.parametrize(("factor", "values"), SERIES)
def test_factor_of_a_series(factor: float, values: tuple[float, ...]) -> None:
    """Ten own moults give the factor by which they were made, whatever the usual one is."""
    found = growth_factor(stretches(*grown(*values), "legspan"), "legspan")
    assert found.middle == pytest.approx(factor, abs=0.003)
    assert (found.source, found.basis, found.stretches) == ("own", 10, 10)
    assert found.low < factor < found.high
    assert size_after(5, Factor(factor, factor, factor, "own", 1, 1, factor), 10)[1] == pytest.approx(
        values[-1], abs=0.01
    )


def test_two_own_moults_do_not_overrule() -> None:
    """With two own moults of 1.5 the usual 1.25 to 1.40 stands; what they say is told beside. The third overrules."""
    two = growth_factor(stretches(*grown(10, 15, 22.5), "legspan"), "legspan")
    assert (two.source, two.low, two.high, two.basis) == ("usual", 1.25, 1.4, 2)
    assert two.own == pytest.approx(1.5)
    three = growth_factor(stretches(*grown(10, 15, 22.5, 33.75), "legspan"), "legspan")
    assert (three.source, three.middle) == ("own", pytest.approx(1.5))


def test_nothing_measured_gives_the_usual() -> None:
    """Without sizes the usual factor stands, on no observation."""
    found = growth_factor(stretches([], [], "legspan"), "legspan", "adult")
    assert (found.low, found.high, found.source, found.basis, found.own) == (1.05, 1.2, "usual", 0, None)


def test_usual_factor_of_a_weight_is_the_cube() -> None:
    """Of a weight 1.95 to 2.74: Przibram's doubling and the mantids' 2.09 lie in it, 1.26 and 1.29 in that of a length."""
    low, high = usual_factor("weight")
    assert (round(low, 2), round(high, 2)) == (1.95, 2.74)
    assert all(low < factor < high for factor in (2, 2.09))
    length = usual_factor("legspan", "juvenile")
    assert all(length[0] < factor < length[1] for factor in (2 ** (1 / 3), 1.29, 1.38))


def test_sizes_between_two_moults_are_one() -> None:
    """Two sizes of the same instar are one by their geometric mean; no growth is seen between them."""
    sizes, moults = grown(10, 13)
    again = [*sizes, Size(sizes[0].on + timedelta(days=5), 10.4)]
    (one,) = stretches(again, moults, "legspan")
    assert one.factor == pytest.approx(13 / (10 * 10.4) ** 0.5)
    assert stretches(sizes, [], "legspan") == ()


def test_several_moults_between_two_sizes() -> None:
    """From 20 to 54.88 mm with three moults between is 1.4 a moult, on three moults in one stretch."""
    moults = [Moult(DAY + timedelta(days=days)) for days in (30, 70, 120)]
    found = stretches([Size(DAY, 20), Size(DAY + timedelta(days=150), 54.88)], moults, "legspan")
    factor = growth_factor(found, "legspan")
    assert (factor.source, factor.basis, factor.stretches) == ("own", 3, 1)
    assert factor.middle == pytest.approx(1.4)
    assert (factor.low, factor.high) == pytest.approx((1.4 / (1.05 / 0.95) ** (1 / 3), 1.4 * (1.05 / 0.95) ** (1 / 3)))


def test_a_cast_skin_tells_the_size_before() -> None:
    """On the day of a moult a live animal has the new size, its skin the old one."""
    moults = [Moult(DAY), Moult(DAY + timedelta(days=60))]
    skins = [Size(DAY, 10), Size(DAY + timedelta(days=60), 13)]
    assert [one.factor for one in stretches(skins, moults, "exuvia")] == [pytest.approx(1.3)]
    live = [Size(DAY - timedelta(days=1), 10), Size(DAY, 13)]
    assert [one.factor for one in stretches(live, moults, "legspan")] == [pytest.approx(1.3)]


def test_a_group_moults_in_shares() -> None:
    """Half of a group moulting twice is one moult; a fifth alone is too little for a stretch and goes to the next."""
    days = [DAY + timedelta(days=days) for days in (0, 20, 40)]
    halves = [Moult(DAY + timedelta(days=5), 0.5), Moult(DAY + timedelta(days=15), 0.5)]
    (one,) = stretches([Size(days[0], 10), Size(days[1], 13)], halves, "legspan")
    assert (one.moults, one.factor) == (1, pytest.approx(1.3))
    few = [Moult(DAY + timedelta(days=5), 0.2), Moult(DAY + timedelta(days=25), 0.8)]
    (joined,) = stretches([Size(days[0], 10), Size(days[1], 10.5), Size(days[2], 13)], few, "legspan")
    assert (joined.since, joined.until, joined.moults) == (days[0], days[2], 1)


def test_several_animals_make_the_factor_of_a_group() -> None:
    """Three animals with one moult each are three own moults."""
    found = all_stretches([grown(10, 13), grown(12, 16.2), grown(9, 12)], "legspan")
    factor = growth_factor(found, "legspan")
    assert (factor.source, factor.basis) == ("own", 3)
    assert factor.middle == pytest.approx(12 / 9)


def test_a_size_of_nothing_is_refused() -> None:
    """A size of 0 raises ValueError."""
    with pytest.raises(ValueError, match="is no size"):
        stretches([Size(DAY, 0)], [], "legspan")


@given(st.lists(st.floats(1.02, 1.8), min_size=3, max_size=12), st.sampled_from(["legspan", "weight", "exuvia"]))
def test_range_holds_every_own_factor(factors: list[float], measure: str) -> None:
    """From three own moults on the range holds the middle and each moult's own factor."""
    values = [5.0]
    for factor in factors:
        values.append(values[-1] * factor)
    found = growth_factor(stretches(*grown(*values), measure), measure)
    assert found.source == "own"
    assert found.low <= min(factors) + 1e-9
    assert found.high >= max(factors) - 1e-9
    assert found.low < found.middle < found.high
