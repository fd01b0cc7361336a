"""Growth is told with what it rests on; a window is a range of days; instars stand as they were said."""

from __future__ import annotations

import math
from datetime import timedelta

from bot.answers.growing import INSTAR
from tests.answers.conftest import TODAY, Keeper, day

MOULTS = (day(1, 10), day(2, 9), day(3, 15), day(4, 25))


def grown(keeper: Keeper, values: tuple[float, ...] = (10, 13, 17, 23), **fields: object) -> None:
    """Duchess moults four times and is measured after each."""
    for on, value in zip(MOULTS, values, strict=False):
        keeper.write(on, "moult", ["Duchess"])
        keeper.write(
            on + timedelta(days=3), "measurement", ["Duchess"], measure="legspan", value=[value, value], **fields
        )


def test_growth_rests_on_own_moults_once_there_are_three(keeper: Keeper) -> None:
    """The middle factor, its range, how many moults, and the size after the next: 23 mm by the middle 17/13."""
    grown(keeper)
    lines = keeper.text("size", "Duchess").splitlines()
    middle = 17 / 13
    # A live length is known to 5 % either way, so one moult's factor to 1.05/0.95.
    low, high = middle / (1.05 / 0.95), middle * (1.05 / 0.95)
    assert lines[1] == (
        f"Grows {middle:.2f} times a moult ({low:.2f} to {high:.2f}; legspan, 3 own moults). "
        f"After the next: {23 * low:.1f} to {23 * high:.1f} mm."
    )


def test_few_own_moults_leave_the_usual_factor(keeper: Keeper) -> None:
    """Named as usual (1.25 to 1.40, Dyar's and Przibram's rules), with what the own ones say so far."""
    grown(keeper, (10, 13))
    assert keeper.text("size", "Duchess").splitlines()[1] == (
        "Usual growth is 1.25 to 1.40 times a moult (own so far 1.30 from 1 own moult, 3 own wanted between sizes). "
        "After the next: 16.2 to 18.2 mm."
    )


def test_a_moult_since_the_last_size_is_reckoned_in(keeper: Keeper) -> None:
    """The size after the next is then two moults on."""
    grown(keeper, (10, 13))
    keeper.write(day(3, 15), "moult", ["Duchess"])
    said = keeper.text("size", "Duchess").splitlines()[1]
    assert said.endswith(
        f"After the next: {13 * 1.25**2:.1f} to {13 * 1.4**2:.1f} mm (the last size is 2 moults before that)."
    )


def test_the_window_of_the_next_moult(keeper: Keeper) -> None:
    """From own intervals of 30, 34 and 41 days: a range of days, the middle, and how much each is longer than the last."""
    grown(keeper)
    said = keeper.text("next", "Duchess", kind="moult")
    slope = math.log(41 / 30) / 2
    following = math.exp((math.log(30) + math.log(34) + math.log(41)) / 3 + 2 * slope)
    likely = MOULTS[-1] + timedelta(days=round(following))
    since, until = (MOULTS[-1] + timedelta(days=round(days)) for days in (41, 41 * 1.25))
    assert f"next moult likely {keeper.view.day(likely)}, between {keeper.view.bare_day(since)} and" in said
    assert keeper.view.bare_day(max(until, MOULTS[-1] + timedelta(days=round(following * 1.1)))) in said
    assert f"(3 own intervals, each {math.exp(slope):.2f} times the one before; last moult Sat 25 Apr)." in said
    assert keeper.text("size", "Duchess").splitlines()[2].startswith("Next moult likely")


def test_what_is_missing_for_a_window_is_said(keeper: Keeper) -> None:
    """No moult, one moult; with two one interval stands, lengthened as is usual."""
    assert keeper.text("next", "Ada", kind="moult") == (
        "Ada: no moult is written, so the next cannot be told. Two with their days give a window."
    )
    keeper.write(day(2, 1), "moult", ["Ada"])
    assert keeper.text("next", "Ada", kind="moult") == (
        "Ada: one moult is written, Sun 1 Feb, 13 weeks ago; one more gives a window."
    )
    keeper.write(day(4, 2), "moult", ["Ada"])
    assert "(one own interval, lengthened as is usual; last moult Thu 2 Apr)." in keeper.text(
        "next", "Ada", kind="moult"
    )


def test_a_window_that_is_past_is_no_verdict(keeper: Keeper) -> None:
    """A moult may have gone unseen."""
    keeper.write(day(1, 10), "moult", ["Ada"])
    keeper.write(day(2, 1), "moult", ["Ada"])
    assert "That is past: one may have gone unseen." in keeper.text("next", "Ada", kind="moult")


def test_premoult_seen_since_is_told(keeper: Keeper) -> None:
    """After the last moult, and not before it."""
    grown(keeper)
    keeper.write(day(4, 20), "observation", ["Duchess"], signs=["premoult"])
    assert "premoult" not in keeper.text("next", "Duchess", kind="moult")
    keeper.write(day(5, 6), "observation", ["Duchess"], signs=["premoult"])
    assert keeper.text("next", "Duchess", kind="moult").endswith("Seen in premoult Wed 6 May, yesterday.")


def test_no_day_is_told_for_a_group(keeper: Keeper) -> None:
    """Each moults in its own time."""
    keeper.write(day(2, 1), "moult", ["group B"], number=[2, 2])
    assert keeper.text("next", "group B", kind="moult") == (
        "group B: in a group each moults in its own time, so no day is told for all. The last was Sun 1 Feb, 13 weeks ago."
    )


def test_instars_stand_as_they_were_said(keeper: Keeper) -> None:
    """The last one, with how many moults are written since; nothing is counted on from it."""
    keeper.write(day(2, 9), "moult", ["Duchess"], words="Duchess moulted to L5")
    keeper.write(day(1, 10), "note", ["Duchess"], words="Duchess is 4th instar")
    assert "Instar as you said it: “L5”, Mon 9 Feb, 12 weeks ago." in keeper.text("size", "Duchess")
    keeper.write(day(3, 15), "moult", ["Duchess"])
    said = keeper.text("size", "Duchess")
    assert "“L5”, Mon 9 Feb, 12 weeks ago; 1 moult written since." in said
    assert "6" not in said.split("“L5”")[1].split("Mon")[0]


def test_a_name_on_the_roster_is_no_instar(keeper: Keeper) -> None:
    """Though a box be called L3."""
    keeper.place("L3")
    keeper.write(day(2, 9), "note", ["Duchess"], words="Duchess looked at L3")
    assert "Instar" not in keeper.text("size", "Duchess")


def test_what_is_an_instar_in_words() -> None:
    """The ways in which keepers write them, and words that only look like them."""
    told = ["i4", "I3", "L5", "N2", "FH1", "4th instar", "instar 4", "2nd instar", "third instar"]
    assert all(INSTAR.fullmatch(words) for words in told)
    assert not any(INSTAR.search(words) for words in ["tub 4", "i fed 4", "BL5", "box-n2-a", "5 l of soil", "at 14:30"])


def test_exuviae_and_carapaces_are_series_of_their_own(keeper: Keeper) -> None:
    """They are never mixed with lengths of the animal."""
    for words, value in (("carapace of Duchess 9mm", 9), ("Duchess is 20mm long", 20), ("exuvia of Duchess 18mm", 18)):
        keeper.write(day(4, 1), "measurement", ["Duchess"], measure="body", value=[value, value], words=words)
    assert [line.split(" mm")[0] for line in keeper.text("size", "Duchess").splitlines()] == [
        "Duchess: body length 20",
        "Duchess: carapace 9",
        "Duchess: exuvia, body length 18",
    ]


def sample(keeper: Keeper, values: tuple[float, ...], month: int = 5) -> None:
    for value in values:
        keeper.write(day(month, 1), "measurement", ["group B"], measure="legspan", value=[value, value])


def test_a_sample_of_a_group_and_the_one_before(keeper: Keeper) -> None:
    """The mean, how many were measured, and how far apart they are, with what that does not say."""
    sample(keeper, (10, 11, 12), month=3)
    sample(keeper, (13, 14, 15, 16))
    assert keeper.text("size", "group B").splitlines() == [
        "group B: legspan 14.5 mm on average (4 measured), Fri 1 May, 6 days ago; before that 11 mm on average (3 measured), Sun 1 Mar.",
        "Sizes 13 to 16 mm: the largest is 1.23 times the smallest measured; those not measured may be further apart.",
    ]


def test_a_gap_past_one_and_a_half_is_a_caution(keeper: Keeper) -> None:
    """In length; in mass past three."""
    sample(keeper, (10, 12, 15.5))
    assert (
        "1.55 times the smallest measured. Past 1.5 the large may eat the small: think of parting them."
        in keeper.text("size", "group B")
    )
    for grams in (0.1, 0.29):
        keeper.write(TODAY, "measurement", ["group B"], measure="weight", value=[grams, grams])
    assert "2.90 times the smallest measured; those" in keeper.text("size", "group B")


def test_a_range_alone_tells_its_ends(keeper: Keeper) -> None:
    """Of "12 to 19 mm" no mean is made up."""
    keeper.write(day(5, 1), "measurement", ["group B"], measure="legspan", value=[12, 19])
    lines = keeper.text("size", "group B").splitlines()
    assert lines[0] == "group B: legspan 12 to 19 mm, told as a range, Fri 1 May, 6 days ago."
    assert "1.58 times" in lines[1]


def test_growth_of_a_group_goes_by_the_share_that_moulted(keeper: Keeper) -> None:
    """Three moults of all 42 between four samples, one of them in two halves; no number of moults, no factor."""
    for month, size in ((1, 10), (2, 13), (3, 16.9), (4, 21.97)):
        keeper.write(day(month, 8), "measurement", ["group B"], measure="legspan", value=[size, size])
    for month, heads in ((1, 42), (2, 42), (3, 21), (3, 21)):
        keeper.write(day(month, 20), "moult", ["group B"], number=[heads, heads])
    assert "Grows 1.30 times a moult" in keeper.text("size", "group B")
    keeper.write(day(4, 20), "moult", ["group B"])
    assert "Grows" not in keeper.text("size", "group B")


def test_why_a_size_lists_sizes_and_moults(keeper: Keeper) -> None:
    """The eight newest, and how many more there are."""
    grown(keeper)
    keeper.write(day(5, 1), "measurement", ["Duchess"], measure="weight", value=[3, 3])
    lines = keeper.text("why", "Duchess", fields={"of": "size"}).splitlines()
    assert (lines[0], lines[-1], len(lines)) == ("Duchess rests on 9 entries:", "and 1 older", 10)


def test_growth_on_an_empty_journal(nobody: Keeper) -> None:
    """A clear sentence."""
    assert nobody.text("size") == "No measurement is written yet."
    assert nobody.text("next", kind="moult") == "No moult is to come for anybody that I know of."
