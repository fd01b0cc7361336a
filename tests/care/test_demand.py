"""Feeder demand: the feedings that fall due, times what was really fed."""

from __future__ import annotations

from datetime import datetime, time

from bot.care.demand import Needs, needs
from tests.care.tale import Tale, day


def reckon(*tales: Tale, today: int = 10, days: int = 7) -> Needs:
    return needs([tale.ward() for tale in tales], datetime.combine(day(today), time(9)), days)


def test_demand_is_feedings_times_what_was_used() -> None:
    """A group fed 12 roaches each 5 to 10 days needs 12 in the week; the median of what was fed counts."""
    tale = Tale()
    for on, quantity in ((-9, 10), (-2, 12), (5, 14)):
        tale.log("feeding", on, prey="roach", quantity=(quantity, quantity))
    found = reckon(tale)
    (demand,) = found.demands
    assert (demand.prey, demand.total) == ("roach", 12)
    share = demand.shares[0]
    assert (share.feedings, share.each_time, share.observed, share.basis) == (1, 12.0, 3, "as you fed")
    assert share.rests_on == (3, 2, 1)


def test_demand_by_plan_and_by_heads() -> None:
    """An own plan sets the number of feedings; so many each goes by the head count."""
    tale = Tale(heads=20)
    tale.log("feeding", 9, prey="cricket", quantity=(2, 2), each=True)
    tale.plan("feeding", 9, every_days=3)
    (demand,) = reckon(tale).demands
    assert (demand.total, demand.shares[0].feedings, demand.shares[0].planned) == (80, 2, True)


def test_without_quantities_one_for_each_head() -> None:
    """Nothing on record: one for each head by common practice, of a kind not known."""
    (demand,) = reckon(Tale(heads=20)).demands
    assert (demand.prey, demand.shares[0].basis) == (None, "one for each head, common practice")
    assert demand.total == 20 * demand.shares[0].feedings


def test_what_cannot_be_reckoned_is_named() -> None:
    """A group of unknown number without any quantity is named as unknown; a culture is not fed insects."""
    assert reckon(Tale(heads=None)).unknown == ("group B",)
    culture = reckon(Tale(species="Acheta domesticus"))
    assert (culture.demands, culture.unknown) == ((), ("group B",))


def test_what_is_held_needs_nothing_until_then() -> None:
    """Held past the days asked for, no prey is needed; a dated plan within them is one feeding."""
    tale = Tale()
    tale.log("move", 9)
    assert reckon(tale, days=3).demands == ()
    tale.plan("feeding", 9, on=11)
    assert reckon(tale, days=3).demands[0].shares[0].feedings == 1


def test_an_animal_by_itself_eats_one() -> None:
    """One animal, its last prey known and no quantity: one of that prey."""
    tale = Tale(kind="animal", heads=None)
    tale.log("feeding", 1, prey="locust")
    (demand,) = reckon(tale).demands
    assert (demand.prey, demand.shares[0].each_time) == ("locust", 1.0)
