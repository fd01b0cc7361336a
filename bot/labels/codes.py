"""QR codes as rectangles: what is dark, row by row, and whether a phone can read it at the size at hand."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass
from itertools import groupby

import segno

from bot.labels.label import Label, LabelFault
from bot.labels.layout import SIZES, LabelSize

QUIET_ZONE = 4
"""White modules on every side of a code, as ISO/IEC 18004 asks."""

SMALLEST_MODULE = 0.4
"""The side of a module in mm, at least.

Common practice for codes that phones read; the standard leaves it to whoever prints.
"""


@dataclass(frozen=True, slots=True)
class Run:
    """Dark modules side by side: the row (0 is the top), the first column, and how many. The quiet zone is counted in."""

    row: int
    column: int
    length: int


@dataclass(frozen=True, slots=True)
class Code:
    """A QR code: modules along one side, with the quiet zone, and its dark runs."""

    modules: int
    runs: tuple[Run, ...]


def code_of(label: Label, size: LabelSize) -> Code:
    """The code of a label's address, with error correction M or better.

    Raises LabelFault where there is no address, or where its modules would be finer than SMALLEST_MODULE on that size.
    """
    if not label.url:
        raise LabelFault(f"The label of {label.name} has no link for its code.")
    try:
        drawn = segno.make_qr(label.url, error="m")
    except segno.DataOverflowError as fault:
        raise LabelFault(_too_fine(label, size, fitting=[])) from fault
    modules = len(drawn.matrix) + 2 * QUIET_ZONE
    if not _readable(modules, size):
        fitting = [other.name for other in SIZES.values() if _readable(modules, other)]
        raise LabelFault(_too_fine(label, size, fitting))
    return Code(modules, tuple(_runs(drawn)))


def _readable(modules: int, size: LabelSize) -> bool:
    return size.code / modules >= SMALLEST_MODULE


def _too_fine(label: Label, size: LabelSize, fitting: list[str]) -> str:
    advice = f"It fits on {' or '.join(fitting)}." if fitting else "It needs a shorter link."
    return (
        f"The link of {label.name} has {len(label.url)} characters, too many for a code that a phone can read "
        f"on a {size.name} label. {advice}"
    )


def _runs(drawn: segno.QRCode) -> Iterator[Run]:
    """Modules side by side are drawn as one: fewer rectangles, and no seams between them."""
    for row, modules in enumerate(drawn.matrix_iter(border=QUIET_ZONE)):
        column = 0
        for dark, group in groupby(modules):
            length = len(list(group))
            if dark:
                yield Run(row, column, length)
            column += length
