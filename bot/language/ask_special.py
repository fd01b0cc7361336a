"""Questions of the reckoning: how a brood is doing, how groups compare, what the air would be, a picture of it, a sheet of it.

Each sort of them stands in a module of its own; they are looked for before the everyday questions.
"""

from __future__ import annotations

from collections.abc import Mapping
from itertools import chain
from typing import TYPE_CHECKING, Any

from bot.language.ask_air import ASKS as OF_AIR
from bot.language.ask_growth import ASKS as OF_GROWTH
from bot.language.ask_pictures import ASKS as OF_PICTURES
from bot.language.ask_sheet import ASKS as OF_SHEETS
from bot.language.ask_words import Words

if TYPE_CHECKING:
    from bot.language.ask_words import SpecialAsk
    from bot.language.items import Item

SPECIAL: tuple[SpecialAsk, ...] = tuple(chain(OF_SHEETS, OF_PICTURES, OF_GROWTH, OF_AIR))
"""In the order they are tried."""


def special_of(words: Words, kind: str | None) -> tuple[str, Mapping[str, Any]] | None:
    """What is asked of the reckoning, with the fields of the question; None for any other question."""
    found = next((one for one in SPECIAL if one.asks(words, kind)), None)
    return None if found is None else (found.about, found.fields(words))


def asked_outright(items: list[Item]) -> bool:
    """Whether a whole sentence can only be a question of the reckoning, though nothing else about it asks."""
    words = Words(items)
    return any(one.outright(words) for one in SPECIAL)
