"""What a push is made of: the tasks and look-ins of a collection at a moment, and what a member is asked about them."""

from __future__ import annotations

from collections.abc import Callable, Mapping, Sequence
from dataclasses import dataclass, field
from datetime import date, time
from typing import TYPE_CHECKING, Any

if TYPE_CHECKING:
    from bot.answers.view import View

MORNING, LOOK_IN, PLAN, LEFTOVERS = "morning", "look-in", "plan", "leftovers"
PURPOSES = (MORNING, LOOK_IN, PLAN, LEFTOVERS)


@dataclass(frozen=True, slots=True)
class Item:
    """One task as it stands: `state` is not yet, due, overdue or held; it is due from the day `on` up to the day `by`.

    `key` names it over days and renamings. `text` says whom it is for and what is to be done, `reason` why and since when. `plan` is the entry of the keeper's own plan that it comes from, with the time or part of day told there; `fields` are those
    of the entry that says it is done; `rests_on` are the entries it is reckoned from. `ward` is the name on the roster, "" for nobody's.
    """

    key: str
    ward: str
    kind: str
    state: str
    on: date | None
    by: date | None = None
    text: str = ""
    reason: str = ""
    plan: int | None = None
    at: time | None = None
    part: str | None = None
    fields: Mapping[str, Any] = field(default_factory=dict)
    rests_on: tuple[int, ...] = ()

    @property
    def stands(self) -> bool:
        """Whether it is to be done now."""
        return self.state in ("due", "overdue")


@dataclass(frozen=True, slots=True)
class LookIn:
    """An evening look-in after a move: `on` the evening it is for, `text` what is asked."""

    key: str
    ward: str
    on: date
    text: str


@dataclass(frozen=True, slots=True)
class Caution:
    """The words of caution that go with handling somebody; `key` names it over renamings, `ward` is the name on the roster."""

    key: str
    ward: str
    text: str


@dataclass(frozen=True, slots=True)
class Agenda:
    """What there is to do in a collection at a moment.

    Tasks in walking order, look-ins, lines of what prey to take out, and cautions about those that are to be fed or moved.
    """

    items: Sequence[Item] = ()
    look_ins: Sequence[LookIn] = ()
    totals: Sequence[str] = ()
    cautions: Sequence[Caution] = ()


Source = Callable[["View"], Agenda]
"""Gives the agenda of a collection at the moment of a view."""


@dataclass(frozen=True, slots=True)
class Point:
    """One thing that a push asks about: `sort` is task, look-in or leftovers; `push` the row it hangs on, if it has one of its own."""

    sort: str
    key: str
    ward: str
    kind: str
    on: date | None
    text: str
    push: int | None = None
    entry: int | None = None
    fields: Mapping[str, Any] = field(default_factory=dict)

    def to_json(self) -> dict[str, Any]:
        """As the question keeps it."""
        day = None if self.on is None else self.on.isoformat()
        own = {name: getattr(self, name) for name in ("sort", "key", "ward", "kind", "text", "push", "entry")}
        return {**own, "on": day, "fields": dict(self.fields)}

    @classmethod
    def from_json(cls, kept: Mapping[str, Any]) -> Point:
        """The same back."""
        day = None if kept["on"] is None else date.fromisoformat(kept["on"])
        return cls(**{**kept, "on": day})
