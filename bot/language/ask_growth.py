"""Questions about broods, growth, crowding, and how they compare."""

from __future__ import annotations

from bot.language.ask_words import SpecialAsk

ASKS: tuple[SpecialAsk, ...] = ()
