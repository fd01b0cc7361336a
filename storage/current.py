"""Which entries still hold: neither taken back nor superseded by a correction."""

from __future__ import annotations

from typing import TYPE_CHECKING

from sqlalchemy import and_, exists, not_

from storage.tables import Entry, Retraction

if TYPE_CHECKING:
    from sqlalchemy import ColumnElement
    from sqlalchemy.orm import InstrumentedAttribute

_LATER = Entry.__table__.alias("later")


def is_current(entry_id: InstrumentedAttribute[int]) -> ColumnElement[bool]:
    """SQL condition: the entry of this id still holds. A correction that is itself taken back takes the act back with it."""
    retracted = exists().where(Retraction.entry_id == entry_id)
    superseded = exists().where(_LATER.c.supersedes == entry_id)
    return and_(not_(retracted), not_(superseded))
