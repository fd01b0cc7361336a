"""Labels: a sheet of stickers, each with a name, a line and a QR code that opens a chat.

`bot.labels.sheet.sheet` draws the PDF. It is not handed on from here: it loads the PDF library, which a command line that
only lists papers and sizes should not wait for.
"""

from __future__ import annotations

from bot.labels.label import Label, LabelFault
from bot.labels.layout import PAPERS, SIZES, LabelSize, Paper
from bot.labels.links import link

__all__ = ["PAPERS", "SIZES", "Label", "LabelFault", "LabelSize", "Paper", "link"]
