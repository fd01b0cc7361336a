"""Meters told by name: "hyg 3", "probe blue", "the kitchen hygrometer" are one thing each, and their number counts nothing."""

from __future__ import annotations

from dataclasses import replace
from typing import TYPE_CHECKING

from bot.language.quantities import Quantity
from bot.language.vocabulary import Sense

if TYPE_CHECKING:
    from bot.language.items import Item

HYGROMETERS = {
    "hyg", "hygs", "hygro", "hygros", "hygrometer", "higrometer", "hydrometer", "thermohygro",
    "thermohygrometer", "humidity meter", "humidity gauge", "humidity sensor",
}  # fmt: skip
OTHERS = {
    "meter": "meter", "metre": "meter", "sensor": "sensor", "probe": "probe", "gauge": "gauge", "gage": "gauge",
    "logger": "logger", "datalogger": "logger",
}  # fmt: skip
"""Words for a meter that may be of another sort, by the word they are kept under."""

NUMBER_SIGNS = {"#", "no", "nr", "number"}
SHOWING = {"reads", "read", "reading", "shows", "showed", "showing", "says", "said", "gives", "gave", "got"}
SURELY_A_NUMBER = 20
"""A bare number up to this after "hygro" is the meter's own; a higher one is more likely what it shows ("hygro 61")."""


def named_meters(items: list[Item]) -> list[Item]:
    """The items of a sentence with each meter and its name put into one, of sense `meter` and the value "hyg 3"."""
    items = _without_dashes(items)
    out: list[Item] = []
    at = 0
    while at < len(items):
        word = _meter_word(items[at])
        last = _name_end(items, at) if word else None
        if last is None:
            out.append(items[at])
            at += 1
            continue
        out.append(_one(items[at : last + 1], f"{word} {_name(items[last])}"))
        at = last + 1
    return out


def meter_of(item: Item) -> str | None:
    """The name of the meter that an item is."""
    sense = item.sense("meter")
    return None if sense is None else sense.value


def bare_meter(item: Item) -> bool:
    """Whether an item is a word for a hygrometer without a name of its own."""
    return item.kind in {"plain", "word"} and item.text in HYGROMETERS | set(OTHERS)


def _without_dashes(items: list[Item]) -> list[Item]:
    """A meter's number parted from what it shows: "hyg 3 - 24C" is no range."""
    out: list[Item] = []
    for item in items:
        quantity = item.quantity
        name, dash, rest = item.raw.partition(" - ")
        if quantity is None or not dash or not name.isdigit() or not out or not _meter_word(out[-1]):
            out.append(item)
            continue
        end = item.start + len(name)
        bare = Quantity(quantity.low, quantity.low)
        out.append(replace(item, text=name, raw=name, end=end, last=item.first + 1, quantity=bare))
        shown = replace(quantity, low=quantity.high)
        out.append(
            replace(
                item,
                start=end + len(dash),
                first=item.first + 2,
                raw=rest,
                text=item.text.partition(" - ")[2],
                quantity=shown,
            )
        )
    return out


def _meter_word(item: Item) -> str | None:
    if item.kind not in {"plain", "word"}:
        return None
    return "hyg" if item.text in HYGROMETERS else OTHERS.get(item.text)


def _name_end(items: list[Item], at: int) -> int | None:
    """Where the name after a word for a meter stands; None where none follows."""
    following = at + 1
    if following < len(items) and items[following].text in NUMBER_SIGNS:
        following += 1
    if following >= len(items):
        return None
    after = items[following + 1].text if following + 1 < len(items) else ""
    return following if _is_name(items[following], after, signed=following > at + 1) else None


def _is_name(item: Item, after: str, *, signed: bool) -> bool:
    """Whether an item is a meter's own number or letter: a number it does not show, a letter, or a word before "reads"."""
    quantity = item.quantity
    if quantity is not None:
        plain = quantity.unit is None and quantity.sense == "exact" and quantity.low == quantity.high
        own = quantity.low <= SURELY_A_NUMBER or after in SHOWING or signed
        return plain and not quantity.article and quantity.low == int(quantity.low) and own
    if item.kind != "plain" or not item.text.isalpha() or item.text in SHOWING:
        return False
    return len(item.text) == 1 or (after in SHOWING and not item.senses and len(item.text) > 2)


def _name(item: Item) -> str:
    return f"{item.quantity.low:g}" if item.quantity else item.text


def _one(items: list[Item], name: str) -> Item:
    first, last = items[0], items[-1]
    words = " ".join(item.text for item in items)
    raw = " ".join(item.raw for item in items)
    damp = (Sense("thing", "humidity"),) if name.startswith("hyg ") else ()
    senses = (Sense("meter", name), *damp)
    return replace(first, kind="word", text=words, last=last.last, end=last.end, raw=raw, senses=senses)
