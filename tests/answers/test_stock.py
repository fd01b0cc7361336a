"""Feeders in stock: what is told, moved by feedings, against what is fed and due; and cultures growing out."""

from __future__ import annotations

from datetime import date

from tests.answers.conftest import Keeper, day

CRICKETS = {"feeder": "cricket"}


def lot(keeper: Keeper, on: date, stock: str, pieces: list[int | None] | None, feeder: str = "cricket") -> None:
    """A note on the stock; pieces None for a lot that was not counted."""
    numbers = {} if pieces is None else {"pieces": pieces}
    keeper.write(on, "note", [], words=f"{stock} {pieces} {feeder}", stock=stock, feeder=feeder, **numbers)


def fed(
    keeper: Keeper, on: date, name: str, low: int, high: int | None = None, prey: str = "cricket", **fields: object
) -> None:
    """A feeding."""
    keeper.write(on, "feeding", [name], prey=prey, quantity=[low, low if high is None else high], **fields)  # type: ignore[arg-type]


def stock(keeper: Keeper, feeder: str = "cricket") -> list[str]:
    """What is said of a stock, line by line."""
    return keeper.text("stock", fields={"feeder": feeder}).splitlines()


def test_a_stock_is_moved_by_feedings(keeper: Keeper) -> None:
    """What came, less what died and what was fed since, by the book."""
    fed(keeper, day(4, 1), "Duchess", 9)
    lot(keeper, day(4, 9), "added", [500, 500])
    lot(keeper, day(4, 20), "lost", [30, 30])
    fed(keeper, day(4, 10), "group B", 10, 12)
    fed(keeper, day(4, 24), "group B", 12)
    assert stock(keeper)[0] == (
        "crickets: 446 to 448 by the book (none on record before; 500 came Thu 9 Apr, 28 days ago; "
        "30 dead or thrown out Mon 20 Apr, 17 days ago; 22 to 24 fed in 2 feedings). It starts 28 days back: deaths and breeding in the box are in no book."
    )


def test_a_count_sets_it_anew(keeper: Keeper) -> None:
    """What was before a count matters no more; “at least” only lifts the floor."""
    lot(keeper, day(4, 1), "added", [500, 500])
    lot(keeper, day(5, 1), "left", [135, 165])
    fed(keeper, day(5, 2), "group B", 10)
    assert stock(keeper)[0].startswith(
        "crickets: 125 to 155 by the book (135 to 165 counted Fri 1 May, 6 days ago; 10 fed in 1 feeding)"
    )


def test_days_left_and_by_when_to_order(keeper: Keeper) -> None:
    """Least days go with the least stock and the greatest use; an order has to come before the first day short."""
    for on in (4, 11, 18, 25):
        fed(keeper, day(4, on), "group B", 28)
    fed(keeper, day(5, 2), "group B", 28)
    keeper.plan("feeding", ["group B"], told=day(4, 1), every_days=7)
    lot(keeper, day(5, 6), "left", [36, 44])
    said = stock(keeper)
    # Fed: 5 times 28 in the 34 days since 4 April, 4.1 a day. Due: each 7 days 28, so 4 times in 28 days, 4 a day.
    assert said[1] == (
        "They last 8 to 11 days, the first day short being Fri 15 May to Mon 18 May, at 4 to 4.1 a day "
        "(4.1 as fed in 34 days, 5 feedings; 4 by what falls due in the next 4 weeks)."
    )
    assert said[2].startswith("Order by Tue 12 May, in 5 days: an order takes 3 days (assumed, common practice; ")


def test_the_keepers_own_time_of_delivery(keeper: Keeper) -> None:
    """It stands in for what is assumed; where it is too late for it, the order is for today."""
    for on in (11, 18, 25):
        fed(keeper, day(4, on), "group B", 28)
    lot(keeper, day(5, 6), "left", [30, 30])
    keeper.write(day(5, 1), "note", [], feeder="cricket", delivery_days=[10, 14])
    assert stock(keeper)[2] == "Order today: an order takes 10 to 14 days (your own words, Fri 1 May)."
    keeper.write(day(5, 2), "note", [], feeder="locust", delivery_days=[1, 1])
    assert "10 to 14 days" in stock(keeper)[2]


def test_no_stock_told(keeper: Keeper) -> None:
    """Without a word on the stock it says what to tell, and what is used."""
    for on in (11, 18, 25):
        fed(keeper, day(4, on), "group B", 14)
    said = stock(keeper)
    assert said[0] == "How many crickets there are is not written. “about 150 crickets left” tells me."
    assert said[1].startswith("Needed are ")
    assert keeper.text("stock") == "No feeders are written. Tell me what came or what is left: “got 500 crickets”."


def test_a_lot_that_was_not_counted_has_no_upper_end(keeper: Keeper) -> None:
    """Two tubs of crickets are some number more."""
    lot(keeper, day(5, 1), "left", [20, 20])
    lot(keeper, day(5, 5), "added", None)
    assert stock(keeper)[0].startswith("crickets: at least 21 by the book")


def test_an_order_on_its_way(keeper: Keeper) -> None:
    """It is no stock until it comes, and is said until then."""
    lot(keeper, day(5, 1), "left", [20, 20])
    lot(keeper, day(5, 5), "ordered", [500, 500])
    assert stock(keeper)[-1] == "500 ordered Tue 5 May, 2 days ago, not told as come."
    lot(keeper, day(5, 6), "added", [500, 500])
    assert "ordered" not in " ".join(stock(keeper))
    assert stock(keeper)[0].startswith("crickets: 520 by the book")


def test_prey_told_by_its_general_word(keeper: Keeper) -> None:
    """A roach fed is of the red runners where no other roach is kept, and of neither where two are."""
    lot(keeper, day(5, 1), "left", [100, 100], "red runner roach")
    fed(keeper, day(5, 2), "group B", 5, prey="roach")
    assert stock(keeper, "roach")[0].startswith("red runner roaches: 95 by the book")
    lot(keeper, day(5, 3), "left", [50, 50], "dubia roach")
    assert stock(keeper, "red runner roach")[0].startswith("red runner roaches: 100 by the book")


def test_more_fed_than_there_was(keeper: Keeper) -> None:
    """A book that cannot be right says so."""
    lot(keeper, day(5, 1), "left", [5, 5])
    fed(keeper, day(5, 2), "group B", 9)
    assert "crickets: none by the book" in stock(keeper)[0]
    assert "More went than there were by the book" in stock(keeper)[0]


def test_an_old_count_is_told_with_its_age(keeper: Keeper) -> None:
    """What dies in the box is in no book."""
    lot(keeper, day(4, 1), "left", [300, 300])
    assert "It starts 36 days back: deaths and breeding in the box are in no book." in stock(keeper)[0]


def test_each_head_had_so_many(keeper: Keeper) -> None:
    """A quantity for each head is multiplied by the heads of the group."""
    lot(keeper, day(5, 1), "left", [300, 300])
    fed(keeper, day(5, 2), "group B", 2, each=True)
    assert stock(keeper)[0].startswith("crickets: 216 by the book")


def test_what_was_refused_may_be_back_in_the_box(keeper: Keeper) -> None:
    """Prey refused or left over was taken out again, into the box or not."""
    lot(keeper, day(5, 1), "left", [100, 100])
    fed(keeper, day(5, 2), "group B", 10, outcome="refused")
    assert stock(keeper)[0].startswith("crickets: 90 to 100 by the book")
    fed(keeper, day(5, 3), "group B", 10, outcome="partly", uneaten=[4, 4])
    assert stock(keeper)[0].startswith("crickets: 80 to 94 by the book")


def test_several_fed_together(keeper: Keeper) -> None:
    """Told with “each” every place had so many; without it they had one lot together, or one each."""
    lot(keeper, day(5, 1), "left", [300, 300])
    keeper.write(day(5, 2), "feeding", ["tub 1", "group B"], prey="cricket", quantity=[2, 2], each=True)
    assert stock(keeper)[0].startswith("crickets: 296 by the book")
    keeper.write(day(5, 3), "feeding", ["tub 1", "group B"], prey="cricket", quantity=[10, 10])
    assert stock(keeper)[0].startswith("crickets: 276 to 286 by the book")


def test_a_colony_on_the_roster(keeper: Keeper) -> None:
    """Its counts, arrivals and deaths are its stock; what is fed to others is taken away, its own food is not."""
    keeper.place("roach bin")
    keeper.animal("dubia colony", "roach bin", kind="group", count=300)
    keeper.write(day(4, 1), "arrival", ["dubia colony"], number=[50, 50])
    keeper.write(day(4, 2), "feeding", ["dubia colony"], prey="carrot", quantity=[1, 1])
    fed(keeper, day(4, 3), "group B", 10, prey="dubia roach")
    assert stock(keeper, "dubia roach")[0].startswith(
        "dubia colony: 340 by the book (300 at set-up Mon 5 Jan, 17 weeks ago; 50 came Wed 1 Apr, 36 days ago; 10 fed in 1 feeding)"
    )
    assert keeper.text("stock", "dubia colony").startswith("dubia colony: 340")
    assert keeper.text("headcount", "dubia colony").splitlines()[1] == (
        "dubia colony as feeders: 340 by the book, 10 fed in 1 feeding since."
    )
    assert "as feeders" not in keeper.text("headcount", "group B")


def test_what_is_needed_is_held_against_the_stock(keeper: Keeper) -> None:
    """The answer on what is needed says whether the stock covers it."""
    for on in (11, 18, 25):
        fed(keeper, day(4, on), "group B", 14)
    keeper.plan("feeding", ["group B"], told=day(4, 1), every_days=7)
    assert "in stock" not in keeper.text("feeders", days=7)
    lot(keeper, day(5, 6), "left", [10, 10])
    assert "- in stock by the book: 10, 4 short" in keeper.text("feeders", days=7)
    lot(keeper, day(5, 7), "left", [10, 20])
    assert "- in stock by the book: 10 to 20, may not be enough" in keeper.text("feeders", days=7)


def test_a_culture_growing_out(keeper: Keeper) -> None:
    """Black field crickets at 28 °C: 8.98 days as eggs and 47.08 as nymphs (doi:10.1371/journal.pone.0300438)."""
    told = {"feeder": "cricket", "species": "Gryllus bimaculatus", "temperature_c": [28, 28]}
    said = keeper.text("growing_out", fields=told).splitlines()
    assert said[0] == "At 28 °C, from eggs just laid:"
    assert said[1].startswith(
        "Black field crickets (Gryllus bimaculatus): grown in about 56 days, Thu 2 Jul to Fri 3 Jul (doi:"
    )
    both = keeper.text("growing_out", fields={"feeder": "cricket", "species": None}).splitlines()
    assert both[0] == "At 24 to 30 °C (taken, as none was told), from eggs just laid:"
    assert both[1].startswith("House crickets (Acheta domesticus): grown in about 66 to 100 days")
    assert "nothing is reckoned" in keeper.text("growing_out", fields={"feeder": "dubia roach"})
    assert "too cold" in keeper.text("growing_out", fields={**told, "temperature_c": [12, 12]})
