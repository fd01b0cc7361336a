"""Labels of enclosures, and the enclosure that a member stands before."""

from __future__ import annotations

from dataclasses import dataclass
from typing import TYPE_CHECKING

from sqlalchemy import delete, select

from storage import households
from storage.tables import Focus, Label

if TYPE_CHECKING:
    from collections.abc import Callable
    from datetime import datetime

    from sqlalchemy.orm import Session


@dataclass(frozen=True, slots=True)
class LabelRow:
    """The code on the label of an enclosure."""

    code: str
    collection_id: int
    enclosure_id: int


def label_of(session: Session, collection_id: int, enclosure_id: int, new_code: Callable[[], str]) -> str:
    """The code of an enclosure's label: the one it has, else a new one, which it keeps."""
    households.hold(session, collection_id)
    found = session.scalar(select(Label).where(Label.enclosure_id == enclosure_id))
    if found is None:
        found = Label(code=new_code(), collection_id=collection_id, enclosure_id=enclosure_id)
        session.add(found)
        session.flush()
    return found.code


def by_code(session: Session, code: str) -> LabelRow | None:
    """The label with this code, None when there is none."""
    found = session.get(Label, code)
    return None if found is None else LabelRow(found.code, found.collection_id, found.enclosure_id)


def stand_before(session: Session, member_id: int, enclosure_id: int, until: datetime) -> None:
    """A member stands before an enclosure, up to a moment; another one before it is forgotten."""
    found = session.get(Focus, member_id)
    if found is None:
        session.add(Focus(member_id=member_id, enclosure_id=enclosure_id, until=until))
    else:
        found.enclosure_id, found.until = enclosure_id, until
    session.flush()


def stands_before(session: Session, member_id: int, now: datetime) -> int | None:
    """The enclosure that a member stands before now, None for none."""
    found = session.get(Focus, member_id)
    return found.enclosure_id if found is not None and now < found.until else None


def walk_away(session: Session, member_id: int) -> None:
    """A member stands before no enclosure any more."""
    session.execute(delete(Focus).where(Focus.member_id == member_id))
