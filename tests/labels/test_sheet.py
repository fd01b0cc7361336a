"""The sheet, printed and scanned: each code once, beside its own name, readable, and nothing where printers cannot print."""

from __future__ import annotations

import subprocess
import sys
from collections import Counter
from dataclasses import replace
from math import ceil

import pytest
from PIL import Image, ImageChops, ImageFilter

from bot.labels.label import Label, LabelFault
from bot.labels.layout import PAPERS, SIZES, Box, Grid, LabelSize, Paper, code_box
from bot.labels.links import link
from bot.labels.sheet import sheet
from tests.labels.reading import DPI, ReadPage, labels, read_pages, within

STANDARDS = {"A4": (210.0, 297.0), "Letter": (215.9, 279.4)}
"""Millimetres: ISO 216, and ANSI/ASME Y14.1 (8.5 by 11 inches)."""

each_paper = pytest.mark.parametrize("paper", PAPERS.values(), ids=lambda paper: paper.name)
each_size = pytest.mark.parametrize("size", SIZES.values(), ids=lambda size: size.name)


@each_paper
@each_size
@pytest.mark.parametrize("count", [1, 7, 60])
def test_each_code_is_found_once_beside_its_name(paper: Paper, size: LabelSize, count: int) -> None:
    """On every paper and size, every link is decoded exactly once, in the sticker that bears its name and line."""
    made = labels(count)
    grid = Grid(paper, size)
    pages = read_pages(sheet(made, paper, size))
    assert len(pages) == ceil(count / grid.per_page)
    found: Counter[str] = Counter()
    for number, page in enumerate(pages):
        here = made[number * grid.per_page : (number + 1) * grid.per_page]
        stickers = {label.url: (label, grid.sticker(place)) for place, label in enumerate(here)}
        for code in page.codes:
            label, sticker = stickers[code.url]
            found[code.url] += 1
            assert within(code.box, sticker)
            assert page.words(sticker) == f"{label.name} {label.line}".strip()
    assert found == Counter(label.url for label in made)


@each_paper
@each_size
def test_a_page_is_as_large_as_its_standard_says_and_its_margins_are_white(paper: Paper, size: LabelSize) -> None:
    """Pages have the standard's size to a thousandth of a point; nothing is printed within 8 mm of an edge."""
    for page in read_pages(sheet(labels(60), paper, size)):
        assert page.points == pytest.approx([mm / 25.4 * 72 for mm in STANDARDS[paper.name]], abs=1e-3)
        left, top, right, bottom = _inked(page)
        margin = 8 / 25.4 * DPI
        assert min(left, top, page.picture.width - right, page.picture.height - bottom) >= int(margin)


def _inked(page: ReadPage) -> tuple[int, int, int, int]:
    """The rectangle that holds everything that is not white, in pixels from the upper left."""
    box = ImageChops.invert(page.picture).getbbox()
    assert box is not None
    return box


@each_paper
@each_size
def test_a_code_has_four_white_modules_around_it_and_correction_m(paper: Paper, size: LabelSize) -> None:
    """The picture around each code is white for 4 modules (ISO/IEC 18004); the correction is M or better."""
    modules = 33  # a link of 61 characters needs version 4 at M, which has 33 modules (ISO/IEC 18004, tables 1 and 7)
    (page,) = read_pages(sheet(labels(7), paper, size))
    for code in page.codes:
        assert code.correction in {"M", "Q", "H"}
        module = code.box.width / modules
        assert module >= 0.4
        ring = page.crop(_grown(code.box, 4 * module - 0.15))
        hole = page.crop(_grown(code.box, 0.15))
        ring.paste(255, (*(((ring.width - hole.width) // 2, (ring.height - hole.height) // 2)), *_far(ring, hole)))
        assert ring.getextrema() == (255, 255)


def _grown(box: Box, by: float) -> Box:
    return Box(box.left - by, box.bottom - by, box.width + 2 * by, box.height + 2 * by)


def _far(outer: Image.Image, inner: Image.Image) -> tuple[int, int]:
    """Where the lower right corner of a picture lies that is laid in the middle of another."""
    return (outer.width + inner.width) // 2 + 1, (outer.height + inner.height) // 2 + 1


@each_size
def test_a_poor_photo_still_decodes(size: LabelSize) -> None:
    """At 100 dpi, turned by 3 degrees and blurred, as a phone might see a label from afar, every code is read."""
    made = labels(7)
    grid = Grid(PAPERS["A4"], size)
    (page,) = read_pages(sheet(made, PAPERS["A4"], size))
    for place, label in enumerate(made):
        seen = page.crop(grid.sticker(place))
        small = seen.resize((seen.width // 2, seen.height // 2), Image.Resampling.LANCZOS)
        turned = small.rotate(3, Image.Resampling.BICUBIC, expand=True, fillcolor=255)
        photo = ReadPage(page.points, turned.filter(ImageFilter.GaussianBlur(0.5)), page.text)
        assert [code.url for code in photo.codes] == [label.url]


HARD_NAMES = [
    "The very long name of a tank that stands behind the door of the second room in the cellar, left of the boiler, beneath the shelf",
    "Unbrokenlongnameofasinglewordthatgoesonandonwithoutanyplacewhereitcouldbepartedatallbecausenobodyputspacesinit",
    "Ωμέγα και Άλφα",
    "Большой террариум в зале",
    "R&D <b>\"best\"</b> 'shelf' &amp;",
    "\U0001f577\ufe0f Spider shed \U0001f982",
    "W" * 300,
]


@each_paper
@each_size
def test_no_letter_touches_a_code_or_leaves_its_sticker(paper: Paper, size: LabelSize) -> None:
    """Whatever the name and the line, all ink of letters lies right of the code's quiet zone and inside the cut."""
    made = [
        Label(name, name, link("rackside_demo_bot", f"e_{number}_k3J9sQx7LmP2vB8Zt"))
        for number, name in enumerate(HARD_NAMES)
    ]
    grid = Grid(paper, size)
    (page,) = read_pages(sheet(made, paper, size))
    rooms = [_right_of_code(grid.sticker(place), size) for place in range(len(made))]
    letters = page.letters()
    assert len(letters) > 200
    for letter, box in letters:
        assert any(within(box, room) for room in rooms), f"{letter} strays to {box}"
    assert sorted(code.url for code in page.codes) == sorted(label.url for label in made)


def _right_of_code(sticker: Box, size: LabelSize) -> Box:
    code = code_box(sticker, size)
    return Box(
        code.left + code.width, sticker.bottom, sticker.left + sticker.width - code.left - code.width, size.height
    )


@each_size
def test_names_in_other_scripts_and_with_marks_of_code_are_printed_as_they_are(size: LabelSize) -> None:
    """Greek, Cyrillic, and & < > and quotes are read back as written; what the font lacks is a box."""
    made = [
        Label(name, "", link("rackside_demo_bot", f"e_{number}"))
        for number, name in enumerate(
            ["Ωμέγα & Άλφα", "Жук на окне", "R&D <b> \"a\" 'b' &lt;", "\U0001f577\ufe0f shed 蜘", "Nhện đất"]
        )
    ]
    grid = Grid(PAPERS["A4"], size)
    (page,) = read_pages(sheet(made, PAPERS["A4"], size))
    read = [page.words(grid.sticker(place)) for place in range(len(made))]
    assert read == ["Ωμέγα & Άλφα", "Жук на окне", "R&D <b> \"a\" 'b' &lt;", "□ shed □", "Nhện đất"]


@each_size
def test_a_line_is_never_larger_than_the_name_above_it(size: LabelSize) -> None:
    """Beneath a name that had to shrink, a short line shrinks with it."""
    made = [Label(HARD_NAMES[0], "T", link("rackside_demo_bot", "e_1"))]
    (page,) = read_pages(sheet(made, PAPERS["A4"], size))
    heights = [box.height for letter, box in page.letters() if letter == "T"]
    assert len(heights) == 2
    assert heights[1] <= heights[0] + 0.01


def test_the_same_labels_give_the_same_bytes() -> None:
    """A sheet does not depend on the time, on what was drawn before, or on the process."""
    script = (
        "import sys; from bot.labels import PAPERS, SIZES; from bot.labels.sheet import sheet; "
        "from tests.labels.reading import labels; "
        "sys.stdout.buffer.write(sheet(labels(9), PAPERS['A4'], SIZES['small']))"
    )
    first = sheet(labels(9), PAPERS["A4"], SIZES["small"])
    sheet(labels(3, ("Паук {}",)), PAPERS["Letter"], SIZES["large"])
    elsewhere = subprocess.run([sys.executable, "-c", script], check=True, capture_output=True).stdout
    assert first == sheet(labels(9), PAPERS["A4"], SIZES["small"]) == elsewhere


def test_nothing_to_print_is_said() -> None:
    """No labels, a label without a name, or paper smaller than a label, is a fault with a sentence."""
    with pytest.raises(LabelFault, match="nothing to make labels of"):
        sheet([], PAPERS["A4"], SIZES["small"])
    with pytest.raises(LabelFault, match="has no name"):
        sheet([Label(" \u200d\n", "x", "https://t.me/rackside_demo_bot?start=x")], PAPERS["A4"], SIZES["small"])
    with pytest.raises(LabelFault, match="A large label does not fit on A7 paper"):
        sheet(labels(1), Paper("A7", 74.0, 105.0), SIZES["large"])


@each_size
def test_every_sticker_has_a_line_to_cut_along(size: LabelSize) -> None:
    """A thin grey line, never black, runs along all four edges of each sticker; past the last there is none."""
    grid = Grid(PAPERS["A4"], size)
    (page,) = read_pages(sheet(labels(7), PAPERS["A4"], size))
    drawn = [all(_lined(page, edge) for edge in _edges(grid.sticker(place))) for place in range(8)]
    assert drawn == [True] * 7 + [False]


def _edges(box: Box) -> list[Box]:
    """Four strips, 0.6 mm wide, that lie along the edges of a rectangle."""
    across, upright = Box(box.left, box.bottom - 0.3, box.width, 0.6), Box(box.left - 0.3, box.bottom, 0.6, box.height)
    return [
        across,
        replace(across, bottom=across.bottom + box.height),
        upright,
        replace(upright, left=upright.left + box.width),
    ]


def _lined(page: ReadPage, strip: Box) -> bool:
    """Whether a grey line runs along a strip from end to end: every step along it has some grey, none black."""
    picture = page.crop(strip)
    along = picture if picture.width > picture.height else picture.transpose(Image.Transpose.TRANSPOSE)
    darkest = [min(along.getpixel((x, y)) for y in range(along.height)) for x in range(along.width)]
    return all(100 < grey < 250 for grey in darkest)
