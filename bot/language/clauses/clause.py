"""A clause and a sentence: the items of a message that belong together."""

from __future__ import annotations

from dataclasses import dataclass
from typing import TYPE_CHECKING

if TYPE_CHECKING:
    from bot.language.items import Item


@dataclass(frozen=True)
class Clause:
    """A stretch of a sentence that says one thing.

    `joiner` is the mark or word before it, `number` its sentence, `end` the mark after that; `headed` where it opens with
    a heading and its colon.
    """

    items: tuple[Item, ...]
    joiner: str = ""
    number: int = 0
    end: str = ""
    headed: bool = False

    @property
    def names(self) -> list[Item]:
        """The names in it."""
        return [item for item in self.items if item.kind == "name"]

    @property
    def dates(self) -> list[Item]:
        """The dates in it."""
        return [item for item in self.items if item.kind == "date"]

    @property
    def numbers(self) -> list[Item]:
        """The quantities in it."""
        return [item for item in self.items if item.kind == "number"]

    def verb(self, *values: str) -> Item | None:
        """The first of these verbs."""
        return next((item for item in self.items if item.verb(*values)), None)

    def thing(self, *values: str) -> Item | None:
        """The first of these nouns."""
        return next((item for item in self.items if item.thing(*values)), None)

    def senses(self, category: str, *values: str) -> list[Item]:
        """The items that have a sense of a category."""
        return [item for item in self.items if item.sense(category, *values)]

    def plain(self, *texts: str) -> Item | None:
        """The first item that is written as one of these words."""
        return next((item for item in self.items if item.text in texts), None)

    def index(self, item: Item) -> int:
        """Where an item stands; ValueError where it does not."""
        return self.items.index(item)

    def after(self, item: Item) -> tuple[Item, ...]:
        """What follows an item."""
        return self.items[self.index(item) + 1 :]

    def before(self, item: Item) -> tuple[Item, ...]:
        """What stands before an item."""
        return self.items[: self.index(item)]

    @property
    def texts(self) -> list[str]:
        """The words of all items."""
        return [item.text for item in self.items]


@dataclass(frozen=True)
class Sentence:
    """Items up to a full stop, with the mark that ended it; `asks` where it was opened with words that ask."""

    items: tuple[Item, ...]
    end: str
    asks: bool = False
