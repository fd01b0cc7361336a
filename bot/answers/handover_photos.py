"""The photos that show one animal or group and nobody else, for a hand-over sheet."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass
from datetime import date
from itertools import islice
from pathlib import Path

from bot.answers.handover_told import Company, Eraser
from bot.answers.view import View
from bot.conversation.doubts import PHOTO_ALONE
from bot.conversation.heads import heads
from bot.conversation.photo_files import path_of
from bot.handover import Picture
from storage import inbox, photos, stays
from storage.journal import EntryRow, Subject
from storage.photos import PhotoRow
from storage.roster import OccupantRow

MOST = 6
_ALL = 1_000_000


@dataclass(frozen=True, slots=True)
class Album:
    """Photos from old to new, whether there are older ones, and how many could not be printed."""

    pictures: tuple[Picture, ...] = ()
    older: bool = False
    unseen: int = 0


@dataclass(frozen=True, slots=True)
class _Shown:
    photo: PhotoRow
    on: date
    rows: tuple[EntryRow, ...]


def album_of(view: View, row: OccupantRow, since: date | None, until: date, eraser: Eraser | None) -> Album:
    """The newest photos of some days; with an eraser each has the notes that were told with it, others' names put out."""
    # One by one, since each costs some looking up: nobody waits for hundreds of which six are printed.
    shown = _shown(view, row, since, until)
    if view.folder is None:
        return Album(unseen=sum(1 for _ in islice(shown, MOST)))
    made: list[Picture] = []
    unseen = 0
    while len(made) < MOST and (one := next(shown, None)) is not None:
        picture = _printed(view.folder, one, eraser)
        made += [] if picture is None else [picture]
        unseen += picture is None
    return Album(tuple(reversed(made)), next(shown, None) is not None, unseen)


def _shown(view: View, row: OccupantRow, since: date | None, until: date) -> Iterator[_Shown]:
    """The photos that show it alone, newest first."""
    company = Company(view, row)
    places = {one.enclosure_id for one in stays.stays(view.session, row.id)}
    subjects = [Subject(occupant_id=row.id), *(Subject(enclosure_id=place) for place in sorted(places))]
    for photo in photos.latest(view.session, view.collection_id, subjects, _ALL):
        on = _sent_on(view, photo)
        rows = tuple(head.row for head in heads(view.session, photo.about_id))
        alone = bool(rows) and all(company.alone(one) for one in rows)
        if alone and on is not None and on <= until and (since is None or on >= since):
            yield _Shown(photo, on, rows)


def _sent_on(view: View, photo: PhotoRow) -> date | None:
    message = inbox.row(view.session, photo.inbox_id)
    return None if message is None else message.sent_at.astimezone(view.zone).date()


def _printed(folder: Path, shown: _Shown, eraser: Eraser | None) -> Picture | None:
    from bot.handover.photos import printable_photo  # noqa: PLC0415 - it loads the picture library, and most answers do without

    photo = shown.photo
    try:
        content = (folder / path_of(photo.digest or "", photo.media_type)).read_bytes()
    except OSError:
        return None
    ready = printable_photo(content)
    if ready is None:
        return None
    notes = (
        [] if eraser is None else [one.words for one in shown.rows if one.kind == "note" and one.words != PHOTO_ALONE]
    )
    words = "" if eraser is None or not notes else eraser.erased(" ".join(notes))
    return Picture(shown.on, ready.content, ready.width, ready.height, words)
