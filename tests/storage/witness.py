"""What a program sees in a database of its own schema: the journal and what rests on it, as plain JSON.

It is run under the program of a release as well (`python witness.py DATA_FOLDER`, with that program on the path), so it uses only what
every release has had.
"""

from __future__ import annotations

import json
import sys
from datetime import UTC, datetime
from typing import TYPE_CHECKING, Any
from zoneinfo import ZoneInfo

from sqlalchemy import select

from bot.answers.heads import count_of
from bot.answers.view import View
from storage import households, roster, stays
from storage.entries import EntryRow, rows
from storage.store import Store
from storage.tables import Entry
from storage.vocabulary import vocabulary

if TYPE_CHECKING:
    from sqlalchemy.orm import Session

    from storage.households import CollectionRow
    from storage.roster import RosterRows

NOW = datetime(2026, 4, 2, 12, tzinfo=UTC)
"""When it is looked at: the day after the season's last."""

Plain = dict[str, Any]


def seen(store: Store) -> list[Plain]:
    """Everything that is compared, for each collection."""
    with store.read() as session:
        return [_collection(session, kept) for kept in households.collections(session)]


def _collection(session: Session, kept: CollectionRow) -> Plain:
    known = roster.load(session, kept.id, include_closed=True)
    names = _names(known)
    return {
        "name": kept.name,
        "zone": kept.zone,
        "units": kept.units,
        "members": [[one.channel, one.address, one.name, one.role] for one in households.members(session, kept.id)],
        "enclosures": [_enclosure(one) for one in known.enclosures],
        "occupants": [_occupant(one, names) for one in known.occupants],
        "stays": {one.name: _stays(session, one.id, names) for one in known.occupants},
        "heads": _heads(session, kept, known),
        "words": vocabulary(session, kept.id),
        "entries": [_entry(one, names) for one in _journal(session, kept.id)],
    }


def _names(known: RosterRows) -> Plain:
    places = {("enclosure", one.id): one.name for one in known.enclosures}
    return {**places, **{("occupant", one.id): one.name for one in known.occupants}, ("enclosure", None): None}


def _enclosure(one: roster.EnclosureRow) -> Plain:
    size = None if one.size_cm is None else list(one.size_cm)
    names = {"name": one.name, "aliases": list(one.aliases), "tags": list(one.tags)}
    return {**names, "size_cm": size, "closed_on": _day(one.closed_on)}


def _occupant(one: roster.OccupantRow, names: Plain) -> Plain:
    return {
        "name": one.name,
        "kind": one.kind,
        "species": one.species,
        "aliases": list(one.aliases),
        "enclosure": names[("enclosure", one.enclosure_id)],
        "count": one.count,
        "ended_on": _day(one.ended_on),
    }


def _stays(session: Session, occupant_id: int, names: Plain) -> list[Any]:
    found = stays.stays(session, occupant_id)
    return [[names[("enclosure", one.enclosure_id)], _day(one.since), _day(one.until), one.entry_id] for one in found]


def _heads(session: Session, kept: CollectionRow, known: RosterRows) -> Plain:
    view = View(session, kept.id, known, NOW, ZoneInfo(kept.zone))
    counted = {one.name: count_of(view, one) for one in known.occupants}
    return {name: [count.low, count.high] for name, count in counted.items()}


def _journal(session: Session, collection_id: int) -> list[EntryRow]:
    wanted = select(Entry.id).where(Entry.collection_id == collection_id).order_by(Entry.id)
    return rows(session, list(session.scalars(wanted)))


def _entry(one: EntryRow, names: Plain) -> Plain:
    told = {"id": one.id, "by": one.member_id, "message": one.message_id, "told_at": one.told_at.isoformat()}
    what = {"kind": one.kind, "mood": one.mood, "on": _day(one.on), "at": one.at and one.at.isoformat()}
    when = {"part": one.part, "zone": one.zone, "moment": one.moment and one.moment.isoformat()}
    chain = {"supersedes": one.supersedes, "superseded_by": one.superseded_by, "origin": one.origin_id}
    subjects = [
        names[("occupant", named.occupant_id) if named.occupant_id else ("enclosure", named.enclosure_id)]
        for named in one.subjects
    ]
    holds = {"retracted": one.retracted, "current": one.current}
    return {**told, **what, **when, "subjects": subjects, "fields": one.fields, "words": one.words, **chain, **holds}


def _day(day: Any) -> str | None:  # noqa: ANN401 - a date or None
    return None if day is None else day.isoformat()


if __name__ == "__main__":
    opened = Store.open(sys.argv[1])
    json.dump(seen(opened), sys.stdout, ensure_ascii=False)
    opened.close()
