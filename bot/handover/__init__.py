"""The hand-over sheet: what whoever takes an animal over is to know of it. Pure: plain facts in, lines and PDF bytes out."""

from __future__ import annotations

from bot.handover.facts import (
    EXTRAS,
    SECTIONS,
    Enclosure,
    Facts,
    Feeding,
    Happening,
    HeadCount,
    HeadEvent,
    Lot,
    Moult,
    Parent,
    Picture,
    Quote,
    Reading,
    Selection,
    Size,
)
from bot.handover.sections import Section, sections
from bot.handover.text import plain_text

__all__ = [
    "EXTRAS",
    "SECTIONS",
    "Enclosure",
    "Facts",
    "Feeding",
    "Happening",
    "HeadCount",
    "HeadEvent",
    "Lot",
    "Moult",
    "Parent",
    "Picture",
    "Quote",
    "Reading",
    "Section",
    "Selection",
    "Size",
    "plain_text",
    "sections",
]
