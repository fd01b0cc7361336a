"""What a clause yields before its subject and its day are settled: drafts of entries."""

from __future__ import annotations

from dataclasses import dataclass, field
from typing import TYPE_CHECKING, Any

if TYPE_CHECKING:
    from bot.language.clauses import Clause
    from bot.language.items import Item


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
    date: Item | None = None
    was: str = ""  # the kind it would have been, had it not been denied
    inherited: bool = False  # its subjects were taken over from another clause

    def put(self, name: str, value: Any, *items: Item) -> Draft:  # noqa: ANN401 - entry fields differ in type
        """Set a field and remember which words made it."""
        self.fields[name] = value
        self.made_by[name] = list(items)
        return self


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

    def verb(self, *values: str) -> Item | None:
        """The first free item that is one of these verbs."""
        return next((item for item in self.free if item.verb(*values) and item.kind == "word" and not self._noun(item)), None)

    def _noun(self, item: Item) -> bool:
        """A base form after "the" or "since" is a noun: "no sign of them since the move"."""
        lead = self.clause.before(item)[-1:] if item in self.clause.items else ()
        return item.forms == {"base"} and bool(lead) and lead[0].text in {"the", "since", "after", "last", "next", "this", "that", "my", "a"}

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
            assert item.quantity is not None  # noqa: S101 - numbers have quantities
            if (articles or not item.quantity.article) and (units or item.quantity.unit is None):
                return item
        return None

    def draft(self, kind: str, *used: Item | None) -> Draft:
        """A draft with all names of the clause as subjects; the items that made it are used up."""
        draft = Draft(kind, self.clause, list(self.names))
        draft.made_by["kind"] = [item for item in used if item is not None]
        self.use(*used)
        return draft


def position(clause: Clause, item: Item) -> int:
    """Where an item stands in its clause."""
    return clause.items.index(item)


def nearest_number(scope: Scope, item: Item, *, articles: bool = False) -> Item | None:
    """The free quantity nearest before an item with only describing words between, else nearest after it."""
    clause = scope.clause
    at = position(clause, item)
    candidates = [number for number in scope.numbers if number.quantity and number.quantity.unit is None and (articles or not number.quantity.article)]
    if not candidates:
        return None
    before = [number for number in candidates if position(clause, number) < at]
    return before[-1] if before else candidates[0]
