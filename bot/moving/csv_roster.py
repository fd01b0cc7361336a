"""The tables of who and what there is: animals, places, stays, descent, photos, changes, words, members, messages."""

from __future__ import annotations

from collections.abc import Callable, Iterator, Mapping
from datetime import date, datetime
from pathlib import Path
from typing import Any
from zoneinfo import ZoneInfo

from sqlalchemy import select

from bot.answers.view import Target, View
from bot.answers.ward_book import heads_of
from bot.conversation.photo_files import path_of
from bot.moving.cells import Cell, listed, sheet
from storage import changes, households
from storage.entries import Subject, rows
from storage.roster import OccupantRow
from storage.tables import Enclosure, Entry, Inbox, Lineage, Member, Photo, StayRecord, Taught

Lines = Iterator[dict[str, Cell]]

ANIMALS = (
    *("name", "kind", "species", "other names", "place", "there since", "heads", "heads, at most"),
    *("heads at set-up", "last fed", "last moult", "ended on"),
)
PLACES = (
    *("name", "other names", "tags", "width (cm)", "depth (cm)", "height (cm)", "who lives there"),
    *("in use since", "closed on"),
)
_ADDRESSES = ("address", "chat")


TABLES = ("animals", "places", "stays", "descent", "photos", "changes", "words", "members", "messages")


def write_roster(view: View, folder: Path, *, addresses: bool = False) -> dict[str, int]:
    """Write these tables into a folder; how many rows each has. The view is one of metric units. Raises MovingFault."""
    at = f"({view.zone.key})"
    more = _ADDRESSES if addresses else ()
    tables: Mapping[str, tuple[tuple[str, ...], Callable[[View], Lines]]] = {
        "animals": (ANIMALS, _animals),
        "places": (PLACES, _places),
        "stays": (("who", "species", "place", "from", "until", "entry"), _stays),
        "descent": (("who", "how", "from whom", "date", "entry"), _descent),
        "photos": ((f"sent at {at}", "sent by", "of whom", "words", "state", "file", "size (bytes)"), _photos),
        "changes": ((f"told at {at}", "told by", "change", "of what is now called", "what", "words"), _changes),
        "words": ((f"told at {at}", "told by", "phrase", "means"), _words),
        "members": (("name", "role", "service", f"joined at {at}", f"left at {at}", *more), _members),
        "messages": ((f"sent at {at}", "sent by", "service", "words", "came with", "state", *more[1:]), _messages),
    }
    counts = {}
    for name, (headings, lines) in tables.items():
        with sheet(folder / f"{name}.csv", headings) as out:
            for cells in lines(view):
                out.add({heading: cell for heading, cell in cells.items() if heading not in _ADDRESSES or addresses})
            counts[name] = out.rows
    return counts


def local_text(moment: datetime | None, zone: ZoneInfo) -> str | None:
    """A moment as the clock on the wall shows it: "2026-03-02 21:05"."""
    return None if moment is None else moment.astimezone(zone).strftime("%Y-%m-%d %H:%M")


def _animals(view: View) -> Lines:
    since = _there_since(view)
    for row in view.roster.occupants:
        target = Target(occupant=row)
        heads = _heads(view, row)
        fed, moulted = view.last_taken(target), view.last(target, "moult")
        yield {
            "name": row.name,
            "kind": row.kind,
            "species": row.species,
            "other names": listed(row.aliases),
            "place": view.name_of(Subject(enclosure_id=row.enclosure_id)) if row.enclosure_id else None,
            "there since": _day(since.get(row.id)),
            "heads": heads[0],
            "heads, at most": "or more" if heads[1] is None and heads[0] is not None else _other(heads),
            "heads at set-up": row.count,
            "last fed": _day(fed.on if fed else None),
            "last moult": _day(moulted.on if moulted else None),
            "ended on": _day(row.ended_on),
        }


def _heads(view: View, row: OccupantRow) -> tuple[int | None, int | None]:
    """The head count as a range; nothing for who is no more, and where nothing is known."""
    if row.ended_on is not None:
        return 0, 0
    return (1, 1) if row.kind == "animal" else heads_of(view, row) or (None, 0)


def _other(heads: tuple[int | None, int | None]) -> int | None:
    """The upper end, where it is another."""
    return heads[1] if heads[0] is not None and heads[1] != heads[0] else None


def _there_since(view: View) -> dict[int, date | None]:
    wanted = select(StayRecord.occupant_id, StayRecord.since)
    found = view.session.execute(
        wanted.where(StayRecord.collection_id == view.collection_id, StayRecord.until.is_(None))
    )
    return {occupant_id: since for occupant_id, since in found}  # noqa: C416 - rows are not pairs to the type checker


def _places(view: View) -> Lines:
    opened = {row.id: row.opened_on for row in view.session.scalars(_of(view, Enclosure))}
    for row in view.roster.enclosures:
        width, depth, height = row.size_cm or (None, None, None)
        yield {
            "name": row.name,
            "other names": listed(row.aliases),
            "tags": listed(row.tags),
            "width (cm)": width,
            "depth (cm)": depth,
            "height (cm)": height,
            "who lives there": listed(one.name for one in view.residents(row.id)),
            "in use since": _day(opened.get(row.id)),
            "closed on": _day(row.closed_on),
        }


def _stays(view: View) -> Lines:
    species = {row.id: row.species for row in view.roster.occupants}
    order = (StayRecord.occupant_id, StayRecord.from_moment, StayRecord.from_origin)
    for stay in view.session.scalars(_of(view, StayRecord).order_by(*order)):
        yield {
            "who": view.name_of(Subject(stay.occupant_id)),
            "species": species.get(stay.occupant_id),
            "place": view.name_of(Subject(enclosure_id=stay.enclosure_id)),
            "from": _day(stay.since),
            "until": _day(stay.until),
            "entry": stay.entry_id,
        }


def _descent(view: View) -> Lines:
    known = {row.id for row in view.roster.occupants}
    for row in view.session.scalars(select(Lineage).where(Lineage.child_id.in_(known)).order_by(Lineage.id)):
        yield {
            "who": view.name_of(Subject(row.child_id)),
            "how": {"split": "split off", "join": "joined by", "brood": "brood"}.get(row.how, row.how),
            "from whom": view.name_of(Subject(row.parent_id)),
            "date": _day(row.on),
            "entry": row.entry_id,
        }


def _photos(view: View) -> Lines:
    tellers = _tellers(view)
    for photo in view.session.scalars(_of(view, Photo).order_by(Photo.id)):
        message = view.session.get_one(Inbox, photo.about_id)
        told = view.session.scalars(select(Entry.id).where(Entry.message_id == message.id).order_by(Entry.id)).all()
        about = [view.name_of(one) for entry in rows(view.session, told) if entry.current for one in entry.subjects]
        yield {
            f"sent at ({view.zone.key})": local_text(message.sent_at, view.zone),
            "sent by": tellers.get(message.member_id),
            "of whom": listed(dict.fromkeys(about)),
            "words": message.text,
            "state": photo.state,
            "file": path_of(photo.digest, photo.media_type) if photo.digest else None,
            "size (bytes)": photo.bytes,
        }


def _changes(view: View) -> Lines:
    tellers = _tellers(view)
    for row in changes.changes(view.session, view.collection_id):
        what = dict(row.what)
        action = str(what.pop("action", "")).replace("_", " ")
        owner = (what.pop("occupant_id", None), what.pop("enclosure_id", None))
        known = (owner[0] is None) != (owner[1] is None)
        said = (f"{name.replace('_', ' ')}: {_said(value)}" for name, value in what.items() if value is not None)
        yield {
            f"told at ({view.zone.key})": local_text(row.cause.told_at, view.zone),
            "told by": tellers.get(row.cause.member_id or 0),
            "change": action,
            "of what is now called": view.name_of(Subject(*owner)) if known else None,
            "what": listed(said),
            "words": row.cause.words,
        }


def _said(value: object) -> str:
    if not isinstance(value, list):
        return str(value)
    sizes = all(isinstance(one, int | float) for one in value)
    return " x ".join(f"{one:g}" for one in value) if sizes else ", ".join(map(str, value))


def _words(view: View) -> Lines:
    tellers = _tellers(view)
    for row in view.session.scalars(_of(view, Taught).order_by(Taught.id)):
        yield {
            f"told at ({view.zone.key})": local_text(row.told_at, view.zone),
            "told by": tellers.get(row.member_id or 0),
            "phrase": row.phrase,
            "means": row.means,
        }


def _members(view: View) -> Lines:
    for row in view.session.scalars(_of(view, Member).order_by(Member.id)):
        yield {
            "name": row.name,
            "role": row.role,
            "service": row.channel,
            f"joined at ({view.zone.key})": local_text(row.joined_at, view.zone),
            f"left at ({view.zone.key})": local_text(row.left_at, view.zone),
            "address": row.address,
            "chat": row.chat,
        }


def _messages(view: View) -> Lines:
    tellers = _tellers(view)
    for row in view.session.scalars(_of(view, Inbox).order_by(Inbox.id).execution_options(yield_per=500)):
        yield {
            f"sent at ({view.zone.key})": local_text(row.sent_at, view.zone),
            "sent by": tellers.get(row.member_id),
            "service": row.channel,
            "words": row.text,
            "came with": row.carries,
            "state": {"done": "dealt with", "aside": "set aside"}.get(row.state, row.state),
            "chat": row.chat,
        }


def _of(view: View, model: Any) -> Any:  # noqa: ANN401 - a table, and a statement of its rows
    """The rows of a table that are of the collection."""
    return select(model).where(model.collection_id == view.collection_id)


def _tellers(view: View) -> dict[int, str]:
    return {row.id: row.name for row in households.everyone(view.session, view.collection_id)}


def _day(day: date | None) -> str | None:
    return None if day is None else day.isoformat()
