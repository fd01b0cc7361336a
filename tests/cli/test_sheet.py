"""`rackside sheet`: a hand-over sheet as a PDF or in plain words, by a name or by words."""

from __future__ import annotations

from pathlib import Path

import pypdfium2
import pytest

from bot.household import opened
from bot.settings import Settings
from tests.cli.commands import rackside, set_up

pytestmark = pytest.mark.slow


@pytest.fixture
def folder(tmp_path: Path) -> Path:
    """A data folder with group B in tub 4, of which a feeding, a note and a sale are told."""
    made = set_up(tmp_path / "data")
    with opened(made, Settings()) as household:
        for text in ("fed B 8 crickets", "note: B are the prettiest of the lot", "sold 3 of B to Rui"):
            household.say(text)
    return made


def pages(path: Path) -> list[str]:
    return [" ".join(page.get_textpage().get_text_range().split()) for page in pypdfium2.PdfDocument(path)]


@pytest.mark.parametrize("whose", ["group B", "B", "b", "tub 4"])
def test_a_pdf_is_saved(folder: Path, whose: str) -> None:
    """By a name, an alias, or the place of the only one there."""
    path = folder.parent / "b.pdf"
    done = rackside(folder, "sheet", whose, "--out", str(path))
    assert (done.returncode, done.stderr, done.stdout) == (0, "", f"Saved as {path}.\n")
    [page] = pages(path)
    assert page.startswith("Hand-over sheet group B ")
    assert "8 crickets" in page
    assert "prettiest" not in page


def test_the_text_goes_to_the_screen_and_nothing_else(folder: Path) -> None:
    """So that it can be sent on; where the PDF is saved as well, that is said aside."""
    path = folder.parent / "b.pdf"
    done = rackside(folder, "sheet", "B", "--text", "--out", str(path))
    assert done.stdout.startswith("Hand-over sheet: group B\n")
    assert (done.stderr, path.is_file()) == (f"Saved as {path}.\n", True)
    assert "Saved" not in done.stdout
    assert rackside(folder, "sheet", "B", "--text").stdout == done.stdout


def test_the_keeper_chooses(folder: Path) -> None:
    """Notes asked for, sections left out, or some alone; in the words of talk."""
    noted = rackside(folder, "sheet", "B", "--text", "--with", "notes", "--without", "photos,feeding").stdout
    assert "“note: B are the prettiest of the lot”" in noted
    assert "FEEDING" not in noted
    assert "PICTURES" not in noted
    alone = rackside(folder, "sheet", "B", "--text", "--only", "feeding", "--only", "head count").stdout
    assert [line for line in alone.splitlines() if line.isupper()] == ["HEAD COUNT AND LOSSES", "FEEDING"]


def test_a_lot_is_meant_in_words(folder: Path) -> None:
    """As in talk, with the sections chosen by options or in the words."""
    done = rackside(folder, "sheet", "the ones I sold to Rui without feeding", "--text", "--without", "housing")
    assert "For 3 of them, that left on" in done.stdout
    assert "Rui" not in done.stdout
    assert "ENCLOSURE" not in done.stdout
    named = rackside(folder, "sheet", "the ones I sold to Rui", "--text", "--with", "names").stdout
    assert "“sold 3 of B to Rui”" in named


@pytest.mark.parametrize(
    ("words", "sentence"),
    [
        (("B",), "Say where to save the PDF with --out FILE.pdf"),
        (("Zed", "--text"), "There is no Zed on the roster."),
        (("B", "--text", "--only", "colour,moults"), "A sheet has nothing called colour."),
        (("B", "--out", "none/b.pdf"), "none/b.pdf cannot be written"),
    ],
)
def test_what_cannot_be_made_gets_a_sentence(folder: Path, words: tuple[str, ...], sentence: str) -> None:
    """Status 2, one line, no file."""
    done = rackside(folder, "sheet", *words)
    assert (done.returncode, done.stdout, done.stderr.count("\n")) == (2, "", 1)
    assert sentence in done.stderr


def test_where_it_is_not_plain_whose_a_sentence_says_so(folder: Path) -> None:
    """Status 1, as for a picture that cannot be drawn."""
    done = rackside(folder, "sheet", "the ones I sold to Olga", "--text")
    assert (done.returncode, done.stderr) == (1, "")
    assert done.stdout.startswith("No sale to olga is written")


def test_the_terminal_says_where_the_file_lies(folder: Path) -> None:
    """In talk the PDF is in the data folder."""
    done = rackside(folder, "say", "sheet for B")
    path = next(line for line in done.stdout.splitlines() if line.startswith("File: ")).removeprefix("File: ")
    assert Path(path).read_bytes().startswith(b"%PDF-")
