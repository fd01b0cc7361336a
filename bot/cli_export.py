"""`rackside export`: the records as tables, as one JSON document, and what is planned as a calendar."""

from __future__ import annotations

from argparse import Namespace
from collections.abc import Iterator
from dataclasses import replace
from datetime import datetime
from pathlib import Path
from typing import TYPE_CHECKING

from bot.answers.view import View
from bot.cli_folder import meant
from bot.household import Household
from bot.moving.faults import MovingFault
from bot.moving.whole_files import check_free, make_folder, whole
from storage import photos
from storage.moving_out import waiting

if TYPE_CHECKING:
    from sqlalchemy.orm import Session

MOST_DAYS = 3660
"""As far as the calendar may go ahead: ten years."""


def export(options: Namespace) -> int:
    """Write what is asked for, all of it as the records stood at one moment, and print a line for each file or folder."""
    if not (options.csv or options.json or options.calendar):
        raise MovingFault("Say what to write: --csv DIR, --json FILE or --calendar FILE.ics; several may be given.")
    if not 0 <= options.days <= MOST_DAYS:
        raise MovingFault(f"--days takes a number from 0 to {MOST_DAYS}, not {options.days}.")
    with meant(options) as household:
        household.app.work()  # a message that waits is in no file; most often none does
        for line in exported(household, options):
            print(line)
    return 0


def exported(household: Household, options: Namespace) -> Iterator[str]:
    """Write it; a line for each thing written, and one for what was left out. Raises MovingFault."""
    check_free((path for path in (options.json, options.calendar) if path is not None), replace=options.replace)
    if options.csv is not None:
        _check_tables(options.csv, replace=options.replace)
    now, kept = household.app.clock.now(), household.collection.id
    with household.app.store.read() as session:
        if options.json is not None:
            yield from _json(session, kept, now, options.json, household.app.files)
        if options.csv is not None:
            yield _csv(View.open(session, kept, now), options.csv, addresses=options.with_addresses)
        if options.calendar is not None:
            yield _calendar(View.open(session, kept, now), options.calendar, options.days)
        held = waiting(session, kept)
    if held:
        yield f"{held} {'message waits' if held == 1 else 'messages wait'} to be dealt with, and is in no file yet."


def _check_tables(folder: Path, *, replace: bool) -> None:
    from bot.moving.csv_journal import HEADINGS  # noqa: PLC0415 - only where tables are asked for
    from bot.moving.csv_roster import TABLES  # noqa: PLC0415

    check_free((folder / f"{name}.csv" for name in (*HEADINGS, *TABLES)), replace=replace)
    make_folder(folder)


def _json(session: Session, kept: int, now: datetime, path: Path, data: Path | None) -> Iterator[str]:
    from bot.moving.collection_out import write_document  # noqa: PLC0415 - only where it is asked for
    from bot.moving.photos_beside import folder_beside, put_beside  # noqa: PLC0415

    with whole(path) as out:
        counts = write_document(session, kept, now, out)
    yield f"{path}: {_number(counts['entries'], 'entry', 'entries')} and all else of the collection."
    copied, missing = put_beside(photos.kept(session, kept), data, path)
    if copied:
        yield f"{folder_beside(path)}: {_number(copied, 'photo', 'photos')}. Keep the folder beside {path.name}."
    if missing:
        yield f"{_number(missing, 'photo has', 'photos have')} no whole file in the data folder."


def _csv(view: View, folder: Path, *, addresses: bool) -> str:
    from bot.moving.csv_journal import write_journal  # noqa: PLC0415 - only where it is asked for
    from bot.moving.csv_roster import write_roster  # noqa: PLC0415

    metric = replace(view, units="metric")
    counts = write_journal(metric, folder) | write_roster(metric, folder, addresses=addresses)
    rows = ", ".join(f"{name} {count:,}" for name, count in counts.items())
    return f"{folder}: {len(counts)} tables, rows: {rows}."


def _calendar(view: View, path: Path, days: int) -> str:
    from bot.moving.calendar_out import calendar_of  # noqa: PLC0415 - only where it is asked for

    made, count = calendar_of(view, days)
    with whole(path) as out:
        out.write(made)
    return f"{path}: {_number(count, 'event', 'events')}, {days} days ahead."


def _number(count: int, one: str, many: str) -> str:
    return f"{count:,} {one if count == 1 else many}"
