"""How pictures look: size, colours for light and dark, marks.

The colours of marks are those that M. Okabe and K. Ito chose to be told apart with every kind of colour vision ("Color
Universal Design", 2002, jfly.uni-koeln.de/color), taken for each ground from those that stand out on it by at least 3 to 1.
What differs in colour differs in shape too.
"""

from __future__ import annotations

from dataclasses import dataclass
from typing import Any

DOTS_PER_INCH = 300
WIDTH = 1080
TALL = 1350
LOW = 810
"""Pixels. A telephone shows 1080 across as 360 or so."""

TITLE_POINTS = 11.5
TEXT_POINTS = 8.4
SMALL_POINTS = 8.0
"""Type sizes; 8 points at 300 dots per inch are 33 pixels, which is 11 at a width of 360."""

MARGIN = 48
"""Pixels kept free at every edge."""


Look = dict[str, Any]
"""How something looks, in the words that matplotlib has for it."""


class PictureFault(ValueError):
    """A picture that cannot be drawn; the message is a sentence for the keeper."""


@dataclass(frozen=True, slots=True)
class Theme:
    """Colours as #RRGGBB: ground, text and fainter text, lines of the grid, and the roles of marks.

    `main` is what the picture is about, `warm` is trouble or heat, `fresh` what is new, `rare` what is seldom.
    """

    name: str
    ground: str
    ink: str
    faint: str
    grid: str
    main: str
    warm: str
    fresh: str
    rare: str


LIGHT = Theme("light", "#FFFFFF", "#16191D", "#54595F", "#DADDE1", "#0072B2", "#D55E00", "#009E73", "#CC79A7")
DARK = Theme("dark", "#14181D", "#F1F3F5", "#B4BBC3", "#363D46", "#56B4E9", "#E69F00", "#009E73", "#CC79A7")
THEMES = {theme.name: theme for theme in (LIGHT, DARK)}

BAND = 0.16
"""How much of its colour a shaded band takes on; the rest is the ground."""


@dataclass(frozen=True, slots=True)
class Mark:
    """A mark: its shape as matplotlib names it, the role of its colour, its size in points, filled, hollow or half."""

    shape: str
    role: str
    points: float = 6.0
    fill: str = "full"


def theme_called(name: str) -> Theme:
    """Find a theme by its name, light or dark."""
    if name not in THEMES:
        raise PictureFault(f"Pictures are light or dark, not {name}.")
    return THEMES[name]


def colour(theme: Theme, role: str) -> str:
    """Look up the colour of a role."""
    found: str = getattr(theme, role)
    return found


def mark_style(theme: Theme, mark: Mark) -> Look:
    """A mark in matplotlib's words for a line; a filled one has a rim of the ground, which keeps it off what lies under it."""
    own = colour(theme, mark.role)
    line_only = mark.shape in {"x", "+", "_", "|"}
    rim = theme.ground if mark.fill == "full" and not line_only else own
    return {
        "marker": mark.shape,
        "markersize": mark.points,
        "markerfacecolor": theme.ground if mark.fill == "none" else own,
        "markerfacecoloralt": theme.ground,
        "fillstyle": mark.fill if mark.fill == "left" else "full",
        "markeredgecolor": rim,
        "markeredgewidth": 1.5 if rim == own else 0.6,
        "linestyle": "none",
    }


def luminance(hexadecimal: str) -> float:
    """Relative luminance, 0 to 1, of a colour #RRGGBB (WCAG 2.1, definition of relative luminance)."""
    parts = [int(hexadecimal[at : at + 2], 16) / 255 for at in (1, 3, 5)]
    red, green, blue = (part / 12.92 if part <= 0.03928 else ((part + 0.055) / 1.055) ** 2.4 for part in parts)
    return 0.2126 * red + 0.7152 * green + 0.0722 * blue


def contrast(one: str, other: str) -> float:
    """Contrast of two colours, 1 to 21 (WCAG 2.1, definition of contrast ratio)."""
    darker, lighter = sorted((luminance(one), luminance(other)))
    return (lighter + 0.05) / (darker + 0.05)


def blended(over: str, ground: str, part: float = BAND) -> str:
    """The colour that comes of laying one over another by a part from 0 to 1."""
    pairs = [(int(over[at : at + 2], 16), int(ground[at : at + 2], 16)) for at in (1, 3, 5)]
    return "#" + "".join(f"{round(above * part + below * (1 - part)):02X}" for above, below in pairs)
