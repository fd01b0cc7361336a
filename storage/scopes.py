"""Whose entries a look at a whole collection is about: subjects as spans of time, for statements that take many at once.

The statements are made once, with parameters for what differs; a scope gives their values.
"""

from __future__ import annotations

from dataclasses import dataclass
from typing import TYPE_CHECKING, Any

from sqlalchemy import BindParameter, DateTime, bindparam, literal, select

from storage import moments
from storage.tables import Enclosure, Occupant

if TYPE_CHECKING:
    from collections.abc import Collection

    from sqlalchemy import CTE, ColumnElement


@dataclass(frozen=True, slots=True)
class Scope:
    """Which living occupants and open enclosures of a collection are meant, by id; None, for both: all of them."""

    collection_id: int
    occupants: Collection[int] | None = None
    enclosures: Collection[int] | None = None

    @property
    def some(self) -> bool:
        """Whether only some are meant."""
        return self.occupants is not None or self.enclosures is not None

    @property
    def values(self) -> dict[str, Any]:
        """What the parameters of statements with these spans stand for."""
        ids = {"some_occupants": list(self.occupants or ()), "some_enclosures": list(self.enclosures or ())}
        return {"of_collection": self.collection_id, **(ids if self.some else {})}


def occupants(*, some: bool) -> CTE:
    """Each living occupant: (subject, low, high), low and high the ends of all time."""
    return select(Occupant.id.label("subject"), *_ALWAYS).where(*living(some=some)).cte("spans")


def enclosures(*, some: bool) -> CTE:
    """Each open enclosure, in the same form."""
    in_use = [Enclosure.collection_id == _COLLECTION, Enclosure.closed_on.is_(None)]
    if some:
        in_use.append(Enclosure.id.in_(bindparam("some_enclosures", expanding=True)))
    return select(Enclosure.id.label("subject"), *_ALWAYS).where(*in_use).cte("spans")


def living(*, some: bool) -> list[ColumnElement[bool]]:
    """SQL conditions: an occupant in scope that lives."""
    living = [Occupant.collection_id == _COLLECTION, Occupant.ended_on.is_(None)]
    return [*living, Occupant.id.in_(bindparam("some_occupants", expanding=True))] if some else living


def about(columns: Any, subject: ColumnElement[int], *, by_occupant: bool) -> tuple[ColumnElement[bool], ...]:  # noqa: ANN401 - a table or its alias
    """SQL conditions on entry_subjects: logged of a subject, which is an occupant or an enclosure; they lead along its indexes."""
    mine, other = columns.occupant_id, columns.enclosure_id
    if not by_occupant:
        mine, other = other, mine
    return mine == subject, other.is_(None), columns.mood == "log"


_COLLECTION: BindParameter[int] = bindparam("of_collection")
_ALWAYS = (literal(moments.BEGINNING, DateTime()).label("low"), literal(moments.END, DateTime()).label("high"))
