"""The fonts on labels: DejaVu Sans, which has Latin, Greek, Cyrillic and many more, as the package matplotlib carries it.

Letters are set from left to right as they come, each in its plain form: Hebrew stands in the wrong order, and Arabic is
neither in order nor joined.
"""

from __future__ import annotations

import re
import unicodedata
from functools import cache
from importlib.util import find_spec
from pathlib import Path
from typing import Any

from reportlab.pdfbase.pdfmetrics import registerFont
from reportlab.pdfbase.ttfonts import TTFont

from bot.labels.label import LabelFault

PLAIN = "DejaVuSans"
BOLD = "DejaVuSans-Bold"

BOX = "□"
"""What stands for a character that a font lacks."""

_UNSEEN = re.compile("[\ufe00-\ufe0f\U000e0100-\U000e01ef]")
"""Variation selectors: they choose a form of the character before them and have none of their own."""


def width_of(text: str, font: str, points: float) -> float:
    """How wide a text runs, in points."""
    width: float = _loaded(font).stringWidth(text, points)
    return width


def ready(font: str) -> str:
    """The name of a font, once it can be drawn with."""
    _loaded(font)
    return font


def printable(text: str, font: str) -> str:
    """A text as a font can show it: on one line, composed, a box for what the font lacks, nothing for what has no form."""
    composed = unicodedata.normalize("NFC", " ".join(text.split()))
    seen = [letter for letter in _UNSEEN.sub("", composed) if unicodedata.category(letter) not in {"Cc", "Cf"}]
    known = _loaded(font).face.charToGlyph
    return "".join(letter if ord(letter) in known else BOX for letter in seen)


@cache
def _loaded(font: str) -> Any:  # noqa: ANN401 - the library has no types
    """The font, read once and made known to the library that draws."""
    loaded = TTFont(font, str(_folder() / f"{font}.ttf"))
    registerFont(loaded)
    return loaded


def _folder() -> Path:
    """Where matplotlib keeps its fonts. It is looked up, not imported, since that takes far longer than a sheet."""
    spec = find_spec("matplotlib")
    if spec is None or not spec.submodule_search_locations:
        raise LabelFault("The fonts for labels are missing: they come with the package matplotlib.")
    return Path(spec.submodule_search_locations[0], "mpl-data", "fonts", "ttf")
