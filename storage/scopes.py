"""Whose entries a look at a whole collection is about: subjects as spans of time, for statements that take many at once."""

from __future__ import annotations

from dataclasses import dataclass
from typing import TYPE_CHECKING, Any

from sqlalchemy import DateTime, literal, select

from storage import moments
from storage.tables import Enclosure, Occupant

if TYPE_CHECKING:
    from collections.abc import Collection

    from sqlalchemy import CTE, ColumnElement


@dataclass(frozen=True, slots=True)
class Scope:
    """Which living occupants and open enclosures of a collection are meant, by id; None: all of them."""

    collection_id: int
    occupants: Collection[int] | None = None
    enclosures: Collection[int] | None = None


def occupants(scope: Scope) -> CTE:
    """Each living occupant: (subject, low, high), low and high the ends of all time."""
    return select(Occupant.id.label("subject"), *_ALWAYS).where(*living(scope)).cte("spans")


def enclosures(scope: Scope) -> CTE:
    """Each open enclosure, in the same form."""
    in_use = [Enclosure.collection_id == scope.collection_id, Enclosure.closed_on.is_(None)]
    if scope.enclosures is not None:
        in_use.append(Enclosure.id.in_(scope.enclosures))
    return select(Enclosure.id.label("subject"), *_ALWAYS).where(*in_use).cte("spans")


def living(scope: Scope) -> list[ColumnElement[bool]]:
    """SQL conditions: an occupant in scope that lives."""
    living = [Occupant.collection_id == scope.collection_id, Occupant.ended_on.is_(None)]
    return living if scope.occupants is None else [*living, Occupant.id.in_(scope.occupants)]


def about(columns: Any, subject: ColumnElement[int], *, by_occupant: bool) -> tuple[ColumnElement[bool], ...]:  # noqa: ANN401 - a table or its alias
    """SQL conditions on entry_subjects: logged of a subject, which is an occupant or an enclosure; they lead along its indexes."""
    mine, other = columns.occupant_id, columns.enclosure_id
    if not by_occupant:
        mine, other = other, mine
    return mine == subject, other.is_(None), columns.mood == "log"


_ALWAYS = (literal(moments.BEGINNING, DateTime()).label("low"), literal(moments.END, DateTime()).label("high"))
