"""Colours and marks: told apart by shape always, and by colour by those who see two colours for three."""

from __future__ import annotations

from collections.abc import Callable
from itertools import combinations
from math import dist

import pytest
from matplotlib.colors import to_rgb

from bot.pictures import climate, feeding_calendar, growth, head_count, survival
from bot.pictures.style import (
    DARK,
    LIGHT,
    THEMES,
    Mark,
    PictureFault,
    blended,
    colour,
    contrast,
    luminance,
    theme_called,
)

OKABE_ITO = {"#E69F00", "#56B4E9", "#009E73", "#F0E442", "#0072B2", "#D55E00", "#CC79A7"}
"""The palette of Okabe and Ito (2002) without its black."""

Row = tuple[float, float, float]

SEEN_AS: dict[str, tuple[Row, Row, Row]] = {
    "protanopia": (
        (0.152286, 1.052583, -0.204868),
        (0.114503, 0.786281, 0.099216),
        (-0.003882, -0.048116, 1.051998),
    ),
    "deuteranopia": (
        (0.367322, 0.860646, -0.227968),
        (0.280085, 0.672501, 0.047413),
        (-0.011820, 0.042940, 0.968881),
    ),
}
"""G. M. Machado, M. M. Oliveira and L. A. F. Fernandes, IEEE Trans. Vis. Comput. Graph. 15 (2009) 1291-1298: severity 1.0, linear RGB."""

TO_XYZ = ((0.4124564, 0.3575761, 0.1804375), (0.2126729, 0.7151522, 0.0721750), (0.0193339, 0.1191920, 0.9503041))
WHITE = (0.95047, 1.0, 1.08883)
"""Linear sRGB to CIE XYZ, and its white (IEC 61966-2-1)."""

SIGNS: dict[str, list[Mark]] = {
    "head count": [head_count.COUNTED, *(mark for _words, mark in head_count.LANES.values())],
    "feeding calendar": [*(mark for _words, mark in feeding_calendar.SIGNS.values()), feeding_calendar.MOULTED[1]],
    "growth": [growth.SIZE, growth.AT_LEAST, growth.MOULT],
    "climate": [mark for _words, mark in climate.SIGNS],
    "survival": list(survival.CENSORED),
}

WELL_APART = 10.0
"""Distance in CIE L*a*b* (1976); two colours side by side are told apart from about 2.3."""


def linear(hexadecimal: str) -> Row:
    red, green, blue = (
        part / 12.92 if part <= 0.04045 else ((part + 0.055) / 1.055) ** 2.4 for part in to_rgb(hexadecimal)
    )
    return red, green, blue


def turned(matrix: tuple[Row, Row, Row], values: Row) -> Row:
    one, two, three = (sum(part * value for part, value in zip(row, values, strict=True)) for row in matrix)
    return one, two, three


def lab(values: Row) -> Row:
    """CIE L*a*b* of linear RGB."""
    root: Callable[[float], float] = lambda part: part ** (1 / 3) if part > 216 / 24389 else part * 841 / 108 + 4 / 29  # noqa: E731 - the formula's own f
    x, y, z = (root(max(part, 0) / white) for part, white in zip(turned(TO_XYZ, values), WHITE, strict=True))
    return 116 * y - 16, 500 * (x - y), 200 * (y - z)


@pytest.mark.parametrize("name", SIGNS)
def test_marks_of_one_picture_differ_in_shape(name: str) -> None:
    """Whoever sees no colour at all still tells every pair of marks apart: by shape, or full, half and hollow."""
    assert len({(mark.shape, mark.fill) for mark in SIGNS[name]}) == len(SIGNS[name]) > 1


def test_curves_differ_in_more_than_colour() -> None:
    """Of two broods the second is dashed, and its interval hatched."""
    assert survival.LINES[0] != survival.LINES[1]
    assert survival.HATCHES[0] != survival.HATCHES[1]


@pytest.mark.parametrize("theme", THEMES)
@pytest.mark.parametrize("sight", SEEN_AS)
@pytest.mark.parametrize("name", SIGNS)
def test_colours_of_one_picture_stay_apart(name: str, sight: str, theme: str) -> None:
    """Seen without red or without green, the colours of a picture's marks still lie well apart."""
    used = sorted({colour(THEMES[theme], mark.role) for mark in SIGNS[name]})
    seen = [lab(turned(SEEN_AS[sight], linear(one))) for one in used]
    assert all(dist(one, other) > WELL_APART for one, other in combinations(seen, 2))


@pytest.mark.parametrize("theme", THEMES)
def test_the_palette_is_okabes_and_itos(theme: str) -> None:
    """The colours of the roles are theirs, four different ones in each theme."""
    roles = {colour(THEMES[theme], role) for role in ("main", "warm", "fresh", "rare")}
    assert len(roles) == 4
    assert roles <= OKABE_ITO


def test_contrast_is_that_of_the_guidelines() -> None:
    """Black on white is 21 to 1, a colour on itself 1; #777777 on white is 4.48, a well-known near miss of 4.5."""
    assert contrast("#000000", "#FFFFFF") == pytest.approx(21)
    assert contrast("#0072B2", "#0072B2") == 1
    assert contrast("#FFFFFF", "#777777") == pytest.approx(4.48, abs=0.005)
    assert luminance("#FFFFFF") == pytest.approx(1)


def test_blending_goes_from_ground_to_colour() -> None:
    """Nothing of a colour is the ground, all of it the colour, half of it between."""
    assert blended("#FF0000", "#0000FF", 0) == "#0000FF"
    assert blended("#FF0000", "#0000FF", 1) == "#FF0000"
    assert blended("#FFFFFF", "#000000", 0.5) == "#808080"


def test_themes_are_two() -> None:
    """Light and dark are known by name; any other name is refused in a sentence."""
    assert (theme_called("light"), theme_called("dark")) == (LIGHT, DARK)
    with pytest.raises(PictureFault, match="light or dark, not sepia"):
        theme_called("sepia")
