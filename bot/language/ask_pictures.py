"""Questions about pictures."""

from __future__ import annotations

from bot.language.ask_words import SpecialAsk

ASKS: tuple[SpecialAsk, ...] = ()
