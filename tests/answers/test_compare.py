"""Two groups, or a group and the ones that left it, beside each other; no verdict from a handful."""

from __future__ import annotations

from datetime import timedelta

import pytest
from lifelines.datasets import load_leukemia
from lifelines.statistics import logrank_test
from scipy.stats import ttest_ind

from tests.answers.conftest import Keeper, day

OURS, THEIRS = (12, 13, 13, 14, 15, 12), (14, 15, 15, 16, 17)


@pytest.fixture
def two(keeper: Keeper) -> Keeper:
    """A second group, C, of 40."""
    keeper.place("tub 9")
    keeper.animal("group C", "tub 9", kind="group", count=40)
    return keeper


def measured(keeper: Keeper, name: str, values: tuple[int, ...], words: str = "", month: int = 5) -> None:
    for value in values:
        keeper.write(day(month, 1), "measurement", [name], measure="legspan", value=[value, value], words=words)


def test_sizes_by_welch_as_scipy_has_it(two: Keeper) -> None:
    """The difference of the means with its 95 % interval, and how many were measured."""
    measured(two, "group B", OURS)
    measured(two, "group C", THEIRS)
    found = ttest_ind(THEIRS, OURS, equal_var=False).confidence_interval()
    assert two.text("compare", "group B", "group C", fields={"of": "size"}) == (
        "Legspan: group B 13.2 mm on average (6 measured Fri 1 May); group C 15.4 mm on average (5 measured Fri 1 May). "
        f"Group B is 2.2 mm smaller (95 % interval {found.low:.2f} to {found.high:.2f}, Welch)."
    )


def test_a_difference_within_chance_is_none(two: Keeper) -> None:
    """The interval holds nought, so nothing is claimed."""
    measured(two, "group B", OURS)
    measured(two, "group C", (13, 14, 14, 12, 15, 13))
    assert "No clear difference: 0.3 mm less for group B (95 % interval -" in two.text(
        "compare", "group B", "group C", fields={"of": "size"}
    )


def test_the_lot_that_left_is_told_by_who_got_it(keeper: Keeper) -> None:
    """Sizes whose words name the taker are of that lot, and never of the group; the name is spelled as it was."""
    measured(keeper, "group B", OURS)
    keeper.write(day(5, 1), "departure", ["group B"], number=[5, 5], words="sold 5 of B to Rui")
    measured(keeper, "group B", THEIRS, words="Rui's from B: 14 15 15 16 17mm")
    said = keeper.text("compare", "group B", fields={"of": "size", "lot": "rui"})
    assert "group B 13.2 mm on average (6 measured" in said
    assert "those to Rui 15.4 mm on average (5 measured" in said
    assert said == keeper.text("compare", "group B", fields={"of": "size", "lot": ""}).replace("that left", "to Rui")
    assert "12.7" not in keeper.text("size", "group B")


def test_few_sizes_bear_no_verdict(two: Keeper) -> None:
    """Under five of each the difference is told and no more; one of each is too few for any."""
    measured(two, "group B", OURS[:3])
    measured(two, "group C", THEIRS[:3])
    said = two.text("compare", "group B", "group C", fields={"of": "size"})
    assert "Difference: 2 mm less for group B" in said
    assert "no verdict under 5 of each" in said
    assert "smaller" not in said


def test_samples_far_apart_in_time_hold_growth(two: Keeper) -> None:
    """That is said."""
    measured(two, "group B", OURS)
    measured(two, "group C", THEIRS, month=3)
    assert "measured 61 days apart, so growth is in it." in two.text("compare", "group B", "group C")


def test_without_sizes_it_says_what_to_write(two: Keeper) -> None:
    """And of which measure both are needed."""
    measured(two, "group B", OURS)
    two.write(day(5, 1), "measurement", ["group C"], measure="weight", value=[1, 1])
    assert two.text("compare", "group B", "group C", fields={"of": "size"}) == (
        "No sizes of both group B and group C are written in one measure. Say “measured 4 of B: 12 13 13 15 mm”."
    )


@pytest.mark.parametrize("last", [17, 5])
def test_losses_by_the_log_rank_as_lifelines_has_it(nobody: Keeper, last: int) -> None:
    """The first weeks of the 6-MP trial (Freireich and others 1963, as lifelines ships it) told as two groups of 21."""
    weeks = load_leukemia()
    known = weeks.assign(died=(weeks.status == 1) & (weeks.t <= last), days=7 * weeks.t.clip(upper=last + 1))
    for number, name in ((0, "treated"), (1, "placebo")):
        nobody.place(f"tub {number}")
        nobody.animal(name, f"tub {number}", kind="group", count=21, since=day(1, 1))
        for row in weeks[(weeks["Rx"] == number) & (weeks.t <= last)].itertuples():
            on = day(1, 1) + timedelta(days=7 * int(row.t))
            nobody.write(on, "death" if row.status else "departure", [name], number=[1, 1])
    treated, placebo = (known[known["Rx"] == number] for number in (0, 1))
    p = logrank_test(treated.days, placebo.days, treated.died, placebo.died).p_value
    said = nobody.text("compare", "treated", "placebo", fields={"of": "losses"})
    assert said.endswith(f"Treated loses fewer (log-rank by age, p {'under 0.001' if p < 0.001 else f'{p:.2g}'}).")


def test_no_verdict_from_a_handful(two: Keeper) -> None:
    """With four losses in all what is there is told instead."""
    two.write(day(2, 1), "death", ["group B"], number=[4, 4])
    assert two.text("compare", "group B", "group C", fields={"of": "losses"}) == (
        "Losses: group B: 4 of 42 died in 122 days; group C: none of 40 died in 122 days. "
        "No verdict: few losses (4 losses, 40 heads; 5 wanted of each)."
    )


def test_nothing_lost_tells_nothing_apart(two: Keeper) -> None:
    """And sizes are only told where there are some."""
    said = two.text("compare", "group B", "group C")
    assert said.endswith("No loss while both had heads, so there is nothing to tell them apart by.")
    assert len(said.splitlines()) == 1


def test_one_name_or_single_animals(two: Keeper) -> None:
    """One group is asked for another; of single animals the last sizes are told."""
    assert two.text("compare", "group B").startswith("Name two groups to compare")
    two.write(day(5, 1), "measurement", ["Ada"], measure="legspan", value=[40, 40])
    assert two.text("compare", "Ada", "Dot").splitlines()[0].startswith("Ada: legspan 40 mm")


def test_nobody_to_compare(nobody: Keeper) -> None:
    """An empty roster has a clear sentence."""
    assert nobody.text("compare").startswith("Name two groups to compare")


def test_an_unknown_start_is_said(two: Keeper) -> None:
    """Losses need the number that a brood began with."""
    two.place("tub 10")
    two.animal("group E", "tub 10", kind="group")
    assert two.text("compare", "group B", "group E", fields={"of": "losses"}) == (
        "Losses: how many group E began with is not written, so they cannot be compared."
    )


def test_why_goes_by_what_was_compared(two: Keeper) -> None:
    """Of sizes the measurements, of losses the deaths and counts."""
    measured(two, "group B", OURS[:1], words="B is 12mm")
    two.write(day(2, 1), "death", ["group B"], number=[4, 4], words="four dead in B")
    sizes = two.text("why", "group B", "group C", fields={"of": "compare", "compared": "size"})
    losses = two.text("why", "group B", "group C", fields={"of": "compare", "compared": "losses"})
    assert ("“B is 12mm”" in sizes, "four dead" in sizes) == (True, False)
    assert ("“B is 12mm”" in losses, "four dead" in losses) == (False, True)
