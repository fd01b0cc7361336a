"""Questions for pictures: "graph the humidity of tub 4 since March", "feeding calendar for B", "picture of B's head count"."""

from __future__ import annotations

from typing import TYPE_CHECKING, Any

from bot.language.ask_growth import GROWTH, LOSSES
from bot.language.ask_rules import CLIMATE_WORDS, HEADS, SIZE_WORDS
from bot.language.ask_words import SpecialAsk, Words

if TYPE_CHECKING:
    from collections.abc import Mapping

    from bot.language.items import Item

DRAWN = ("chart", "charts", "graph", "graphs", "plot", "plots", "diagram", "diagrams", "curve", "curves")
"""What is drawn; none of these is a photo."""

MAYBE_PHOTO = ("picture", "pictures", "pic", "pics")
CALENDARS = ("calendar", "calender", "feeding calendar", "food calendar")
DRAWING = ("draw", "plot", "graph", "chart", "visualise", "visualize", "draw me", "sketch")
SHOWING = (
    "show", "show me", "see", "can i see", "let me see", "send", "send me", "give me", "get me", "make", "make me",
    "could i have", "could i see", "may i see", "may i have", "can i get", "could i get", "i have", "i see", "i want", "i need", "i would like", "have", "can i have", "want", "like",
)  # fmt: skip
POLITE = frozenset(
    {"please", "can", "could", "you", "can you", "could you", "would you", "would", "ok", "okay", "hey", "and", "now",
     "so", "hi", "a", "an", "the", "dark", "light", "me", "us", "pls", "plz", "just", ",", "my", "nice", "new"}
)  # fmt: skip
OF_A_PHOTO = ("last", "latest", "newest", "recent", "most recent", "photo", "photos", "took", "taken", "take")
POINTING = ("on", "onto", "put", "see", "hung", "in the", "from the")
"""Words with which one speaks of a picture that is there already: "put B on the chart"."""

NEVER = ("when", "who", "why", "did", "where")
OF_FOOD = (
    "feeding", "feedings", "food", "meals", "meal", "eating", "eaten", "ate", "fed", "fasting", "refusals", "take",
    *CALENDARS,
)  # fmt: skip
OF_HEADS = (*HEADS, "count", "counts", "numbers", "population", "headcounts", "how big is the group")
OF_GROWTH = (*GROWTH, *sorted(SIZE_WORDS), "moults", "moult", "molts", "molt", "weights", "lengths", "moulting")
OF_SURVIVAL = (*LOSSES, "deaths", "lost", "alive", "survivorship", "kaplan meier")
OF_AIR = (*sorted(CLIMATE_WORDS), "air", "humidities", "temperatures")
DAMP = ("humid", "humidity", "damp", "dry", "rh", "wet", "hum", "moist", "humidities")
WARM = ("warm", "hot", "cold", "temp", "temperature", "temps", "cool", "degrees", "temperatures")
MEASURES = (
    ("weight", ("weight", "weights", "heavy", "weigh", "weighs", "fat")),
    ("legspan", ("legspan", "legspans", "leg span", "dls")),
    ("body", ("body length", "body", "length")),
)


class _Said:
    """What is said of a picture, names and days aside."""

    def __init__(self, words: Words) -> None:
        self.items = [item for item in words.items if item.kind not in {"name", "date"}]
        self.texts = [item.text for item in self.items]
        self._joined = f" {' '.join(self.texts)} "

    def any(self, *phrases: str) -> bool:
        """Whether one of these words or phrases is said."""
        return any(f" {phrase} " in self._joined for phrase in phrases)

    def thing(self, *values: str) -> bool:
        """Whether something of these is named."""
        return any(item.thing(*values) for item in self.items)

    @property
    def topic(self) -> str | None:
        """What is to be drawn: survival, air, growth, food or heads; None where that is not said."""
        if self.any(*OF_SURVIVAL):
            return "survival"
        if self.any(*OF_AIR) or self.thing("humidity", "temperature"):
            return "air"
        if self.any(*OF_FOOD):
            return "food"
        if self.any(*OF_GROWTH) or self.thing("legspan", "body", "weight"):
            return "growth"
        return "heads" if self.any(*OF_HEADS) else None

    @property
    def opened(self) -> str:
        """What the sentence begins with, after what is merely polite."""
        lead = next((at for at, text in enumerate(self.texts) if text not in POLITE), len(self.texts))
        return f"{' '.join(self.texts[lead:])} "

    def opens(self, *phrases: str) -> bool:
        """Whether the sentence begins with one of these."""
        return any(self.opened.startswith(f"{phrase} ") for phrase in phrases)


def _is_picture(words: Words, _kind: str | None) -> bool:
    said = _Said(words)
    if said.any(*NEVER) and not said.opens(*DRAWING, *DRAWN, *MAYBE_PHOTO, *CALENDARS, *SHOWING):
        return False
    if said.any(*DRAWN, *CALENDARS):
        return words.named or said.topic is not None
    if said.any(*MAYBE_PHOTO):
        return said.topic is not None or (words.named and not said.any(*OF_A_PHOTO))
    return said.opens(*DRAWING) and (words.named or said.topic is not None)


def _outright(words: Words) -> bool:
    """Whether a sentence asks for a picture and tells nothing: it opens with what is drawn, or ends with it."""
    said = _Said(words)
    if not _is_picture(words, None) or _measured(said.items):
        return False
    if said.opens(*DRAWN):
        return True
    if _tells(said.items):
        return False
    if said.opens(*DRAWING, *DRAWN, *MAYBE_PHOTO, *CALENDARS):
        return True
    drawn = (*DRAWN, *CALENDARS, *MAYBE_PHOTO)
    asked = said.opens(*SHOWING) or (words.texts[-1] in drawn and not said.any(*POINTING))
    led = any(said.opens(f"{lead} {noun}") for lead in _leads(said) for noun in drawn)
    return asked or led


def _leads(said: _Said) -> list[str]:
    """What stands before what is drawn: "growth" of "growth chart for B"."""
    found = next((at for at, text in enumerate(said.texts) if text in {*DRAWN, *CALENDARS, *MAYBE_PHOTO}), 0)
    lead = [text for text in said.texts[:found] if text not in POLITE]
    return [" ".join(lead)] if 0 < len(lead) <= 3 else []


def _measured(items: list[Item]) -> bool:
    """Whether a number with its unit makes a report of it."""
    return any(item.quantity is not None and item.quantity.unit is not None for item in items)


def _tells(items: list[Item]) -> bool:
    """Whether a verb in the past, other than one of what is drawn, makes a report of it."""
    return any(item.forms and item.forms <= {"past"} and item.text not in {*LOSSES, "lost"} for item in items)


def _fields(words: Words) -> Mapping[str, Any]:
    """What is drawn (`of`), which panel or measure alone, and `theme` dark where that is said."""
    said = _Said(words)
    fields: dict[str, Any] = {} if said.topic is None else {"of": said.topic}
    if said.topic == "air":
        damp, warm = said.any(*DAMP) or said.thing("humidity"), said.any(*WARM) or said.thing("temperature")
        fields |= {"panel": "humidity_pct" if damp else "temperature_c"} if damp != warm else {}
    if said.topic == "growth":
        measure = next((name for name, phrases in MEASURES if said.any(*phrases) or said.thing(name)), None)
        fields |= {} if measure is None else {"measure": measure}
    return fields | ({"theme": "dark"} if said.any("dark", "dark mode", "night mode") else {})


ASKS: tuple[SpecialAsk, ...] = (SpecialAsk("picture", _is_picture, _fields, _outright),)
