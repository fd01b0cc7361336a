"""One piece of a message, and the message taken apart."""

from __future__ import annotations

from dataclasses import dataclass

from bot.language.dates import DateSpan
from bot.language.names import NameSpan
from bot.language.quantities import Quantity
from bot.language.roster_index import RosterIndex
from bot.language.tokens import Token
from bot.language.vocabulary import Sense


@dataclass(frozen=True, slots=True, eq=False)  # equal by identity: comparing items field by field is slow
class Item:
    """One piece of a message: `kind` is name, date, number, word (of the trade), mark or plain.

    first and last count tokens (last exclusive), start and end characters. A word may have several senses.
    """

    kind: str
    text: str
    first: int
    last: int
    start: int
    end: int
    senses: tuple[Sense, ...] = ()
    name: NameSpan | None = None
    date: DateSpan | None = None
    quantity: Quantity | None = None
    raw: str = ""
    possessive: bool = False

    def sense(self, category: str, *values: str) -> Sense | None:
        """The first sense of a category, of one of the values if any are given."""
        for sense in self.senses:
            if sense.category == category and (not values or sense.value in values):
                return sense
        return None

    def verb(self, *values: str) -> bool:
        """Whether it is one of these verbs."""
        return bool(self.senses) and self.sense("verb", *values) is not None

    @property
    def forms(self) -> frozenset[str]:
        """The forms it may be as a verb: base, past, ing, third; empty for anything else."""
        verbs = self.senses if self.kind == "word" else ()
        return frozenset(sense.form for sense in verbs if sense.category == "verb")

    def thing(self, *values: str) -> bool:
        """Whether it is one of these nouns."""
        return self.sense("thing", *values) is not None

    @property
    def prey(self) -> str | None:
        """The prey it names."""
        sense = self.sense("prey")
        return sense.value if sense else None


@dataclass(frozen=True)
class Tagged:
    """A message taken apart: its tokens, items, and the roster's index."""

    text: str
    tokens: tuple[Token, ...]
    items: tuple[Item, ...]
    index: RosterIndex
