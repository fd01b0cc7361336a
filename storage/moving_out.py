"""One collection as plain values for its document, read piece by piece so that a long journal needs no memory."""

from __future__ import annotations

import re
from collections.abc import Callable, Iterator, Mapping, Sequence
from datetime import UTC, datetime
from typing import TYPE_CHECKING, Any

from sqlalchemy import exists, not_, select

from storage.moving_form import (
    CLOCK,
    DAY,
    ENCLOSURES,
    ENTRIES,
    MEMBERS,
    MESSAGES,
    MOMENT,
    NAMED,
    OCCUPANTS,
    PHOTOS,
    PLAIN,
    PREFERENCES,
    REFERRING,
    Part,
    Section,
    of_collection,
)
from storage.moving_names import Names
from storage.tables import (
    Alias,
    Collection,
    Entry,
    EntrySubject,
    Inbox,
    Label,
    Member,
    Preference,
    Retraction,
    RosterChange,
    StayRecord,
    Tag,
    Taught,
)

if TYPE_CHECKING:
    from sqlalchemy.orm import Session

Row = dict[str, Any]

BATCH = 500  # rows, and ids in one statement; databases limit the number of parameters

CONSOLE = "console"
IMPORT = "import"
"""The channel of messages that were read from a file: their chat is that file in this very collection, and no service has it."""
_MARKED = re.compile(r" \((?:left, \d+|moved in, [^()]*)\)$")
_OWN_TERMINAL = re.compile(r"^owner [0-9a-f]{32}$")

MOVED_IN = "moved in"
"""Stands in the address of a member, and in the chat of a message, that came with a document and opens nothing here."""


def collection_row(session: Session, collection_id: int) -> Row:
    """The collection itself."""
    kept = session.get_one(Collection, collection_id)
    return {"uid": kept.uid, "name": kept.name, "zone": kept.zone, "units": kept.units}


def waiting(session: Session, collection_id: int) -> int:
    """How many messages nobody has dealt with yet: they are in no document until they have been."""
    return len(_waiting(session, collection_id))


def rows_of(session: Session, section: Section, names: Names) -> Iterator[Row]:
    """The rows of a section, in the order in which they were made."""
    add = _ADDING.get(section.name)
    for found in _batches(session, section, names.collection_id):
        made = [_row(stored, section, names) for stored in found]
        if add is not None:
            add(session, names, [stored.id for stored in found], made)
        yield from made
        session.expunge_all()


def preference_rows(session: Session, names: Names) -> Iterator[Row]:
    """What the members want to hear unasked."""
    wanted = select(Preference).join(Member, Member.id == Preference.member_id)
    for stored in session.scalars(wanted.where(Member.collection_id == names.collection_id).order_by(Member.id)):
        yield {"member": names.name("members", stored.member_id), **_values(stored, PREFERENCES, names)}


def label_rows(session: Session, names: Names) -> Iterator[Row]:
    """The codes on the labels of the enclosures."""
    wanted = select(Label).where(Label.collection_id == names.collection_id).order_by(Label.enclosure_id)
    for stored in session.scalars(wanted):
        yield {"code": stored.code, "enclosure": names.name("enclosures", stored.enclosure_id)}


def stay_rows(session: Session, names: Names) -> Iterator[Row]:
    """Who lived where and when, as worked out from the entries."""
    order = (StayRecord.occupant_id, StayRecord.from_moment, StayRecord.from_origin, StayRecord.id)
    wanted = select(StayRecord).where(StayRecord.collection_id == names.collection_id).order_by(*order)
    for stored in session.scalars(wanted):
        yield _filled(
            occupant=names.name("occupants", stored.occupant_id),
            enclosure=names.name("enclosures", stored.enclosure_id),
            since=stored.since.isoformat() if stored.since else None,
            until=stored.until.isoformat() if stored.until else None,
            entry=names.name("entries", stored.entry_id),
        )


def _batches(session: Session, section: Section, collection_id: int) -> Iterator[Sequence[Any]]:
    model: Any = section.model
    wanted = select(model).where(of_collection(section, collection_id)).order_by(model.id).limit(BATCH)
    held = _waiting(session, collection_id)
    if section is MESSAGES:
        wanted = wanted.where(model.id.not_in(held))
    if section is PHOTOS:  # what came with a message that waits goes with it
        wanted = wanted.where(model.inbox_id.not_in(held), model.about_id.not_in(held))
    after = 0
    while found := session.scalars(wanted.where(model.id > after)).all():
        after = found[-1].id
        yield found


def _waiting(session: Session, collection_id: int) -> list[int]:
    """The messages that wait, and that nothing was written by as yet."""
    told = (Entry, Retraction, RosterChange, Taught)
    silent = [not_(exists().where(model.message_id == Inbox.id)) for model in told]
    wanted = select(Inbox.id).where(Inbox.state == "waiting", Inbox.collection_id == collection_id, *silent)
    return list(session.scalars(wanted))


def _row(stored: Any, section: Section, names: Names) -> Row:  # noqa: ANN401 - any of the models
    made = {"id": names.name(section.name, stored.id), **_values(stored, section.parts, names)}
    if section is MEMBERS:
        return _member(made)
    if section is MESSAGES:
        state = "done" if made["state"] == "waiting" else made["state"]
        return {**made, "chat": _bare(made["channel"], made["chat"]), "state": state}
    return made


def _values(stored: object, parts: Sequence[Part], names: Names) -> Row:
    told = {part.name: _written(getattr(stored, part.column), part.sort, names) for part in parts}
    return _filled(**told)


def _filled(**values: object) -> Row:
    """Values without those that say nothing."""
    return {name: value for name, value in values.items() if value is not None}


def _written(value: Any, sort: str, names: Names) -> Any:  # noqa: ANN401 - any column's value, as JSON has it
    if value is None or sort == PLAIN:
        return value
    if sort in {DAY, CLOCK}:
        return value.isoformat()
    if sort == MOMENT:
        return moment_text(value)
    return _named(value, names) if sort == NAMED else names.name(sort, value)


def _named(told: Mapping[str, Any], names: Names) -> Row:
    """Fields with the rows that they refer to by name."""
    return {
        key: names.name(REFERRING[key], value) if key in REFERRING and isinstance(value, int) else value
        for key, value in told.items()
    }


def moment_text(moment: datetime) -> str:
    """A moment as the document has it: UTC, ending in Z."""
    return moment.astimezone(UTC).replace(tzinfo=None).isoformat() + "Z"


def _member(made: Row) -> Row:
    """A member under the bare address; one that only this copy lets in no more is a member still."""
    address = made["address"]
    if MOVED_IN in (mark.group() if (mark := _MARKED.search(address)) else ""):
        made.pop("left_at", None)
    return {**made, "address": _bare(made["channel"], address)}


def _bare(channel: str, address: str) -> str:
    """An address or chat without what this database put to it to keep it apart from others."""
    while (bare := _MARKED.sub("", address)) != address:
        address = bare
    return "owner" if channel == CONSOLE and _OWN_TERMINAL.match(address) else address


def _add_subjects(session: Session, names: Names, entry_ids: Sequence[int], made: Sequence[Row]) -> None:
    by_id = dict(zip(entry_ids, made, strict=True))
    for row in made:
        row["subjects"] = []
    wanted = select(EntrySubject.entry_id, EntrySubject.occupant_id, EntrySubject.enclosure_id)
    wanted = wanted.where(EntrySubject.entry_id.in_(entry_ids), EntrySubject.named)
    for entry_id, occupant_id, enclosure_id in session.execute(
        wanted.order_by(EntrySubject.entry_id, EntrySubject.position)
    ):
        occupant = None if occupant_id is None else names.name("occupants", occupant_id)
        enclosure = None if enclosure_id is None else names.name("enclosures", enclosure_id)
        by_id[entry_id]["subjects"].append(_filled(occupant=occupant, enclosure=enclosure))


def _add_names_of_places(session: Session, _names: Names, ids: Sequence[int], made: Sequence[Row]) -> None:
    for enclosure_id, row in zip(ids, made, strict=True):
        row["aliases"] = list(
            session.scalars(select(Alias.alias).where(Alias.enclosure_id == enclosure_id).order_by(Alias.id))
        )
        row["tags"] = list(session.scalars(select(Tag.tag).where(Tag.enclosure_id == enclosure_id).order_by(Tag.id)))


def _add_names_of_occupants(session: Session, _names: Names, ids: Sequence[int], made: Sequence[Row]) -> None:
    for occupant_id, row in zip(ids, made, strict=True):
        row["aliases"] = list(
            session.scalars(select(Alias.alias).where(Alias.occupant_id == occupant_id).order_by(Alias.id))
        )


_ADDING: Mapping[str, Callable[[Session, Names, Sequence[int], Sequence[Row]], None]] = {
    ENTRIES.name: _add_subjects,
    ENCLOSURES.name: _add_names_of_places,
    OCCUPANTS.name: _add_names_of_occupants,
}
