"""What became of a brood, with the bounds of what chance and counting leave open."""

from __future__ import annotations

import pytest
from scipy.stats import CensoredData, binomtest, ecdf
from statsmodels.stats.proportion import proportion_confint

from bot.wording import say_share
from storage import lineage
from tests.answers.conftest import Keeper, day


def test_a_brood_without_losses(keeper: Keeper) -> None:
    """The bound says which it is: exact, one-sided 95 %, with the rule of three beside (published: 0.069 and 0.0714 at 42)."""
    assert keeper.text("losses", "group B").splitlines() == [
        "group B: 42 at set-up Mon 5 Jan, 17 weeks ago: alive by the book 42; no death told.",
        (
            "No loss among 42 followed for 122 days: the chance of one in that time is at most 6.9 % "
            "(exact, one-sided 95 %; the rule of three, 3/42, gives 7.1 %)."
        ),
    ]
    assert say_share(1 - 0.05 ** (1 / 42)) == "6.9 %"


def test_died_left_and_unaccounted_are_told_apart(keeper: Keeper) -> None:
    """The dead with their days, those sold, and those that a count did not find, which are neither dead nor alive."""
    keeper.write(day(2, 2), "death", ["group B"], number=[1, 1])
    keeper.write(day(3, 9), "death", ["group B"], number=[2, 2])
    keeper.write(day(4, 1), "departure", ["group B"], number=[5, 5], words="sold 5 of B to Rui")
    keeper.write(day(5, 1), "count", ["group B"], count=[32, 32])
    first = keeper.text("losses", "group B").splitlines()[0]
    assert first == (
        "group B: 42 at set-up Mon 5 Jan, 17 weeks ago: alive by the book 32; 3 died (Mon 2 Feb, Mon 9 Mar); "
        "5 sold, given or split off (Wed 1 Apr); 2 unaccounted for, neither dead nor alive."
    )


def test_survival_agrees_with_scipy(keeper: Keeper) -> None:
    """Kaplan-Meier with the sold censored, by scipy.stats.ecdf on the single heads."""
    keeper.write(day(2, 2), "death", ["group B"], number=[6, 6])
    keeper.write(day(3, 9), "departure", ["group B"], number=[10, 10])
    keeper.write(day(4, 1), "death", ["group B"], number=[4, 4])
    uncensored = [28] * 6 + [86] * 4
    curve = ecdf(CensoredData(uncensored=uncensored, right=[63] * 10 + [122] * 22)).sf
    survival = float(curve.evaluate(122))
    interval = curve.confidence_interval(method="log-log")
    low, high = float(interval.low.probabilities[-1]), float(interval.high.probabilities[-1])
    assert keeper.text("losses", "group B").splitlines()[1] == (
        f"Alive after 122 days: {say_share(survival)} (Kaplan-Meier, 95 % interval {say_share(low, high)}; 42 heads)."
    )


def test_how_many_made_it_agrees_with_statsmodels(keeper: Keeper) -> None:
    """The exact interval by scipy's binomtest, Wilson's by statsmodels; those that left are not among them."""
    keeper.write(day(2, 2), "death", ["group B"], number=[6, 6])
    keeper.write(day(3, 9), "departure", ["group B"], number=[10, 10])
    exact = binomtest(26, 32).proportion_ci(method="exact")
    low, high = proportion_confint(26, 32, method="wilson")
    assert keeper.text("losses", "group B").splitlines()[2] == (
        f"Made it: 26 of 32 that stayed, 95 % interval {say_share(exact.low, exact.high)} exact, {say_share(low, high)} Wilson."
    )


def test_the_unaccounted_widen_what_is_told(keeper: Keeper) -> None:
    """They may have lived or died, so the share is a range from one to the other."""
    keeper.write(day(3, 9), "count", ["group B"], count=[40, 40])
    said = keeper.text("losses", "group B")
    assert "Alive after 122 days: 95 to 100 % (Kaplan-Meier" in said
    assert "Made it: 40 to 42 of 42," in said


def test_a_loss_without_a_number_leaves_it_open(keeper: Keeper) -> None:
    """Some died: at least one, and no number is made up."""
    keeper.write(day(3, 9), "death", ["group B"])
    said = keeper.text("losses", "group B")
    assert "alive by the book up to 41; at least 1 died (Mon 9 Mar)" in said
    assert "Alive after 122 days: 0 to 98 % (Kaplan-Meier" in said


def test_not_seen_is_no_loss(keeper: Keeper) -> None:
    """Weeks of hiding change nothing."""
    before = keeper.text("losses", "group B")
    keeper.write(day(5, 1), "observation", ["group B"], signs=["hiding"])
    keeper.write(day(5, 2), "count", ["group B"], count=[5, None])
    assert keeper.text("losses", "group B") == before


def test_too_few_heads_give_no_rate(keeper: Keeper) -> None:
    """Under five, what is there is told instead."""
    keeper.place("tub 9")
    keeper.animal("group E", "tub 9", kind="group", count=4)
    keeper.write(day(3, 9), "death", ["group E"], number=[1, 1])
    assert keeper.text("losses", "group E").splitlines()[1] == "4 to begin with: too few for a rate."


def test_animals_added_begin_the_brood_anew(keeper: Keeper) -> None:
    """Nobody can tell which of them die; the losses before are told apart."""
    keeper.write(day(2, 2), "death", ["group B"], number=[2, 2])
    keeper.write(day(3, 2), "arrival", ["group B"], number=[10, 10])
    keeper.write(day(4, 2), "death", ["group B"], number=[1, 1])
    first = keeper.text("losses", "group B").splitlines()[0]
    assert first.startswith("group B: 50 arrived Mon 2 Mar, 9 weeks ago: alive by the book 49; 1 died (Thu 2 Apr).")
    assert first.endswith("2 were lost or left before that.")


def test_a_brood_begins_with_its_hatching(keeper: Keeper) -> None:
    """Of a group alone, and of the only brood of its mother's sac: those that did not reach the set-up are unaccounted for."""
    keeper.place("pot 9")
    keeper.animal("brood 9", "pot 9", kind="group")
    keeper.write(day(3, 2), "sac", ["brood 9"], stage="hatched", number=[30, 30])
    assert keeper.text("losses", "brood 9").startswith(
        "brood 9: 30 hatched Mon 2 Mar, 9 weeks ago: alive by the book 30;"
    )
    keeper.place("pot 10")
    keeper.write(day(2, 2), "sac", ["Duchess"], stage="hatched", number=[100, 100])
    keeper.animal("brood 10", "pot 10", kind="group", count=97, since=day(2, 20))
    lineage.add_lineage(
        keeper.session, keeper.animals["brood 10"], keeper.animals["Duchess"], "brood", None, day(2, 20)
    )
    said = keeper.text("losses", "brood 10")
    assert said.startswith("brood 10: 100 hatched Mon 2 Feb, 13 weeks ago: alive by the book 97;")
    assert "3 unaccounted for" in said


def test_without_a_number_nothing_is_reckoned(keeper: Keeper) -> None:
    """A group of which no number is known, a least number, no group at all: each is said."""
    keeper.place("tub 9")
    keeper.animal("group E", "tub 9", kind="group")
    assert keeper.text("losses", "group E") == (
        "group E: no number at the start and no count is written, so no losses can be reckoned."
    )
    keeper.write(day(3, 2), "arrival", ["group E"], number=[20, None])
    assert "no share can be told" in keeper.text("losses", "group E")
    assert keeper.text("losses", "Duchess") == "Duchess is no group: ask when it ate, moulted or was seen."


def test_all_groups_have_a_line_each(keeper: Keeper) -> None:
    """Where none is named; on an empty roster that is said."""
    keeper.place("tub 9")
    keeper.animal("group E", "tub 9", kind="group", count=12)
    assert [line.split(":")[0] for line in keeper.text("losses").splitlines()] == ["group B", "group E"]


def test_nobody_has_no_losses(nobody: Keeper) -> None:
    """A clear sentence."""
    assert nobody.text("losses") == "There is no group on the roster whose losses could be told."


def test_why_lists_the_entries(keeper: Keeper) -> None:
    """In their own words, newest first; without any the set-up is named."""
    assert keeper.text("why", "group B", fields={"of": "losses"}) == (
        "group B: it rests on no entry, only on what was said at set-up."
    )
    keeper.write(day(2, 2), "death", ["group B"], number=[1, 1], words="lost one in B")
    keeper.write(day(3, 2), "count", ["tub 4"], count=[41, 41], words="41 in tub 4")
    lines = keeper.text("why", "group B", fields={"of": "losses"}).splitlines()
    assert lines[0] == "group B rests on 2 entries:"
    assert "“41 in tub 4”" in lines[1]
    assert "“lost one in B”" in lines[2]


@pytest.mark.parametrize(
    ("low", "high", "said"),
    [
        (0.88, None, "88 %"), (0.881, 0.884, "88 %"), (0.88, 0.9, "88 to 90 %"), (0.0, 1.0, "0 to 100 %"),
        (0.996, None, "99.6 %"), (0.9999, None, "over 99.9 %"), (0.0001, None, "under 0.1 %"), (0.0485, None, "4.9 %"),
    ],
)  # fmt: skip
def test_shares_are_never_more_sure_than_they_are(low: float, high: float | None, said: str) -> None:
    """0 and 100 per cent are kept for what is just that."""
    assert say_share(low, high) == said


def test_what_is_told_after_a_count_of_the_same_day_comes_after_it(keeper: Keeper) -> None:
    """A split on the day of the count takes nothing from what was counted before it."""
    keeper.write(day(5, 1), "count", ["group B"], count=[42, 42])
    keeper.write(day(5, 1), "departure", ["group B"], number=[12, 12])
    keeper.write(day(5, 1), "death", ["group B"], number=[1, 1])
    said = keeper.text("losses", "group B")
    assert "unaccounted" not in said
    assert "raised" not in said
    assert "Made it: 29 of 30 that stayed" in said


def test_no_more_made_it_than_are_not_known_dead(keeper: Keeper) -> None:
    """However wide the count is."""
    keeper.write(day(4, 1), "count", ["group B"], count=[30, 40])
    keeper.write(day(5, 1), "death", ["group B"], number=[2, 2])
    assert "Made it: 28 to 40 of 42" in keeper.text("losses", "group B")
