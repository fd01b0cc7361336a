"""Questions about the air, meters and feeders.

`climate` (fields `trend` where it is asked where it is going): the readings of a place, as for the everyday question.
`same_air` (fields `temperature_c`): what the air of a place would be at another temperature.
`air_why`: where a reading comes from, with the checks of the meter it was made with.
`meter` (fields `meter`): how a meter was checked and where it hangs.
`growing_out` (fields `feeder`, `species` or None, `temperature_c` where told): how long a culture takes to grow.
`stock` (fields `feeder`, absent for all): how many feeders there are, how long they last, and by when to order.
"""

from __future__ import annotations

from typing import TYPE_CHECKING, Any

from bot.language.ask_words import SpecialAsk, Words
from bot.language.drafts import quantity_of
from bot.language.kinds.readings import WARMTH, celsius
from bot.language.refine.meters import meter_of

if TYPE_CHECKING:
    from collections.abc import Mapping, Sequence

    from bot.language.clauses import Clause
    from bot.language.items import Item

WARMING = {
    "warm", "warmed", "warms", "heat", "heated", "heats", "cool", "cooled", "cools", "chill", "raise", "raised", "bring",
    "drop", "drops", "dropped", "lower", "lowered", "turn", "turned", "rise", "rises", "goes", "went", "falls", "gets",
    "got", "take", "put", "set", "bump", "bumped", "let",
}  # fmt: skip
"""What is done to warm or cool a place, in a question or a condition."""

SURELY_WARMING = {"warm", "warmed", "heat", "heated", "cool", "cooled", "chill"}
OF_AIR = ("dew point", "dewpoint", "vpd", "vapour pressure", "vapor pressure", "absolute humidity", "vapour deficit")
DRIPPING = ("condense", "condensation", "condensate", "drip", "fog up", "steam up", "mist up")
TURNING = ("drier", "dryer", "wetter", "damper", "more humid", "less humid", "warmer", "colder", "hotter", "cooler")
BOUNDS = ("below", "under", "above", "over", "more than", "less than")
"""Words that make a condition of a temperature: "if tub 4 drops below 18 C mist it"."""

OPENING = (
    "what if",
    "what would",
    "what will",
    "how humid",
    "how damp",
    "how dry",
    "what happens",
    "would",
    "what does",
)
COMING_TO = ("be", "it", "read", "humidity", "rh", "get", "go", "end up", "become")
LEADS = {"at", "to", "@", "is", "was", "were", "hits", "reaches", "around"}
COLDEST, WARMEST = 0, 45
COLDEST_TOLD = 10
"""A bare number is a temperature from here on; colder ones are told with their unit."""

ASKED_OF_STOCK = (
    "left", "have i got", "have we got", "do i have", "do we have", "in stock", "are there", "remain", "remaining", "i got",
    "have i", "are left", "we got", "got left", "still have", "still got",
)  # fmt: skip
LASTING = (
    "last", "last me", "run out", "run dry", "keep me going", "do me", "enough for", "get through", "runs out", "running out",
    "left of", "lasting", "last us",
)  # fmt: skip
ORDERING = ("order", "reorder", "buy", "restock", "get more", "buy more", "order more", "stock up", "get", "get in")
WHEN = ("when", "how soon", "by when", "how long before", "how long until", "what day", "how long till")
STOCK_OF_ALL = (
    "feeder stock", "stock of feeders", "feeders in stock", "what is in stock", "in stock", "what feeders", "which feeders",
    "stock levels", "stock level", "what is low", "running low", "how is stock", "how is the stock", "stock check", "my stock", "the stock", "feeders left", "food left", "how is the feeder", "feeders have i got",
)  # fmt: skip
FOOD = ("feeders", "feeder", "food", "livefood", "live food", "bugs", "stock")
GROWN = (
    "adult",
    "adults",
    "grown",
    "full grown",
    "fully grown",
    "full size",
    "mature",
    "grow out",
    "grow up",
    "growing out",
)
SPECIES = (
    ("Acheta domesticus", {"house", "brown", "acheta"}),
    ("Gryllus bimaculatus", {"black", "field", "gryllus", "twospotted", "bimaculatus"}),
)
"""Crickets of which there are numbers, with the words keepers have for them [common practice]."""

DEAD_OR_FED = ("eat", "ate", "eaten", "fed", "feed", "died", "dead", "refuse", "refused", "offer", "offered")


def asks_of_warming(items: Sequence[Item]) -> bool:
    """Whether words ask what the air would be at another temperature: "same air at 26", "if I warm it to 26 C"."""
    words = Words(list(items))
    number = temperature_asked(items)
    if number is None or any(item.prey or item.sense("plan", "true") for item in items if item.kind != "name"):
        return False
    if words.any("same air", "the air be", "this air", "that air") or _of_dripping(words):
        return True
    texts = set(words.texts)
    opened = words.any(*OPENING) or (words.any("if") and words.any("i", "we") and not words.any(*BOUNDS))
    warmed = bool(texts & SURELY_WARMING) or (bool(texts & WARMING) and _is_warm(number))
    supposed = words.any("what if", "how about") and not any(item.verb() for item in items if item.kind == "word")
    would = words.any("would", "will") and words.any(*COMING_TO) and words.any("what", "how", "humidity")
    return (opened and warmed) or supposed or would


def _of_dripping(words: Words) -> bool:
    """Whether it is asked when or if water would fall out of the air."""
    return words.any(*DRIPPING) and words.any("would", "will", "at what", "what temp", "what temperature", "does it")


def temperature_asked(items: Sequence[Item]) -> Item | None:
    """The number of a temperature to be: with its unit, else one after "at" or "to" that a room can have."""
    for at, item in enumerate(items):
        if item.quantity is None or item.quantity.article:
            continue
        led = at > 0 and items[at - 1].text in LEADS
        bare = item.quantity.unit is None and led and item.quantity.low >= COLDEST_TOLD and _fits(item)
        if _is_warm(item) or bare:
            return item
    return None


def _is_warm(item: Item) -> bool:
    return quantity_of(item).unit in WARMTH


def _fits(item: Item) -> bool:
    low, high = celsius(quantity_of(item))
    return low is not None and high is not None and COLDEST <= low <= high <= WARMEST


def asks_in(clause: Clause) -> bool:
    """Whether a clause asks one of these though it has no question word at its head."""
    return asks_of_warming(clause.items) or (_names_air(Words(list(clause.items))) and not clause.numbers)


def _names_air(words: Words) -> bool:
    """Whether the dew point, the deficit or the trend of the air is named."""
    damp = any(item.thing("humidity", "temperature") for item in words.items if item.kind != "name")
    return words.any(*OF_AIR) or _of_dripping(words) or (damp and words.any("trend", "trends", "trending"))


def _trend(words: Words) -> Mapping[str, Any]:
    return {} if words.any(*OF_AIR, *DRIPPING) else {"trend": True}


def _is_of_air(words: Words, _kind: str | None) -> bool:
    return _names_air(words) or (words.any("getting", "got") and words.any(*TURNING))


def _is_same_air(words: Words, kind: str | None) -> bool:
    return kind in {None, "reading", "feeding"} and asks_of_warming(words.items)


def _warmth(words: Words) -> Mapping[str, Any]:
    number = temperature_asked(words.items)
    return {} if number is None else {"temperature_c": celsius(quantity_of(number))}


def _is_why(words: Words, _kind: str | None) -> bool:
    damp = any(item.thing("humidity", "temperature") or meter_of(item) for item in words.items)
    told = any(item.quantity and item.quantity.unit in {"%", *WARMTH} for item in words.items)
    return words.any("why", "how do you know", "how come") and (damp or told)


def _is_meter(words: Words, _kind: str | None) -> bool:
    return any(meter_of(item) for item in words.items) and not words.named


def _meter(words: Words) -> Mapping[str, Any]:
    return {"meter": next(name for item in words.items if (name := meter_of(item)))}


def _is_stock(words: Words, _kind: str | None) -> bool:
    if words.any("have to"):
        return False  # "how many crickets do I have to get in"
    """How many there are, how long they last, when to order; what is needed for a time is an everyday question."""
    lasting = words.any("how long", "when", "days", "how much longer", "will") and words.any(*LASTING)
    if words.any(*DEAD_OR_FED) or (
        any(_is_stretch(item) for item in words.items) and not (lasting and words.any("last"))
    ):
        return False
    if words.named:
        ordered = words.any(*WHEN) and words.any("order", "reorder", "restock", "buy")
        return ordered or words.any("run out", "last me", "last us", "reorder", "restock") or _will_last(words)
    if _feeder_in(words) is None and not words.any(*FOOD):
        return _will_last(words)
    counted = any(item.quantity for item in words.items)
    number = words.any("how many", "how much") and words.any(*ASKED_OF_STOCK)
    number = number or (words.any("left", "stock", "remaining") and not counted)
    order = words.any(*WHEN) and words.any(*ORDERING)
    order = order or (words.any("order", "reorder", "restock") and not words.any("how many", "how much", "what"))
    enough = words.any("enough") and words.any("have", "got") and not words.any("need")
    return number or lasting or order or enough or (_feeder_in(words) is None and words.any(*STOCK_OF_ALL))


def _will_last(words: Words) -> bool:
    """Whether it is asked how long a colony that is named, or what was just told, will do: "how long will they last"."""
    ends = words.texts[-1:] == ["last"] or words.any("last me", "last us")
    return words.any("will", "would") and words.any("how long") and ends


def _is_stretch(item: Item) -> bool:
    return item.date is not None and bool(item.date.days or item.date.until)


def _feeder_in(words: Words) -> str | None:
    return next((item.prey for item in words.items if item.prey and item.kind != "name"), None)


def _feeder(words: Words) -> Mapping[str, Any]:
    feeder = _feeder_in(words)
    return {} if feeder is None else {"feeder": feeder}


def _is_growing(words: Words, kind: str | None) -> bool:
    """When a culture of feeders will be grown: "how long till the pinheads are adult at 28C"."""
    grown = words.any(*GROWN) or (kind == "sac" and words.any("hatch", "hatching"))
    asked = words.any("when", "how long", "how soon", "how many days")
    return grown and asked and _feeder_in(words) is not None and not words.named


def _growing(words: Words) -> Mapping[str, Any]:
    texts = set(words.texts) | {text for item in words.items for text in item.text.split()}
    return {**_feeder(words), **_warmth(words), "species": next((name for name, said in SPECIES if texts & said), None)}


ASKS: tuple[SpecialAsk, ...] = (
    SpecialAsk("growing_out", _is_growing, _growing),
    SpecialAsk("same_air", _is_same_air, _warmth),
    SpecialAsk("air_why", _is_why),
    SpecialAsk("meter", _is_meter, _meter),
    SpecialAsk("climate", _is_of_air, _trend),
    SpecialAsk("stock", _is_stock, _feeder),
)
