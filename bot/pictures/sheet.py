"""The sheet a picture is drawn on: heading, key, every text, and at last the PNG. All places are in pixels from the lower left corner."""

from __future__ import annotations

from collections.abc import Iterable, Sequence
from dataclasses import dataclass, field
from functools import cache
from io import BytesIO
from typing import TYPE_CHECKING, Any

from bot.pictures.lettering import MORE, font, printable, width_of, wrapped
from bot.pictures.style import (
    DOTS_PER_INCH,
    MARGIN,
    SMALL_POINTS,
    TEXT_POINTS,
    TITLE_POINTS,
    WIDTH,
    Look,
    Mark,
    Theme,
    mark_style,
    theme_called,
)

if TYPE_CHECKING:
    from matplotlib.figure import Figure
    from matplotlib.text import Text

TITLE_LINES, LONG_TITLE_LINES, BASIS_LINES, KEY_LINES = 3, 6, 3, 2
LEADING = 1.28
"""Lines are this times their type size apart."""

PACKED = 3
"""How hard a PNG is packed, of 9."""

SIGN_WIDTH = 54
GAP = 16
Box = tuple[float, float, float, float]
"""Left, bottom, right, top."""


@dataclass(slots=True)
class Sheet:
    """A figure in the making: `top` is where free space begins, below what is drawn already."""

    figure: Figure
    theme: Theme
    top: float
    taken: list[Box] = field(default_factory=list)
    """Where text and marks stand, which other text keeps off."""


@dataclass(frozen=True, slots=True)
class Key:
    """One sign explained: a mark or a line (in matplotlib's words for a line), on a ground (in its words for a rectangle), or neither."""

    words: str
    line: Look | None = None
    ground: Look | None = None


def open_sheet(title: str, basis: str, height: int, theme_name: str) -> Sheet:
    """Begin a picture of a height in pixels with its finding and, under it, what that rests on."""
    from matplotlib.backends.backend_agg import FigureCanvasAgg  # noqa: PLC0415 - loads slowly
    from matplotlib.figure import Figure  # noqa: PLC0415 - loads slowly

    theme = theme_called(theme_name)
    figure = Figure(figsize=(WIDTH / DOTS_PER_INCH, height / DOTS_PER_INCH), dpi=DOTS_PER_INCH, facecolor=theme.ground)
    FigureCanvasAgg(figure)
    sheet = Sheet(figure, theme, height - MARGIN)
    width = WIDTH - 2 * MARGIN
    _title(sheet, title, width)
    sheet.top -= 6
    _paragraph(sheet, wrapped(basis, TEXT_POINTS, width, BASIS_LINES), TEXT_POINTS)
    sheet.top -= GAP
    return sheet


def write(
    sheet: Sheet,
    at: tuple[float, float],
    text: str,
    points: float = SMALL_POINTS,
    *,
    place: str = "left",
    role: str = "faint",
    bold: bool = False,
) -> Text:
    """Write one line of printable text with its middle at this height; `place` says which end stands there."""
    from matplotlib.transforms import IdentityTransform  # noqa: PLC0415 - loads slowly

    sheet.taken.append(_box_of(at, text, points, place, bold=bold))
    return sheet.figure.text(
        *at,
        text,
        transform=IdentityTransform(),
        fontproperties=font(points, bold=bold),
        color=getattr(sheet.theme, role),
        ha=place,
        va="center_baseline",
        parse_math=False,
        usetex=False,
    )


def write_if_free(
    sheet: Sheet, at: tuple[float, float], text: str, *, place: str = "center", role: str = "ink", rim: bool = False
) -> bool:
    """Write a line unless it would stand in other text or in the margin; whether it did.

    A rim of the ground keeps letters readable where they cross a line; it takes as long again as the text.
    """
    left, bottom, right, top = _box_of(at, text, SMALL_POINTS, place)
    if left < MARGIN / 4 or right > WIDTH - MARGIN / 4:
        return False
    if any(left < other[2] and other[0] < right and bottom < other[3] and other[1] < top for other in sheet.taken):
        return False
    written = write(sheet, at, text, place=place, role=role)
    if rim:
        written.set_path_effects([_rim(sheet.theme.ground)])
    return True


def add_key(sheet: Sheet, keys: Iterable[Key]) -> None:
    """Explain the signs in as few rows as they need."""
    left = float(MARGIN)
    height = line_height(SMALL_POINTS)
    widest = WIDTH - 2 * MARGIN - SIGN_WIDTH - GAP
    rows_here = 0
    for key in keys:
        lines = wrapped(key.words, SMALL_POINTS, widest, KEY_LINES)
        indent = SIGN_WIDTH + GAP if key.line or key.ground else 0
        width = indent + max(width_of(line, SMALL_POINTS) for line in lines)
        if left > MARGIN and left + width > WIDTH - MARGIN:
            sheet.top -= rows_here * height
            left, rows_here = float(MARGIN), 0
        sign(sheet, key, left, sheet.top - height / 2)
        for number, line in enumerate(lines):
            write(sheet, (left + indent, sheet.top - height * (number + 0.5)), line, role="ink")
        rows_here = max(rows_here, len(lines))
        left += width + 2 * GAP
    sheet.top -= rows_here * height + GAP


def line_height(points: float) -> float:
    """Pixels from one line of a type size to the next."""
    return points * DOTS_PER_INCH / 72 * LEADING


def to_png(figure: Figure) -> bytes:
    """Draw a figure into the bytes of a PNG.

    Letters are not fitted to whole pixels, which are too small here to show it; there is no layer for transparency, and
    the bytes are packed less hard than is usual. That takes half the time for much the same size.
    """
    from matplotlib import rc_context  # noqa: PLC0415 - loads slowly
    from matplotlib.backends.backend_agg import FigureCanvasAgg  # noqa: PLC0415 - loads slowly
    from PIL import Image  # noqa: PLC0415 - loads slowly

    canvas: Any = FigureCanvasAgg(figure)
    with rc_context({"text.hinting": "none"}):
        canvas.draw()
    size = (round(figure.bbox.width), round(figure.bbox.height))
    kept = BytesIO()
    Image.frombuffer("RGBA", size, canvas.buffer_rgba(), "raw", "RGBA", 0, 1).convert("RGB").save(
        kept, "PNG", compress_level=PACKED
    )
    return kept.getvalue()


def _title(sheet: Sheet, title: str, width: float) -> None:
    """Set the title large; one too long for that in smaller type on more lines, so that the finding at its end is not lost."""
    points, lines = TITLE_POINTS, wrapped(title, TITLE_POINTS, width, TITLE_LINES, bold=True)
    if lines[-1].endswith(MORE):
        points, lines = TEXT_POINTS, wrapped(title, TEXT_POINTS, width, LONG_TITLE_LINES, bold=True)
    _paragraph(sheet, lines, points, bold=True)


def _paragraph(sheet: Sheet, lines: Sequence[str], points: float, *, bold: bool = False) -> None:
    for line in lines:
        height = line_height(points)
        write(sheet, (MARGIN, sheet.top - height / 2), line, points, role="ink" if bold else "faint", bold=bold)
        sheet.top -= height


def sign(sheet: Sheet, key: Key, left: float, middle: float) -> None:
    """Draw the sign of a key by itself, from a place on and about a height."""
    from matplotlib.lines import Line2D  # noqa: PLC0415 - loads slowly
    from matplotlib.patches import Rectangle  # noqa: PLC0415 - loads slowly
    from matplotlib.transforms import IdentityTransform  # noqa: PLC0415 - loads slowly

    plain = IdentityTransform()
    if key.ground is not None:
        sheet.figure.add_artist(Rectangle((left, middle - 14), SIGN_WIDTH, 28, transform=plain, zorder=1, **key.ground))
    if key.line is not None:
        one_point = "marker" in key.line and key.line.get("linestyle") == "none"
        across = [left + SIGN_WIDTH / 2] if one_point else [left, left + SIGN_WIDTH]
        sheet.figure.add_artist(Line2D(across, [middle] * len(across), transform=plain, zorder=2, **key.line))


def _box_of(at: tuple[float, float], text: str, points: float, place: str, *, bold: bool = False) -> Box:
    width = width_of(text, points, bold=bold)
    left = at[0] - {"left": 0.0, "center": width / 2, "right": width}[place]
    half = points * DOTS_PER_INCH / 72 * 0.55
    return left, at[1] - half, left + width, at[1] + half


@cache
def _rim(ground: str) -> Any:  # noqa: ANN401 - the library's classes are loaded late
    from matplotlib.patheffects import withStroke  # noqa: PLC0415 - loads slowly

    return withStroke(linewidth=2.2, foreground=ground)


def keyed(theme: Theme, words: str, mark: Mark) -> Key:
    """The key of a mark."""
    return Key(printable(words), mark_style(theme, mark))
