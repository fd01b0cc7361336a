"""A document of a collection brought into one that is kept here: what is not here yet is added, and twice adds nothing.

Into an empty collection the whole document goes, and that becomes a copy of the one it was written from. Into a copy, or into
the first of all copies, goes what is new in the document. Nothing that is here is taken away. All of it happens in the
transaction of the caller.
"""

from __future__ import annotations

from collections.abc import Iterator, Mapping, Sequence
from contextlib import contextmanager
from datetime import datetime
from typing import TYPE_CHECKING, Any

from sqlalchemy import exists, select
from sqlalchemy.exc import IntegrityError

from storage import stays
from storage.moving_entries import bring_entries
from storage.moving_form import (
    CHANGES,
    ENTRIES,
    LINEAGE,
    MEMBERS,
    MESSAGES,
    PHOTOS,
    RETRACTIONS,
    SECTIONS,
    VOCABULARY,
    Section,
)
from storage.moving_members import bring_members, bring_messages, bring_preferences
from storage.moving_names import Names
from storage.moving_out import BATCH, stay_rows
from storage.moving_roster import bring_labels, bring_places_and_animals, follow_changes
from storage.moving_values import Arriving, Misfit, Place, known_zone
from storage.names import name_key
from storage.tables import Collection, Enclosure, Entry, Occupant, Photo, Retraction, Taught

if TYPE_CHECKING:
    from sqlalchemy.orm import Session

Document = Mapping[str, Any]


def is_empty(session: Session, collection_id: int) -> bool:
    """Whether a collection has nothing on its roster, nothing in its journal and no taught words."""
    kept = (Enclosure, Occupant, Entry, Taught)
    return not any(session.scalar(select(exists().where(model.collection_id == collection_id))) for model in kept)


def home_of(session: Session, uid: str) -> int | None:
    """The collection kept here that a document of this `uid` is of, None for none."""
    return session.scalar(select(Collection.id).where(Collection.uid == uid))


def bring_in(
    session: Session, collection_id: int, document: Document, now: datetime, *, admit: bool = False
) -> Arriving:
    """Add what is not here yet; what was added and what there is to say of it.

    The document has the form of its schema; the collection is empty, or the one that the document is of. With `admit` its
    members may write from their addresses, where nobody has them here. Raises Misfit, with nothing left to be kept.
    """
    arriving = Arriving(session, collection_id, Names(session, collection_id), now, admit=admit)
    _no_names_twice(document)
    if arriving.names.uid != document["collection"]["uid"]:
        _become(arriving, document["collection"])
    elif _made_here_and_gone(arriving, document):
        arriving.names.become_copy()
    with _fitting(MEMBERS):
        bring_members(arriving, document["members"])
        bring_preferences(arriving, document["preferences"])
    bring_places_and_animals(arriving, document)
    with _fitting(MESSAGES):
        bring_messages(arriving, document["messages"])
    with _fitting(ENTRIES):
        bring_entries(arriving, document["entries"])
    changed = [row for row in document["roster_changes"] if arriving.names.find(CHANGES, row["id"]) is None]
    for section in (RETRACTIONS, CHANGES, VOCABULARY, LINEAGE, PHOTOS):
        with _fitting(section):
            _bring(arriving, section, document[section.name])
    bring_labels(arriving, document["labels"])
    if not arriving.fresh:
        follow_changes(arriving, document, changed)
    _rebuild(arriving, document["stays"])
    return arriving


def _no_names_twice(document: Document) -> None:
    for section in SECTIONS:
        seen: set[str] = set()
        for number, row in enumerate(document[section.name]):
            if row["id"] in seen:
                raise Misfit((section.name, number, "id"), f"is {row['id']!r}, which a row before it is called already")
            seen.add(row["id"])


def _become(arriving: Arriving, told: Mapping[str, Any]) -> None:
    """The empty collection becomes a copy of the document's, with its name, zone and units."""
    arriving.fresh = True
    arriving.names.adopt(told["uid"])
    kept = arriving.session.get_one(Collection, arriving.collection_id)
    kept.units = told["units"]
    others = arriving.session.scalars(select(Collection.name).where(Collection.id != kept.id))
    if name_key(told["name"]) in map(name_key, others):  # at the terminal a collection is meant by its name
        arriving.remarks.append(f"It is “{kept.name}” here: there is a collection “{told['name']}” already.")
    else:
        kept.name = told["name"]
    kept.zone = known_zone(told["zone"], ("collection", "zone"))
    arriving.session.flush()


def _made_here_and_gone(arriving: Arriving, document: Document) -> bool:
    """Whether the document has rows that were made in this very database and are not in it: it was set back to an earlier state."""
    names = arriving.names
    return any(
        names.made_here(row["id"]) and names.find(section, row["id"]) is None
        for section in SECTIONS
        for row in document[section.name]
    )


def _bring(arriving: Arriving, section: Section, rows: Sequence[Mapping[str, Any]]) -> None:
    """Add those rows of a section that are not here yet."""
    fresh: list[tuple[str, dict[str, Any]]] = []
    taken_back = _taken_back(arriving) if section is RETRACTIONS else {}
    for number, row in enumerate(rows):
        if arriving.names.find(section, row["id"]) is not None:
            continue
        values = arriving.columns(row, section.parts, (section.name, number))
        if section is RETRACTIONS and values["entry_id"] in taken_back:  # by each copy for itself
            arriving.names.also(section, row["id"], taken_back[values["entry_id"]])
            continue
        fresh.append((row["id"], {**values, **_own_columns(arriving, section, values, (section.name, number))}))
        if len(fresh) == BATCH:
            arriving.insert(section, fresh)
            fresh = []
    arriving.insert(section, fresh)


def _own_columns(arriving: Arriving, section: Section, values: Mapping[str, Any], place: Place) -> dict[str, Any]:
    """The columns that a row has beside those of the document."""
    own: dict[str, Any] = {}
    if section in (CHANGES, VOCABULARY, PHOTOS):
        own["collection_id"] = arriving.collection_id
    if section is VOCABULARY:
        own["phrase_key"] = name_key(values["phrase"])
    if section is PHOTOS:
        if values["state"] == "kept" and values["digest"] is None:
            raise Misfit(place, "is a photo that is kept, and has no digest")
        # What its service would need to hand it over is in no document.
        own |= {"reference": {}, "tries": 0, "state": "lost" if values["state"] == "wanted" else values["state"]}
    return own


def _taken_back(arriving: Arriving) -> dict[int, int]:
    """The entries of this collection that are taken back already, each with its retraction."""
    of = select(Entry.id).where(Entry.collection_id == arriving.collection_id)
    wanted = select(Retraction.entry_id, Retraction.id).where(Retraction.entry_id.in_(of))
    found = arriving.session.execute(wanted)
    return {entry_id: own_id for entry_id, own_id in found}  # noqa: C416 - rows are not pairs to the type checker


def mark_photos(session: Session, collection_id: int, digests: Sequence[str], state: str) -> None:
    """The files of these photos are kept here, or did not come with the document and are lost."""
    of = (Photo.collection_id == collection_id, Photo.digest.in_(digests))
    for stored in session.scalars(select(Photo).where(*of)):
        stored.state = state
    session.flush()


def lost_photos(session: Session, collection_id: int) -> set[str]:
    """The digests of photos whose files are not here and may yet come."""
    of = (Photo.collection_id == collection_id, Photo.state == "lost", Photo.digest.is_not(None))
    return {digest for digest in session.scalars(select(Photo.digest).where(*of)) if digest is not None}


def _rebuild(arriving: Arriving, told: Sequence[Mapping[str, Any]]) -> None:
    """Work the stays out anew; those of a whole document must come out as it says. Raises Misfit."""
    stays.rebuild(arriving.session, arriving.collection_id)
    if not arriving.fresh:
        return
    own = sorted(tuple(sorted(row.items())) for row in stay_rows(arriving.session, arriving.names))
    theirs = sorted(tuple(sorted(row.items())) for row in told)
    if own != theirs:
        number = next((at for at, row in enumerate(told) if tuple(sorted(row.items())) not in own), 0)
        raise Misfit(("stays", number), "is not what the entries of the file say about who lived where")


@contextmanager
def _fitting(section: Section) -> Iterator[None]:
    """What the database will not have beside what it holds is a fault of the document."""
    try:
        yield
    except IntegrityError as fault:
        raise Misfit((section.name,), "has two rows of which there can be only one") from fault
