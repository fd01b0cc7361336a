"""The words of a question with quick looks at them, and the kinds of entries that verbs and nouns stand for."""

from __future__ import annotations

from collections.abc import Callable, Mapping
from dataclasses import dataclass
from functools import cache
from typing import TYPE_CHECKING, Any

if TYPE_CHECKING:
    from bot.language.items import Item

KIND_OF_VERB = {
    "feed": "feeding", "eat": "feeding", "take": "feeding", "refuse": "feeding", "mist": "misting",
    "water": "watering", "clean": "cleaning", "spotclean": "cleaning", "moult": "moult", "move": "move",
    "split": "move", "join": "move", "count": "count", "die": "death", "buy": "arrival", "arrive": "arrival",
    "sell": "departure", "giveaway": "departure", "pair": "pairing", "introduce": "pairing", "hatch": "sac",
    "lay": "sac", "weigh": "measurement", "measure": "measurement",
}  # fmt: skip
KIND_OF_THING = {
    "feeding": "feeding", "misting": "misting", "watering": "watering", "cleaning": "cleaning",
    "fullclean": "cleaning", "cleanout": "cleaning", "spotclean": "cleaning", "exuvia": "moult", "moving": "move",
    "sac": "sac", "death": "death", "pairing": "pairing", "weighing": "measurement", "weight": "measurement",
    "substrate": "cleaning", "water": "watering", "count": "count", "eggs": "sac",
}  # fmt: skip
ACT_NOUNS = ("feeding", "misting", "watering", "cleaning", "weighing")
SAID_OF_MANY_ACTS = {"take", "clean", "get", "count"}
WRITING = ("put down", "write down", "wrote down", "written down", "noted down")


@cache
def _between_blanks(words: tuple[str, ...]) -> tuple[str, ...]:
    return tuple(f" {word} " for word in words)


@dataclass(frozen=True, slots=True)
class SpecialAsk:
    """A question of the reckoning: its name, whether words (with the kind of entry they are of) ask it, and its fields.

    `outright` tells of a whole sentence whether it can only ask it, with no question word or mark: "compare B with C".
    """

    about: str
    asks: Callable[[Words, str | None], bool]
    fields: Callable[[Words], Mapping[str, Any]] = lambda _words: {}
    outright: Callable[[Words], bool] = lambda _words: False


class Words:
    """The items of a question with quick looks at them."""

    def __init__(self, items: list[Item]) -> None:
        """Keep the items and their words; those of dates aside, since "last night" asks for no last time."""
        self.items = items
        self.texts = [item.text for item in items if item.kind != "date"]
        self.joined = " " + " ".join(self.texts) + " "

    def any(self, *words: str) -> bool:
        """Whether one of these words or phrases is said."""
        return any(word in self.joined for word in _between_blanks(words))

    @property
    def named(self) -> bool:
        """Whether anybody is named."""
        return any(item.kind == "name" for item in self.items)

    def verb_said(self) -> bool:
        """Whether an act is asked about by its verb or noun ("who needs feeding")."""
        words = (item for item in self.items if item.kind == "word")
        return any(item.verb(*KIND_OF_VERB) or item.thing(*ACT_NOUNS) for item in words)

    def kind(self) -> str | None:
        """The kind of entry that is asked about: by its verb, then by a noun, by prey, or by a sign."""
        if self.any(*WRITING):
            return None
        words = [item for item in self.items if item.kind == "word"]
        return self._kind_of_verb(words) or _kind_of_thing(words) or _kind_implied(words)

    def _kind_of_verb(self, words: list[Item]) -> str | None:
        """The kind of the first verb; one that is said of many acts only where there is no other."""
        verbs = [item for item in words if item.sense("verb")]
        for item in sorted(verbs, key=_is_loose):
            values = [sense.value for sense in item.senses if sense.category == "verb"]
            kinds = [KIND_OF_VERB[value] for value in values if value in KIND_OF_VERB and not self._means_other(value)]
            if kinds:
                return kinds[0]
        return None

    def _means_other(self, verb: str) -> bool:
        """Whether "count" is part of "how many", or "water" is what was changed or filled up."""
        if verb == "count":
            return self.any("how many")
        return verb == "water" and any(item.verb("change", "fill") for item in self.items)


def _kind_of_thing(words: list[Item]) -> str | None:
    things = (sense.value for item in words for sense in item.senses if sense.category == "thing")
    return next((KIND_OF_THING[thing] for thing in things if thing in KIND_OF_THING), None)


def _kind_implied(words: list[Item]) -> str | None:
    """Prey and what became of it imply a feeding, signs a sighting."""
    if any(item.prey or item.sense("outcome") for item in words):
        return "feeding"
    return "observation" if any(item.sense("sign") for item in words) else None


def _is_loose(item: Item) -> bool:
    sense = item.sense("verb")
    return sense is not None and sense.value in SAID_OF_MANY_ACTS
