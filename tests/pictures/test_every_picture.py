"""What holds of every picture, light and dark, with little and with much on it."""

from __future__ import annotations

import subprocess
import sys
from io import BytesIO
from itertools import combinations
from typing import TYPE_CHECKING, Any

import pytest
from matplotlib.backends.backend_agg import FigureCanvasAgg
from matplotlib.colors import to_hex
from matplotlib.text import Text
from PIL import Image

from bot.pictures.style import MARGIN, THEMES, WIDTH, blended, contrast
from tests.pictures.samples import DRAWN, LONG, PAINTED

if TYPE_CHECKING:
    from matplotlib.figure import Figure

EVERY = pytest.mark.parametrize("theme", THEMES)
SMALLEST = 33  # pixels: 11 where 1080 are shown as 360
ROLES = ("ink", "faint", "main", "warm", "fresh", "rare")


def texts(figure: Figure) -> list[Text]:
    return [text for text in figure.findobj(Text) if isinstance(text, Text) and text.get_visible() and text.get_text()]


def boxes(figure: Figure) -> list[tuple[str, Any]]:
    draw = FigureCanvasAgg(figure).get_renderer()
    return [(text.get_text(), text.get_window_extent(draw)) for text in texts(figure)]


@EVERY
@pytest.mark.parametrize("name", DRAWN)
def test_text_stays_on_the_sheet_and_out_of_other_text(name: str, theme: str) -> None:
    """Every text lies whole within the sheet, and no two lie on each other."""
    figure = DRAWN[name](theme)
    found = boxes(figure)
    assert found
    for words, box in found:
        assert box.x0 >= MARGIN / 8, words
        assert box.x1 <= WIDTH - MARGIN / 8, words
        assert box.y0 >= MARGIN / 8, words
        assert box.y1 <= figure.bbox.height - MARGIN / 8, words
    for (words, one), (others, other) in combinations(found, 2):
        across = min(one.x1, other.x1) - max(one.x0, other.x0)
        up = min(one.y1, other.y1) - max(one.y0, other.y0)
        assert across <= 1 or up <= 1, f"{words} on {others}"


@EVERY
@pytest.mark.parametrize("name", DRAWN)
def test_text_can_be_read_on_a_telephone(name: str, theme: str) -> None:
    """No letter is under 11 pixels high where the sheet is 360 wide; its colour stands out 4.5 to 1 (WCAG 2.1, 1.4.3)."""
    for text in texts(DRAWN[name](theme)):
        assert float(text.get_fontsize()) * 300 / 72 >= SMALLEST
        assert contrast(to_hex(text.get_color()), THEMES[theme].ground) >= 4.5


@EVERY
@pytest.mark.parametrize("name", PAINTED)
def test_bytes_are_a_png_of_the_right_size(name: str, theme: str) -> None:
    """1080 by 1350 pixels, on the theme's ground, in fewer than 300 kB; the same twice."""
    made = PAINTED[name](theme)
    with Image.open(BytesIO(made)) as image:
        assert (image.format, image.size) == ("PNG", (1080, 1350))
        assert "{:02X}{:02X}{:02X}".format(*image.convert("RGB").getpixel((2, 2))) == THEMES[theme].ground[1:]
    assert len(made) < 300_000
    assert PAINTED[name](theme) == made


@EVERY
@pytest.mark.parametrize("name", PAINTED)
def test_colours_are_there_to_be_seen(name: str, theme: str) -> None:
    """At least the two leading colours of the picture cover more than a few pixels."""
    with Image.open(BytesIO(PAINTED[name](theme))) as image:
        counted = {
            "#{:02X}{:02X}{:02X}".format(*colour): number for number, colour in image.convert("RGB").getcolors(1 << 20)
        }
    second = "rare" if name in {"growth", "heads"} else "warm"
    for role in ("main", second):
        assert counted.get(getattr(THEMES[theme], role), 0) > 100, role


@EVERY
def test_colours_of_marks_stand_out(theme: str) -> None:
    """Marks stand out 3 to 1 from the ground (WCAG 2.1, 1.4.11), those on bands from the bands; text 4.5 to 1 from both."""
    kept = THEMES[theme]
    assert all(contrast(getattr(kept, role), kept.ground) >= 3 for role in ROLES)
    wanted, books = blended(kept.faint, kept.ground), blended(kept.main, kept.ground)
    assert all(contrast(getattr(kept, role), wanted) >= 3 for role in ("main", "warm"))
    assert contrast(kept.ink, books) >= 4.5
    alive = blended(kept.main, kept.ground, 0.10)
    assert all(contrast(color, blended(kept.warm, alive, 0.08)) >= 3 for color in (kept.main, kept.warm))


def test_a_long_title_keeps_its_end() -> None:
    """A long name is wrapped, in smaller type, so that the finding after it is still read; a dollar sign is a dollar sign."""
    words = " ".join(text.get_text() for text in texts(DRAWN["heads without an end"]("light")))
    assert " ".join(LONG.split()) in words


def test_a_word_too_long_is_broken() -> None:
    """A title without spaces is broken where the line ends, and cut with three dots after the last line."""
    found = [words for words, _box in boxes(DRAWN["one meal"]("light"))]
    assert "".join(found).startswith("Donaudampfschifffahrtselektrizitätenhaupt")
    assert any(words.endswith("…") for words in found)


def test_nobody_pays_who_does_not_draw() -> None:
    """Importing every module of pictures loads no matplotlib; drawing loads it without its part for windows."""
    code = (
        "import sys; from bot.pictures import climate, feeding_calendar, growth, head_count, survival; "
        "assert 'matplotlib' not in sys.modules and 'numpy' not in sys.modules; from datetime import date as d; "
        "head_count.picture(head_count.HeadCount('a', 'b', (), d(2026, 3, 1), (head_count.Counted(d(2026, 3, 1), 1),))); "
        "assert 'matplotlib.pyplot' not in sys.modules"
    )
    subprocess.run([sys.executable, "-c", code], check=True)
