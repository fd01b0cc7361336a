"""Changes of the roster: each is written to the record of changes with its cause, so nothing is silently overwritten."""

from __future__ import annotations

from typing import TYPE_CHECKING

from sqlalchemy import delete, select

from storage import households, stays
from storage.changes import Cause, record
from storage.faults import NameTaken
from storage.names import name_key
from storage.tables import Alias, Enclosure, Occupant, Tag

if TYPE_CHECKING:
    from collections.abc import Iterable
    from datetime import date

    from sqlalchemy.orm import Session

Size = tuple[float, float, float]


def add_enclosure(  # noqa: PLR0913 - a place is these things
    session: Session,
    collection_id: int,
    name: str,
    *,
    aliases: Iterable[str] = (),
    tags: Iterable[str] = (),
    size_cm: Size | None = None,
    opened_on: date | None = None,
    cause: Cause | None = None,
) -> int:
    """Put a place on the roster; its id. Raises NameTaken when an open place has that name."""
    row = Enclosure(
        collection_id=collection_id,
        name=name,
        name_key=_free_key(session, Enclosure, collection_id, name),
        size_cm=None if size_cm is None else list(size_cm),
        opened_on=opened_on,
    )
    session.add(row)
    session.flush()
    record(session, collection_id, cause, "add_enclosure", enclosure_id=row.id, name=name, size_cm=row.size_cm)
    for alias in aliases:
        add_alias(session, enclosure_id=row.id, alias=alias, cause=cause)
    add_tags(session, row.id, tags, cause=cause)
    return row.id


def add_occupant(  # noqa: PLR0913 - an occupant is these things
    session: Session,
    collection_id: int,
    name: str,
    kind: str,
    *,
    species: str | None = None,
    aliases: Iterable[str] = (),
    count: int | None = None,
    cause: Cause | None = None,
) -> int:
    """Put a group or an animal on the roster; its id. A `placed` entry of the journal says where it lives.

    Raises NameTaken when an occupant that has not ended has that name.
    """
    key = _free_key(session, Occupant, collection_id, name)
    row = Occupant(collection_id=collection_id, name=name, name_key=key, kind=kind, species=species, count=count)
    session.add(row)
    session.flush()
    told = {"name": name, "kind": kind, "species": species, "count": count}
    record(session, collection_id, cause, "add_occupant", occupant_id=row.id, **told)
    for alias in aliases:
        add_alias(session, occupant_id=row.id, alias=alias, cause=cause)
    return row.id


def rename_enclosure(session: Session, enclosure_id: int, new_name: str, cause: Cause | None = None) -> None:
    """Give a place a new name; the old one stays as an alias. Raises NameTaken."""
    _rename(session, session.get_one(Enclosure, enclosure_id), new_name, cause)


def rename_occupant(session: Session, occupant_id: int, new_name: str, cause: Cause | None = None) -> None:
    """Give an occupant a new name; the old one stays as an alias. Raises NameTaken."""
    _rename(session, session.get_one(Occupant, occupant_id), new_name, cause)


def set_size(session: Session, enclosure_id: int, size_cm: Size | None, cause: Cause | None = None) -> None:
    """Width, depth and height of a place in centimetres."""
    row = session.get_one(Enclosure, enclosure_id)
    change = {"was": row.size_cm, "size_cm": None if size_cm is None else list(size_cm)}
    row.size_cm = change["size_cm"]
    record(session, row.collection_id, cause, "set_size", enclosure_id=enclosure_id, **change)


def set_species(session: Session, occupant_id: int, species: str | None, cause: Cause | None = None) -> None:
    """What kind of animal an occupant is."""
    row = session.get_one(Occupant, occupant_id)
    change = {"was": row.species, "species": species}
    row.species = species
    record(session, row.collection_id, cause, "set_species", occupant_id=occupant_id, **change)


def close_enclosure(session: Session, enclosure_id: int, on: date | None, cause: Cause | None = None) -> None:
    """Take a place out of use as of a day; None takes it back into use, which raises NameTaken if its name is in use by now."""
    row = session.get_one(Enclosure, enclosure_id)
    row.name_key = _free_key(session, Enclosure, row.collection_id, row.name, row.id) if on is None else None
    row.closed_on = on
    record(session, row.collection_id, cause, "close_enclosure", enclosure_id=enclosure_id, on=_iso(on))


def end_occupant(session: Session, occupant_id: int, on: date | None, cause: Cause | None = None) -> None:
    """An occupant is no more as of a day, and its stay ends; None brings it back, which raises NameTaken if its name is in use by now."""
    row = session.get_one(Occupant, occupant_id)
    row.name_key = _free_key(session, Occupant, row.collection_id, row.name, row.id) if on is None else None
    row.ended_on = on
    record(session, row.collection_id, cause, "end_occupant", occupant_id=occupant_id, on=_iso(on))
    stays.refresh(session, occupant_id)


def add_tags(session: Session, enclosure_id: int, tags: Iterable[str], cause: Cause | None = None) -> None:
    """Let these words name the enclosure (among others); one that it carries already changes nothing."""
    place = session.get_one(Enclosure, enclosure_id)
    carried = set(session.scalars(select(Tag.tag_key).where(Tag.enclosure_id == enclosure_id)))
    fresh = {name_key(tag): tag for tag in tags if name_key(tag) not in carried}
    if not fresh:
        return
    for key, tag in fresh.items():
        session.add(Tag(collection_id=place.collection_id, enclosure_id=enclosure_id, tag=tag, tag_key=key))
    record(session, place.collection_id, cause, "add_tags", enclosure_id=enclosure_id, tags=list(fresh.values()))


def add_alias(
    session: Session,
    *,
    enclosure_id: int | None = None,
    occupant_id: int | None = None,
    alias: str,
    cause: Cause | None = None,
) -> None:
    """Another name for a place or for an occupant; one that it has already changes nothing. ValueError unless exactly one is given."""
    if (enclosure_id is None) == (occupant_id is None):
        raise ValueError("an alias is of a place or of an occupant")
    owner = session.get_one(Occupant, occupant_id) if enclosure_id is None else session.get_one(Enclosure, enclosure_id)
    if name_key(alias) == name_key(owner.name) or name_key(alias) in _alias_keys(session, owner):
        return
    of = {"enclosure_id": enclosure_id, "occupant_id": occupant_id}
    session.add(Alias(collection_id=owner.collection_id, alias=alias, alias_key=name_key(alias), **of))
    record(session, owner.collection_id, cause, "add_alias", alias=alias, **of)


def _rename(session: Session, row: Enclosure | Occupant, new_name: str, cause: Cause | None) -> None:
    of, old_name = _owner(row), row.name
    new_key, old_key = name_key(new_name), name_key(old_name)
    if row.name_key is not None:
        row.name_key = _free_key(session, type(row), row.collection_id, new_name, row.id)
    row.name = new_name
    session.execute(delete(Alias).filter_by(alias_key=new_key, **of))
    if old_key != new_key and old_key not in _alias_keys(session, row):
        session.add(Alias(collection_id=row.collection_id, alias=old_name, alias_key=old_key, **of))
    record(session, row.collection_id, cause, "rename", was=old_name, name=new_name, **of)


def _owner(row: Enclosure | Occupant) -> dict[str, int | None]:
    if isinstance(row, Enclosure):
        return {"enclosure_id": row.id, "occupant_id": None}
    return {"enclosure_id": None, "occupant_id": row.id}


def _alias_keys(session: Session, row: Enclosure | Occupant) -> set[str]:
    return set(session.scalars(select(Alias.alias_key).filter_by(**_owner(row))))


def _free_key(
    session: Session, model: type[Enclosure | Occupant], collection_id: int, name: str, own_id: int | None = None
) -> str:
    """The key of a name that no other place (or occupant) in use bears. Raises NameTaken."""
    households.hold(session, collection_id)
    key = name_key(name)
    wanted = select(model.id, model.name).where(model.collection_id == collection_id, model.name_key == key)
    found = session.execute(wanted).first()
    if found is not None and found[0] != own_id:
        sort = "a place" if model is Enclosure else "a group or animal"
        raise NameTaken(f"There is {sort} called {found[1]} already; choose another name.")
    return key


def _iso(day: date | None) -> str | None:
    return None if day is None else day.isoformat()
