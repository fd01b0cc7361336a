"""A hand-over sheet is asked for in many words, and told from the care sheet, from reports, and from other sheets."""

from __future__ import annotations

import time
from datetime import date

import pytest

from bot.language.ask_sheet import SECTION_WORDS, section_named
from tests.language.house import meaning

B, MABEL = ("group B",), ("Mabel",)


@pytest.mark.parametrize(
    ("text", "subjects"),
    [
        ("sheet for B", B),
        ("Sheet for mabel.", MABEL),
        ("hand-over sheet for B", B),
        ("handover sheet for Mabel please", MABEL),
        ("hand over sheet B", B),
        ("can you make me a hand-over sheet for Mabel?", MABEL),
        ("I need a handover sheet for the sling 2", ("sling 2",)),
        ("show me the sheet for B", B),
        ("print B's sheet", B),
        ("can I have a sheet for tub 4?", ("tub 4",)),
        ("make a pdf of Mabel's history", MABEL),
        ("pdf of B", B),
        ("sheet for the new owner of B", B),
        ("sheet for Mabel for the new keeper", MABEL),
        ("sheet for B for Rui", B),
        ("info sheet for mabel please", MABEL),
        ("sale sheet for B", B),
        ("I'd like a hand-over sheet for Mabel", MABEL),
        ("hand-over sheet for mabel with everything", MABEL),
        ("hand-over sheet for mabel with lots of pictures", MABEL),
        ("can u do me a sheet for mabel pls", MABEL),
        ("sheet: B", B),
        ("could you do that hand-over sheet thing for Mabel?", MABEL),
    ],
)
def test_a_hand_over_sheet_is_asked_for(text: str, subjects: tuple[str, ...]) -> None:
    """By that name, as a bare sheet, or as a PDF of somebody."""
    found = meaning(text)
    assert (found.intent, found.entries, found.plans) == ("ask", (), ())
    assert found.ask is not None
    assert (found.ask.about, found.ask.subjects) == ("handover", subjects)


@pytest.mark.parametrize(
    "text",
    [
        "show the care sheet for B",
        "care sheet B",
        "print me the care sheet for B",
        "care sheet for B without photos",
        "what is on the sheet for B",
        "what does the sheet say about B?",
        "care settings for B",
    ],
)
def test_the_care_sheet_is_another(text: str) -> None:
    """Where it is called so, or where what it says is asked."""
    ask = meaning(text).ask
    assert ask is not None
    assert (ask.about, ask.subjects) == ("sheet", B)


@pytest.mark.parametrize(
    "text",
    [
        "put a sheet of bark in tub 4", "sheet web in B", "printed the hand-over sheet for B", "wrote the sheet for B",
        "gave Rui the handover sheet for B", "new sheet of cork for B", "sheet of moss in B", "fed B, see sheet",
        "B goes by the sheet again", "back to the sheet for B", "remind me to print the sheet for B", "sheet", "balance sheet",
        "sold 6 of B to Rui", "handed over B to Rui", "hand over B to Rui", "sheet for B got wet", "the sheet for B is done",
        "remind me to print the hand-over sheet for B", "pdf", "picture of B", "show me B without photos",
    ],
)  # fmt: skip
def test_other_words_ask_for_none(text: str) -> None:
    """Reports, rules, plans, and sheets of other things."""
    ask = meaning(text).ask
    assert ask is None or ask.about != "handover"


@pytest.mark.parametrize(
    ("text", "fields"),
    [
        ("sheet for B without photos", {"without": ("pictures",)}),
        ("sheet for B w/o photos", {"without": ("pictures",)}),
        ("sheet for B with notes", {"including": ("notes",)}),
        ("sheet for B only moults and measurements", {"only": ("moults", "sizes")}),
        ("sheet for B, just the moults, sizes and head count", {"only": ("moults", "sizes", "heads")}),
        (
            "B handover sheet with names and notes, no photos",
            {"including": ("names", "notes"), "without": ("pictures",)},
        ),
        (
            "sheet for B with notes but no pictures or food",
            {"including": ("notes",), "without": ("pictures", "feeding")},
        ),
        ("B's sheet without pics and climate", {"without": ("pictures", "housing")}),
        ("sheet for B, moults and sizes only", {"only": ("moults", "sizes")}),
        ("hand-over sheet for B, photos too", {"including": ("pictures",)}),
        ("sheet for B with my own notes", {"including": ("notes",)}),
        ("sheet for B leaving out the feedings", {"without": ("feeding",)}),
    ],
)
def test_the_keeper_chooses_what_is_on_it(text: str, fields: dict[str, tuple[str, ...]]) -> None:
    """What is left out, what alone is wanted, and what is there only where it is asked for."""
    ask = meaning(text).ask
    assert ask is not None
    assert (ask.about, ask.subjects, dict(ask.fields)) == ("handover", B, fields)


@pytest.mark.parametrize(
    ("text", "taker", "of"),
    [
        ("make a sheet for the ones I sold to Rui", "rui", ()),
        ("sheet for the 6 of B I sold to Rui", "rui", B),
        ("sheet for the lot of B we gave away to Olga", "olga", B),
        ("sheet for the ones sold to Anna Nowak in February", "anna nowak", ()),
        ("sheet for those I gave to Rui without cautions", "rui", ()),
        ("hand-over sheet for the spiders I sold", "", ()),
        ("sheet for the six I sold Rui", "rui", ()),
        ("sheet for the three of B that went to Rui", "rui", B),
        ("sheet for the ones Rui bought", "rui", ()),
        ("sheet for the ones I gave away", "", ()),
    ],
)
def test_a_lot_that_left_is_asked_for(text: str, taker: str, of: tuple[str, ...]) -> None:
    """By who took it, of whom it was, or neither; nobody of the roster is meant by "the ones"."""
    ask = meaning(text).ask
    assert ask is not None
    assert (ask.about, ask.fields["lot"], ask.fields["of"]) == ("handover", taker, of)


def test_a_time_goes_with_it() -> None:
    """Since a day; the days of a sale."""
    since = meaning("sheet for B since 1 Feb").ask
    sale = meaning("sheet for the ones I sold to Rui on 3 March").ask
    assert since is not None
    assert sale is not None
    assert (since.about, since.since, since.until) == ("handover", date(2026, 2, 1), None)
    assert (sale.since, sale.until) == (date(2026, 3, 3), date(2026, 3, 3))


@pytest.mark.parametrize("word", [word for words in SECTION_WORDS.values() for word in words])
@pytest.mark.parametrize("form", ["sheet for B with {}", "sheet for B, only {}"])
def test_every_word_for_a_section_is_understood(form: str, word: str) -> None:
    """None of them is taken for a misspelling of another, or for an act."""
    ask = meaning(form.format(word)).ask
    assert ask is not None, word
    assert ask.about == "handover"
    assert [*ask.fields.values()] == [(section_named(word),)]


def test_a_word_for_none_names_none() -> None:
    """Keys and words name a section, in any case; anything else does not."""
    assert section_named("Head-Count") == "heads"
    assert section_named("sizes") == section_named("Measurements") == "sizes"
    assert section_named("colour") is None


@pytest.mark.parametrize(
    "text",
    [
        "can you please " * 250 + "sheet",
        "sheet for B" + " but without my own notes" * 150 + " x",
        "sheet for the ones " + "i have " * 500 + "x",
        "sheet for B" + " with feeding and sizes and head count" * 90 + " x",
        "pdf " * 900,
    ],
)
def test_a_long_text_is_read_in_good_time(text: str) -> None:
    """No text has so many readings that trying them all would take long: seconds, however long a message may be."""
    began = time.process_time()
    meaning(text[:4000])
    assert time.process_time() - began < 5
