"""What a sheet says, and what it says of that which nobody wrote."""

from __future__ import annotations

from dataclasses import replace
from datetime import date, timedelta

import pytest

from bot.handover import (
    EXTRAS,
    SECTIONS,
    Enclosure,
    Facts,
    Feeding,
    Happening,
    HeadCount,
    HeadEvent,
    Lot,
    Moult,
    Parent,
    Quote,
    Reading,
    Selection,
    Size,
    plain_text,
    sections,
)
from tests.handover.made import EMPTY, TODAY, long_history

GROUP = Facts("group B", "group", "Neoholothele incei", TODAY, TODAY)


def day(month: int, number: int) -> date:
    return date(2026, month, number)


def said(facts: Facts, key: str) -> list[str]:
    """One section as lines of plain text, without its title."""
    text = plain_text(facts, Selection.of(only=[key]))
    return text.split("\n\n")[1].splitlines()[1:]


def test_of_an_empty_history_everything_missing_is_said() -> None:
    """No number, day or kind is made up."""
    text = plain_text(EMPTY, Selection.of())
    for sentence in (
        "species not written, one animal.", "Where it came from was not written.", "Since when it is kept was not written.",
        "No moult was written.", "No measurement was written.", "No feeding was written.",
        "The size of the enclosure was not written.", "The keeper set no band for humidity or warmth.",
        "Humidity: no reading in the last 90 days.", "No photo that shows it alone is kept.",
    ):  # fmt: skip
        assert sentence in text
    assert "HEAD COUNT" not in text


def test_all_sections_stand_in_order_and_what_is_private_only_when_asked() -> None:
    """The keeper may leave any out, or ask for some alone."""
    facts = long_history()
    assert tuple(one.key for one in sections(facts, Selection.of())) == SECTIONS
    assert tuple(one.key for one in sections(facts, Selection.of(including=EXTRAS))) == (*SECTIONS, *EXTRAS)
    chosen = Selection.of(only=["moults", "sizes", "feeding"], without=["sizes"], including=["notes"])
    assert [one.key for one in sections(facts, chosen)] == ["moults", "feeding", "notes"]
    for key in SECTIONS:
        assert key not in {one.key for one in sections(facts, Selection.of(without=[key]))}


def test_the_origin_is_told_as_far_as_it_is_known() -> None:
    """A brood with the days of its sac, arrivals, own sacs; the parent by its species alone."""
    sac = (Happening("laid", day(1, 2)), Happening("hatched", day(2, 3), (50, 54)), Happening("laid", day(2, 20)))
    facts = replace(
        GROUP,
        known_since=day(2, 25),
        parents=(Parent("brood", "animal", "Neoholothele incei", day(2, 25), sac),),
        happenings=(
            Happening("arrival", day(3, 1), (4, 4)),
            Happening("arrival", day(3, 2)),
            Happening("pairing", day(3, 3)),
        ),
    )
    assert said(facts, "origin") == [
        "They are a brood of one animal of Neoholothele incei, set up apart on Wed 25 Feb 2026.",
        "Egg sac first seen Fri 2 Jan 2026; hatched Tue 3 Feb 2026, 50 to 54 young.",
        "On the keeper's records since Wed 25 Feb 2026.",
        "4 came in on Sun 1 Mar 2026.",
        "Came in on Mon 2 Mar 2026, how many was not written.",
        "Paired on Tue 3 Mar 2026.",
    ]


def test_a_brood_without_sac_dates_says_so() -> None:
    """Both days are asked for by whoever takes young over."""
    facts = replace(GROUP, parents=(Parent("brood", "group", None, None),))
    assert said(facts, "origin")[:2] == [
        "They are a brood of a group of a species not written, set up apart on a day not written.",
        "No day of the egg sac was written; no day of hatching was written.",
    ]


def test_a_split_tells_what_that_group_came_of() -> None:
    """As far as it is known, each step said to be of that one."""
    first = Parent("brood", "group", "Neoholothele incei", day(1, 2))
    arrived = (Happening("arrival", day(1, 5), (12, 12)), Happening("laid", day(1, 20)))
    split = Parent("split", "group", "Neoholothele incei", day(2, 1), arrived, (first,))
    lines = said(replace(GROUP, parents=(split,)), "origin")
    assert lines[0] == "They are split off from a group of Neoholothele incei on Sun 1 Feb 2026."
    assert lines[1] == "Of that one: 12 came in on Mon 5 Jan 2026."
    assert lines[2] == "Of that one: egg sac first seen on Tue 20 Jan 2026."
    assert lines[3].startswith("Of that one: it is a brood of a group of Neoholothele incei")


def test_a_head_count_says_what_it_rests_on() -> None:
    """The range, the count, what came after, and every loss; a number that nobody told is not made up."""
    died, left = HeadEvent("death", day(3, 2), (1, 1)), HeadEvent("departure", day(3, 3))
    heads = HeadCount(
        38, 42, known=True, basis=HeadEvent("count", day(3, 1), (40, 42)), since=(died, left), losses=(died, left)
    )
    assert said(replace(GROUP, heads=heads), "heads") == [
        "38 to 42 by the keeper's records. Hidden ones go uncounted.",
        "Counted on Sun 1 Mar 2026: 40 to 42.",
        "Since then 1 died, some were sold or given on.",
        "Deaths written: 1 (Mon 2 Mar 2026).",
        "Sold, given on or split off: a number not written (Tue 3 Mar 2026).",
    ]


@pytest.mark.parametrize(
    ("heads", "first"),
    [
        (HeadCount(0, None, known=False), "How many there are was not written."),
        (HeadCount(12, None, known=True), "At least 12 by the keeper's records. Hidden ones go uncounted."),
        (HeadCount(0, 0, known=True), "None by the keeper's records. Hidden ones go uncounted."),
    ],
)
def test_a_doubtful_head_count_says_so(heads: HeadCount, first: str) -> None:
    """Nothing known, a least number, none left."""
    assert said(replace(GROUP, heads=heads), "heads")[0] == first


def test_an_animal_that_died_or_left_is_said_to() -> None:
    """It has no head count, but its end is told."""
    heads = HeadCount(0, 0, known=True, losses=(HeadEvent("death", day(3, 2)),))
    assert said(replace(EMPTY, heads=heads), "heads") == ["It died on Mon 2 Mar 2026."]


def test_moults_of_a_shared_enclosure_are_of_one_or_another() -> None:
    """And a number told of several groups together is no number of this one."""
    moults = (Moult(day(3, 1), (3, 3)), Moult(day(3, 2), (5, 5), "together"), Moult(day(3, 3), (2, 2), "shared"))
    assert said(replace(GROUP, moults=moults), "moults") == [
        "Moults on 3 days, the last Tue 3 Mar 2026.",
        "- Sun 1 Mar 2026: 3 moulted",
        "- Mon 2 Mar 2026: moulted, how many was not written",
        "- Tue 3 Mar 2026: a moult in an enclosure that it shared: it, or one it lived with",
    ]


def test_growth_is_the_last_size_beside_the_first() -> None:
    """18 to 27 mm is 1.5 times; one size alone is no growth."""
    sizes = (
        Size(day(1, 1), "legspan", "legspan", (18, 18)),
        Size(day(2, 1), "weight", "weight", (2.5, 2.5), "shared"),
        Size(day(3, 1), "legspan", "legspan", (26, 28)),
    )
    assert said(replace(EMPTY, sizes=sizes), "sizes") == [
        "Legspan: 26 to 28 mm on Sun 1 Mar 2026, 1.5 times the first (18 mm on Thu 1 Jan 2026).",
        "Weight: 2.5 g on Sun 1 Feb 2026.",
        "- Thu 1 Jan 2026: legspan 18 mm",
        "- Sun 1 Feb 2026: weight 2.5 g (told of several together)",
        "- Sun 1 Mar 2026: legspan 26 to 28 mm",
    ]
    assert "18 mm (0.71 in)" in said(replace(EMPTY, sizes=sizes[:1], units="imperial"), "sizes")[0]


def test_feedings_are_summed_lately_and_in_all() -> None:
    """What never was has no line: none was eaten in part here, and all outcomes are written."""
    old = [Feeding(TODAY - timedelta(days=back), "roach", "live", (1, 1), outcome="ate") for back in (200, 190)]
    new = [Feeding(TODAY - timedelta(days=back), "cricket", None, (8, 8), outcome="ate") for back in (20, 10)]
    refused = Feeding(TODAY, "cricket", "pre-killed", (8, 8), outcome="refused")
    assert said(replace(GROUP, feedings=(*old, *new, refused)), "feeding") == [
        "The last feeding was refused, the latest on Thu 12 Mar 2026: 8 pre-killed crickets, refused.",
        "Before that fed on Mon 2 Mar 2026: 8 crickets, eaten.",
        "- Feedings written: 3 in the last 90 days, 5 in all",
        "- Refused: 1 in the last 90 days, 1 in all",
        "- Usual prey: cricket (3) in the last 90 days, cricket (3), roach (2) in all",
        "- Given as: pre-killed (1) in the last 90 days, live (2), pre-killed (1) in all",
        "- Days between: 10 in the last 90 days, 10 (10 to 170) in all",
    ]


@pytest.mark.parametrize(
    ("feeding", "words"),
    [
        (Feeding(TODAY), "prey not written, outcome not written"),
        (Feeding(TODAY, "cricket", None, (12, 12), outcome="ate", told="together"), "crickets, eaten, told of several together"),
        (Feeding(TODAY, "cricket", None, (2, 2), each=True, told="together"), "2 crickets each, outcome not written, told of several together"),
        (Feeding(TODAY, None, "live", (2, 3), outcome="partly"), "2 to 3 live food, eaten in part"),
    ],
)  # fmt: skip
def test_a_feeding_tells_this_ones_share_alone(feeding: Feeding, words: str) -> None:
    """A number for several together is left out, one for each is not."""
    assert said(replace(GROUP, feedings=(feeding,)), "feeding")[0] == f"Last fed on Thu 12 Mar 2026: {words}."


def test_the_enclosure_and_its_air_are_told() -> None:
    """The band is the keeper's, the readings are of the last 90 days."""
    place = Enclosure((30, 20.5, 15), day(2, 1), shared=True, humidity_pct=(55, 65), temperature_c=(24, 26))
    readings = (
        Reading(date(2025, 1, 1), None, (10, 10)),
        Reading(TODAY, (25, 25), (60, 64)),
        Reading(TODAY, None, (58, 58)),
    )
    assert said(replace(GROUP, enclosure=place, readings=readings), "housing") == [
        "Enclosure: 30 x 20.5 x 15 cm (width, depth, height).",
        "In it since Sun 1 Feb 2026.",
        "It shares the enclosure with others.",
        "The keeper aims at 55 to 65 % humidity and 24 to 26 °C.",
        "Humidity read: 58 to 64 %, middle 60 % (2 readings in the last 90 days).",
        "Temperature read: 25 °C (1 reading in the last 90 days).",
    ]


def test_cautions_always_name_an_emergency_and_the_law() -> None:
    """Once each; signs of trouble seen lately go first."""
    bare = said(EMPTY, "cautions")
    assert bare[0].startswith("In an emergency call your local emergency number")
    told = replace(
        EMPTY, signs=(Happening("mites", day(3, 1)),), cautions=("It bites: call your local emergency service.",)
    )
    lines = said(told, "cautions")
    assert lines[0] == "Seen in the last 90 days: mites on Sun 1 Mar 2026."
    assert sum("emergency" in line for line in lines) == 1
    assert all("Local rules, permits and papers are for both sides to check." in found for found in (bare, lines))


def test_a_lot_says_how_many_and_when() -> None:
    """The records are those of the group that it was of; of an animal that left only the day."""
    text = plain_text(
        replace(GROUP, lots=(Lot(day(3, 1), (6, 6)), Lot(day(3, 2), None)), until=day(3, 2)), Selection.of()
    )
    assert "For 6 of them, that left on Sun 1 Mar 2026." in text
    assert "For those of them that left on Mon 2 Mar 2026; how many was not written." in text
    assert "The records are those of the whole group up to that day." in text
    assert "from records up to Mon 2 Mar 2026" in text
    assert "It left on Sun 1 Mar 2026." in plain_text(replace(EMPTY, lots=(Lot(day(3, 1), None),)), Selection.of())


def test_notes_and_names_are_quoted_where_they_are_wanted() -> None:
    """With their days, and who wrote."""
    facts = replace(
        EMPTY, notes=(Quote(day(3, 1), "loves {moss}"),), told_by=("Ana", "Ben"), named=(Quote(day(1, 1), "from Rui"),)
    )
    assert said(facts, "notes")[1] == "- Sun 1 Mar 2026: “loves {moss}”"
    assert said(facts, "names") == ["Written down by Ana and Ben.", "- Thu 1 Jan 2026: “from Rui”"]
    assert said(EMPTY, "notes") == ["No note of it alone was written."]
    assert said(EMPTY, "names")[1] == "From whom it came was not written."
    assert "moss" not in plain_text(facts, Selection.of())


def test_a_long_table_is_cut_in_talk() -> None:
    """To its last rows, with how many there are before; the summary of feedings stays whole."""
    text = plain_text(long_history(rows=20), Selection.of(), 6)
    assert "- 14 earlier: in the PDF" in text
    assert text.count(" moulted\n") == 6
    assert "- Days between: " in text
    assert "In the PDF: 4 pictures, sent Tue 3 Mar 2026, Fri 6 Mar 2026, Mon 9 Mar 2026 and Thu 12 Mar 2026." in text
