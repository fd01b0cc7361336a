"""What a clause yields before its subject and its day are settled: drafts of entries."""

from __future__ import annotations

from dataclasses import dataclass, field
from typing import TYPE_CHECKING, Any

if TYPE_CHECKING:
    from collections.abc import Callable, Iterable

    from bot.language.clauses import Clause
    from bot.language.items import Item
    from bot.language.quantities import Quantity

NOUN_LEADS = {"the", "since", "after", "last", "next", "this", "that", "my", "a"}


@dataclass(slots=True)
class Draft:
    """An entry in the making. `names` are its subjects as items; `clause` is where it was read.

    `fields` are the contract's, `made_by` the items that made each field. `missing` names fields in doubt.
    """

    kind: str
    clause: Clause
    names: list[Item]
    fields: dict[str, Any] = field(default_factory=dict)
    made_by: dict[str, list[Item]] = field(default_factory=dict)
    missing: list[str] = field(default_factory=list)
    choices: tuple[str, ...] = ()
    negated: bool = False
    stranger: str = ""  # a word that stands where a name should and is not on the roster
    subjects: tuple[str, ...] = ()
    beside: tuple[str, ...] = ()  # those named for sure in a list of which one is in doubt
    date: Item | None = None
    was: str = ""  # the kind it would have been, had it not been denied
    inherited: bool = False  # its subjects were taken over from another clause
    settled: bool = False  # it is of nobody, or its subjects are known from the start

    def put(self, name: str, value: Any, *items: Item) -> Draft:  # noqa: ANN401 - entry fields differ in type
        """Set a field and remember which words made it."""
        self.fields[name] = value
        self.made_by[name] = list(items)
        return self

    def mark(self, name: str, *items: Item) -> Draft:
        """Set a field that is either true or absent."""
        return self.put(name, bool(items), *items)

    def more(self, name: str, other: Draft) -> Draft:
        """Take over a field of another draft, with the words that made it."""
        return self.put(name, other.fields[name], *other.made_by.get(name, []))


@dataclass(slots=True)
class Scope:
    """A clause while its drafts are being made: what is not yet used, and the draft before it in the message."""

    clause: Clause
    free: list[Item]
    before: Draft | None = None
    planned: bool = False  # read as something to come: base forms count as acts

    def use(self, *items: Item | None) -> None:
        """Mark items as used up, so that no second draft takes them."""
        gone = {id(item) for item in items if item is not None}
        self.free = [item for item in self.free if id(item) not in gone]

    def use_where(self, test: Callable[[Item], object]) -> None:
        """Mark the free items that pass a test as used up."""
        self.free = [item for item in self.free if not test(item)]

    def use_all(self) -> None:
        """Mark everything as used up: the clause tells nothing more."""
        self.free = []

    def verb(self, *values: str) -> Item | None:
        """The first free item that is one of these verbs."""
        verbs = (item for item in self.free if item.verb(*values) and item.kind == "word")
        return next((item for item in verbs if not self._noun(item)), None)

    def _noun(self, item: Item) -> bool:
        """A base form after "the" or "since" is a noun ("no sign of them since the move"), as is "the landing"."""
        lead = self.clause.before(item)[-1:] if item in self.clause.items else ()
        if item.forms == {"ing"} and item.verb("arrive"):
            return bool(lead) and lead[0].text == "the"
        return item.forms == {"base"} and bool(lead) and lead[0].text in NOUN_LEADS

    def thing(self, *values: str) -> Item | None:
        """The first free item that is one of these nouns."""
        return next((item for item in self.free if item.thing(*values) and item.kind != "name"), None)

    def sense(self, category: str, *values: str) -> Item | None:
        """The first free item with a sense."""
        return next((item for item in self.free if item.sense(category, *values)), None)

    def prey(self) -> Item | None:
        """The first free word for prey that is no name."""
        return next((item for item in self.free if item.prey and item.kind == "word"), None)

    @property
    def names(self) -> list[Item]:
        """The free names."""
        return [item for item in self.free if item.kind == "name"]

    @property
    def numbers(self) -> list[Item]:
        """The free quantities."""
        return [item for item in self.free if item.kind == "number"]

    def plain(self, *texts: str) -> Item | None:
        """The first free item written so."""
        return next((item for item in self.free if item.text in texts), None)

    def number(self, *, articles: bool = False, units: bool = False) -> Item | None:
        """The first free quantity; articles and numbers with a unit only on demand."""
        for item in self.numbers:
            quantity = quantity_of(item)
            if (articles or not quantity.article) and (units or quantity.unit is None):
                return item
        return None

    def draft(self, kind: str, *used: Item | None) -> Draft:
        """A draft with all names of the clause as subjects; the items that made it are used up."""
        draft = Draft(kind, self.clause, list(self.names))
        draft.made_by["kind"] = [item for item in used if item is not None]
        self.use(*used)
        return draft


def quantity_of(item: Item) -> Quantity:
    """The quantity of an item of kind `number`; ValueError for an item that has none."""
    if item.quantity is None:
        raise ValueError(f"{item.raw!r} is no number")
    return item.quantity


def value_of(item: Item, category: str, *values: str) -> str:
    """What an item's sense of a category (and of one of the values, if given) stands for; empty where it has none."""
    sense = item.sense(category, *values)
    return sense.value if sense else ""


def words_of(items: Iterable[Item]) -> str:
    """The words of some items as they were written, in lower case."""
    return " ".join(item.raw.lower() for item in items)


def subjects_named(items: Iterable[Item]) -> tuple[str, ...]:
    """The roster names that items stand for, each once; names of which only one is meant are left out."""
    spans = [item.name for item in items if item.name and item.name.how != "either"]
    return tuple(dict.fromkeys(subject for span in spans for subject in span.subjects))


def nearest_number(scope: Scope, item: Item, *, articles: bool = False) -> Item | None:
    """The free quantity without a unit that stands nearest before an item, else the first one after it."""
    at = scope.clause.index(item)
    candidates = [number for number in scope.numbers if _counts(quantity_of(number), articles=articles)]
    before = [number for number in candidates if scope.clause.index(number) < at]
    return before[-1] if before else candidates[0] if candidates else None


def _counts(quantity: Quantity, *, articles: bool) -> bool:
    return quantity.bare or (articles and quantity.unit is None)
