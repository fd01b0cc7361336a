"""The sheet as a PDF, read back by PDFium: paper, words, pages, pictures."""

from __future__ import annotations

from dataclasses import replace

import pypdfium2
import pypdfium2.raw
import pytest

from bot.handover import Facts, Lot, Quote, Selection, plain_text
from bot.handover.pdf import ACROSS, pdf
from tests.handover.made import EMPTY, TODAY, long_history

A4 = (595, 842)
"""Points: 210 by 297 mm (ISO 216) at 72 to the inch."""

ALL = Selection.of(including=["notes", "names"])


def pages(facts: Facts, selection: Selection = ALL) -> list[pypdfium2.PdfPage]:
    return list(pypdfium2.PdfDocument(pdf(facts, selection)))


def words(page: pypdfium2.PdfPage) -> str:
    """The text of a page, its lines joined."""
    return " ".join(page.get_textpage().get_text_range().split())


def all_words(facts: Facts, selection: Selection = ALL) -> str:
    return " ".join(map(words, pages(facts, selection)))


def images(page: pypdfium2.PdfPage) -> list[pypdfium2.PdfObject]:
    return list(page.get_objects(filter=(pypdfium2.raw.FPDF_PAGEOBJ_IMAGE,)))


@pytest.mark.parametrize("facts", [EMPTY, long_history()], ids=["empty", "long"])
def test_the_paper_is_a4_and_each_page_has_its_number(facts: Facts) -> None:
    """Of how many, and whose sheet it is."""
    found = pages(facts)
    for number, page in enumerate(found, 1):
        assert tuple(map(round, page.get_size())) == A4
        assert f"Page {number} of {len(found)}" in words(page)
        assert facts.name in words(page)
    assert (len(found) == 1) == (facts is EMPTY)


def test_a_table_goes_on_over_pages_under_its_header() -> None:
    """Every row is there once, in order."""
    facts = long_history(rows=150)
    found = [words(page) for page in pages(facts, Selection.of(only=["moults"]))]
    assert len(found) > 2
    assert all("Day What was found" in page for page in found)
    rows = [
        f"{one.on.day} {one.on:%b %Y} {one.number[0]:.0f} moulted"
        for one in facts.moults
        if one.number and one.number[0]
    ]
    joined = " ".join(found)
    places = [joined.index(row) for row in rows]
    assert places == sorted(places)
    assert joined.count(" moulted") == 150


@pytest.mark.parametrize(
    "facts", [EMPTY, long_history(rows=10), replace(EMPTY, kind="group", lots=(Lot(TODAY, (6, 6)),))]
)
def test_the_pdf_says_what_the_text_says(facts: Facts) -> None:
    """Every sentence of the plain text, but those of tables and where the pictures are."""
    found = all_words(facts)
    lines = [
        line for line in plain_text(facts, ALL).splitlines()[1:] if line and not line.startswith(("- ", "In the PDF"))
    ]
    for line in lines:
        shown = line if line != line.upper() else line.capitalize()
        if shown.lower() != "the keeper's notes":
            assert " ".join(shown.split()).casefold() in found.casefold(), line


def test_pictures_stand_three_in_a_row_as_large_as_they_fit() -> None:
    """Four pictures, in their own proportions, none wider than a third of the paper, with their days."""
    found = [(page, images(page)) for page in pages(long_history(), Selection.of(only=["pictures"]))]
    page, drawn = next((page, drawn) for page, drawn in found if drawn)
    assert len(drawn) == 4
    bounds = [one.get_bounds() for one in drawn]
    sizes = [(right - left, top - bottom) for left, bottom, right, top in bounds]
    assert [round(width / height, 2) for width, height in sizes] == pytest.approx([1.33, 0.43, 1.0, 3.0], abs=0.02)
    assert all(max(size) <= A4[0] / ACROSS for size in sizes)
    assert len({round(bottom) for _left, bottom, _right, _top in bounds[:3]}) == 1
    assert all(day in words(page) for day in ("Tue 3 Mar 2026", "Thu 12 Mar 2026"))
    assert [one.get_px_size() for one in drawn] == [(900, 675), (386, 900), (500, 500), (900, 300)]


def test_without_pictures_there_are_none() -> None:
    """And nothing is said of them."""
    found = pages(long_history(), Selection.of(without=["pictures"]))
    assert not [one for page in found for one in images(page)]
    assert "Pictures" not in " ".join(map(words, found))


@pytest.mark.parametrize("name", ["Ζωή", "Łódź żółw", "Мурка", "A & B <b>", "x" * 60])
def test_names_in_any_letters_stand_as_they_are(name: str) -> None:
    """Greek, Polish, Cyrillic, marks that mean something to a page, and a word longer than a line."""
    facts = replace(EMPTY, name=name, species=f"{name} sp.", notes=(Quote(TODAY, f"seen {name}"),))
    found = all_words(facts)
    assert name.replace(" ", "") in found.replace(" ", "")
    assert f"seen{name}".replace(" ", "") in found.replace(" ", "")


def test_the_same_facts_give_the_same_bytes() -> None:
    """So that the file is kept once."""
    assert pdf(long_history(), ALL) == pdf(long_history(), ALL)


@pytest.mark.parametrize("words_of_note", ["W" * 600, "long words " * 54])
def test_the_longest_notes_fit(words_of_note: str) -> None:
    """Under a picture too."""
    facts = long_history(rows=3)
    shown = tuple(replace(one, words=words_of_note) for one in facts.pictures)
    assert pages(replace(facts, pictures=shown, notes=tuple(Quote(TODAY, words_of_note) for _ in range(9))))


def test_a_title_is_never_the_last_of_a_page() -> None:
    """However many lines stand before a table, its first row is on the page of its title."""
    for rows in range(26, 50, 2):
        facts = replace(long_history(rows=rows), sizes=long_history().sizes * 4)
        for page in pages(facts, Selection.of(only=["moults", "sizes", "feeding"])):
            found, foot, _number = words(page).partition(" group B Made ")
            assert foot
            # A sentence ends with a full stop, a row does not.
            assert not found.endswith(
                (".", "Moults", "Measurements", "Feeding", "Value", "What was found", "In all")
            ), rows
