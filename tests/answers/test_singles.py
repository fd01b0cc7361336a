"""Animals in pots of their own are told of together."""

from __future__ import annotations

from datetime import timedelta

import pytest
from lifelines import KaplanMeierFitter

from bot.wording import say_share
from tests.answers.conftest import TODAY, Keeper, day

POTS = tuple(f"pot {number}" for number in range(20, 30))


@pytest.fixture
def slings(nobody: Keeper) -> Keeper:
    """Ten slings in pots, set up one day after another from 1 February."""
    for number, name in enumerate(POTS):
        nobody.place(name)
        nobody.animal(name.replace("pot", "sling"), name, since=day(2, 1) + timedelta(days=number))
    return nobody


def test_singles_without_a_loss(slings: Keeper) -> None:
    """The bound for none of ten: 1 - 0.05^(1/10) = 0.2589."""
    assert slings.text("losses", *POTS).splitlines() == [
        "10 kept singly: 10 alive, no death told. Those taken off the roster are not among them.",
        "No loss among 10 in up to 95 days: the chance of one is at most 26 % (exact, one-sided 95 %).",
    ]


def test_singles_by_their_own_age_as_lifelines_has_it(slings: Keeper) -> None:
    """Each counts from its own first day; the sold up to the day they left. Told as far as five bear the curve."""
    days, died = [(TODAY - day(2, 1)).days - number for number in range(10)], [False] * 10
    for number, after, kind in ((0, 20, "death"), (3, 31, "death"), (5, 40, "departure")):
        began = day(2, 1) + timedelta(days=number)
        slings.write(began + timedelta(days=after), kind, [f"sling {20 + number}"])
        days[number], died[number] = after, kind == "death"
    told = sorted(days)[-5]
    curve = KaplanMeierFitter().fit(days, died)
    low, high = curve.confidence_interval_.loc[:told].iloc[-1]
    lines = slings.text("losses", *POTS).splitlines()
    assert lines[0].startswith("10 kept singly: 7 alive, 2 died (Sat 21 Feb, Sat 7 Mar), 1 sold or given on.")
    assert lines[1] == (
        f"Alive after {told} days: {say_share(float(curve.predict(told)))} (Kaplan-Meier, each from its own first day, "
        f"95 % interval {say_share(float(low), float(high))}; 10 animals)."
    )


def test_few_singles_give_no_rate(slings: Keeper) -> None:
    """What is there is told; one animal alone is no group."""
    assert slings.text("losses", *POTS[:3]).splitlines()[1] == "Too few for a rate."
    assert slings.text("losses", POTS[0]) == "sling 20 is no group: ask when it ate, moulted or was seen."
