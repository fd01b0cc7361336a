"""Places, animals and labels on their way in."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from typing import Any

from sqlalchemy import exists, select

from storage.moving_form import ENCLOSURES, OCCUPANTS, Section
from storage.moving_values import Arriving, Misfit, Place, Row
from storage.names import name_key
from storage.tables import Alias, Enclosure, Label, Occupant, Tag

Stored = Enclosure | Occupant


def bring_places_and_animals(arriving: Arriving, document: Mapping[str, Any]) -> None:
    """Add the places, groups and animals that are not here yet, with their other names and tags. Raises Misfit."""
    for section in (ENCLOSURES, OCCUPANTS):
        for number, row in enumerate(document[section.name]):
            if arriving.names.find(section, row["id"]) is None:
                _add(arriving, section, row, (section.name, number))


def follow_changes(arriving: Arriving, document: Mapping[str, Any], changes: Sequence[Row]) -> None:
    """Give what was changed elsewhere, by these changes that are new here, the values that the document has for it."""
    for section, key in ((ENCLOSURES, "enclosure_id"), (OCCUPANTS, "occupant_id")):
        changed = {row["what"].get(key) for row in changes}
        for number, row in enumerate(document[section.name]):
            own_id = arriving.names.find(section, row["id"])
            if row["id"] in changed and own_id is not None:
                _follow(arriving, section, row, own_id, (section.name, number))


def _follow(arriving: Arriving, section: Section, row: Row, own_id: int, place: Place) -> None:
    model: Any = section.model
    stored = arriving.session.get_one(model, own_id)
    columns = arriving.columns(row, section.parts, place)
    key = _key(row)
    if key is not None and _is_taken(arriving, model, key, own_id):
        if key != stored.name_key:
            arriving.remarks.append(f"{stored.name} keeps its name here: {row['name']} is in use by another.")
        columns["name"], key = stored.name, name_key(stored.name)
        if _is_taken(arriving, model, key, own_id):
            return
    for column, value in {**columns, "name_key": key}.items():
        setattr(stored, column, value)
    arriving.session.flush()
    _add_names(arriving, stored, row)


def bring_labels(arriving: Arriving, rows: Sequence[Row]) -> None:
    """Add the codes of labels; a code that another place has, or a place that has one, keeps what it has."""
    left_out = 0
    for number, row in enumerate(rows):
        enclosure_id = arriving.row_of("enclosures", row["enclosure"], ("labels", number, "enclosure"))
        stored = arriving.session.get(Label, row["code"])
        if stored is not None and stored.enclosure_id == enclosure_id:
            continue
        has_one = arriving.session.scalar(select(exists().where(Label.enclosure_id == enclosure_id)))
        if stored is not None or has_one:
            left_out += 1
            continue
        arriving.session.add(Label(code=row["code"], collection_id=arriving.collection_id, enclosure_id=enclosure_id))
        arriving.session.flush()
        arriving.added["labels"] += 1
    if left_out:
        arriving.remarks.append(
            f"Labels that open something else here: {left_out}. Print those anew with `rackside labels`."
        )


def _add(arriving: Arriving, section: Section, row: Row, place: Place) -> None:
    model: Any = section.model
    columns = arriving.columns(row, section.parts, place)
    key = _key(row)
    if key is not None and _is_taken(arriving, model, key):
        if arriving.fresh:
            raise Misfit((*place, "name"), f"is {row['name']!r}, and another one in use is called so")
        columns["name"] = _free_name(arriving, model, row["name"])
        arriving.remarks.append(f"{row['name']} is called {columns['name']} here: there was another of that name.")
        key = name_key(columns["name"])
    stored = model(collection_id=arriving.collection_id, name_key=key, **columns)
    arriving.session.add(stored)
    arriving.session.flush()
    _add_names(arriving, stored, row)
    arriving.names.learn(section, [(row["id"], stored.id)])
    arriving.added[section.name] += 1


def _key(row: Row) -> str | None:
    """The name for comparison; None for what is closed or ended, whose name is free again."""
    return None if row.get("closed_on") or row.get("ended_on") else name_key(row["name"])


def _is_taken(arriving: Arriving, model: type[Stored], key: str, own_id: int | None = None) -> bool:
    bearer = exists().where(
        model.collection_id == arriving.collection_id, model.name_key == key, model.id != (own_id or 0)
    )
    return bool(arriving.session.scalar(select(bearer)))


def _free_name(arriving: Arriving, model: type[Stored], name: str) -> str:
    number = 2
    while _is_taken(arriving, model, name_key(f"{name} ({number})")):
        number += 1
    return f"{name} ({number})"


def _add_names(arriving: Arriving, stored: Stored, row: Row) -> None:
    """Other names and tags that it does not have yet."""
    session, of = arriving.session, {"collection_id": arriving.collection_id}
    owner = {"enclosure_id": stored.id} if isinstance(stored, Enclosure) else {"occupant_id": stored.id}
    has = set(session.scalars(select(Alias.alias_key).filter_by(**owner)))
    for alias in row["aliases"]:
        if name_key(alias) not in has:
            session.add(Alias(**of, **owner, alias=alias, alias_key=name_key(alias)))
            has.add(name_key(alias))
    carries = set(session.scalars(select(Tag.tag_key).filter_by(enclosure_id=stored.id))) if "tags" in row else set()
    for tag in row.get("tags", ()):
        if name_key(tag) not in carries:
            session.add(Tag(**of, enclosure_id=stored.id, tag=tag, tag_key=name_key(tag)))
            carries.add(name_key(tag))
    session.flush()
