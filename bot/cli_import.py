"""`rackside import`: records brought in from a file, whatever program they come from."""

from __future__ import annotations

import os
import sys
from argparse import Namespace
from collections.abc import Iterator, Mapping, Sequence
from contextlib import contextmanager
from dataclasses import dataclass, replace
from pathlib import Path
from tempfile import TemporaryDirectory
from zoneinfo import ZoneInfo

from bot.cli_folder import meant
from bot.cli_import_asking import ask_columns, ask_order, ask_senders, offer_to_keep
from bot.errors import Stranger
from bot.household import Household, opened
from bot.interrupting import heeding_interrupts
from bot.moving.bringing import bring, up_to_now
from bot.moving.columns import WHEN, check, load_mapping
from bot.moving.forms import Form, form_of, read_told
from bot.moving.hearing import Outcome
from bot.moving.report import Report
from bot.moving.table_rows import read_roster, read_rows
from bot.moving.tables import Table, read_table
from bot.moving.text_files import read_text
from bot.moving.told import Contents, ImportFault
from bot.moving.written_days import DayAt, Order, order_of
from bot.settings import Settings, data_folder, is_zone, load_settings
from storage.store import FILE_NAME, Store

INTERRUPTED = 130
_FORMS = {"json": "JSON of an export", "csv": "a table", "lines": "lines with a day each", "chat": "a chat export"}
UNWRITTEN = "This was a trial: nothing was written."


@dataclass(slots=True)
class Days:
    """The order of days such as 03/02/2026: as the keeper set it, or as the file settles it, or asked once."""

    order: Order | None = None

    def order_for(self, days: Sequence[DayAt], in_time: bool) -> Order:  # noqa: FBT001 - as OrderFor has it
        """What comes first in the days of a file. Raises ImportFault where that is asked and not answered."""
        if self.order is None:
            self.order = order_of(days, in_time) or ask_order(days)
        return self.order


def bring_in(options: Namespace) -> int:
    """Bring a file in and print a report; 0 when all could be read, 1 when some lines could not. Raises ImportFault."""
    if options.zone is not None and not is_zone(options.zone):
        raise ImportFault(f"{options.zone!r} is no time zone; write one like Europe/Lisbon.")
    text = read_text(options.file)
    form: Form = options.form or form_of(options.file, text)
    _check(options, form)
    days = Days("day" if options.day_first else "month" if options.month_first else None)
    if form == "json":
        return _bring_collection(options)
    if form == "csv":
        return _bring_table(options, text, days)
    contents = read_told(form, options.file, text, days.order_for)
    kept, others = _of_keeper(contents, options.senders)
    return _bring_told(options, kept, others)


def _check(options: Namespace, form: Form) -> None:
    """Raise ImportFault for an option that says something about files of another form."""
    for name, given, of in (
        ("--from", options.senders, "chat"),
        ("--mapping", options.mapping, "csv"),
        ("--with-members", options.with_members, "json"),
    ):
        if given and form != of:
            raise ImportFault(f"{name} has no use here: {options.file} is {_FORMS[form]}, not {_FORMS[of]}.")


def _bring_collection(options: Namespace) -> int:
    from bot.moving.collection_in import bring_in as bring_document  # noqa: PLC0415 - the other forms do without

    with _house(options) as house:
        brought = bring_document(
            house.app.store,
            house.collection.id,
            options.file,
            house.app.clock.now(),
            folder=house.app.files,
            with_members=options.with_members,
            dry_run=options.dry_run,
        )
    print("\n".join(brought.lines()))
    return 0


def _bring_table(options: Namespace, text: str, days: Days) -> int:
    try:
        table = read_table(text)
    except ImportFault as fault:
        raise ImportFault(f"{options.file}: {fault}") from fault
    if options.mapping is None:
        roles = ask_columns(table)
    else:
        roles, order = load_mapping(options.mapping, table.heads)
        check(roles)
        days.order = days.order or order
    if set(roles) & WHEN:
        status = _bring_told(options, read_rows(table, roles, days.order_for), {})
    else:
        status = _bring_roster(options, table, roles)
    if options.mapping is None:
        offer_to_keep(table, roles, days.order)
    return status


def _bring_roster(options: Namespace, table: Table, roles: Sequence[str]) -> int:
    with _house(options) as house:
        lines = house.bring_in(read_roster(table, roles, options.zone or house.collection.zone))
    print("\n".join([*lines, UNWRITTEN] if options.dry_run else lines))
    return 0


def _of_keeper(contents: Contents, wanted: Sequence[str] | None) -> tuple[Contents, Mapping[str, int]]:
    """The keeper's messages alone, and how many there are of each other sender."""
    senders = contents.senders
    if len(senders) < 2 and not wanted:
        return contents, {}
    chosen = wanted or ask_senders(senders)
    unknown = next((name for name in chosen if not contents.of([name]).told), None)
    if unknown is not None:
        raise ImportFault(f"There is nothing of {unknown} in it; there is of {', '.join(senders) or 'nobody'}.")
    kept = contents.of(chosen)
    return kept, senders - kept.senders


def _bring_told(options: Namespace, contents: Contents, others: Mapping[str, int]) -> int:
    outcomes: list[Outcome] = []
    with _house(options) as house, heeding_interrupts() as asked:
        kept = house.collection
        zone = ZoneInfo(options.zone or kept.zone)
        contents = up_to_now(contents, zone, house.app.clock.now())
        found = bring(house.app, kept, contents, _keeper(house), again=options.again)
        for outcome in _watched(found, len(contents.told)):
            outcomes.append(outcome)
            if asked.is_set() and len(outcomes) < len(contents.told):
                break  # after the last one it is let to its end, which closes what that one left open
        stopped = len(outcomes) < len(contents.told)
        report = Report(contents, outcomes, zone, others, stopped)
    _print(report, options)
    return INTERRUPTED if stopped else 1 if contents.unreadable else 0


def _watched(outcomes: Iterator[Outcome], total: int) -> Iterator[Outcome]:
    """The same, with a bar that shows how far it is where somebody is looking."""
    if not sys.stderr.isatty() or not total:
        yield from outcomes
        return
    from rich.console import Console  # noqa: PLC0415 - only a terminal shows the bar
    from rich.progress import track  # noqa: PLC0415 - as above

    yield from track(outcomes, "Reading", total, console=Console(stderr=True), transient=True)


def _print(report: Report, options: Namespace) -> None:
    last = [UNWRITTEN] if options.dry_run else []
    if options.report is not None:
        try:
            options.report.write_text("\n".join([*report.lines(None), *last, ""]), encoding="utf-8", errors="replace")
        except OSError as fault:
            print(f"rackside: {options.report} cannot be written: {fault.strerror or fault}.", file=sys.stderr)
    print("\n".join([*report.lines(file=options.report and str(options.report)), *last]))


def _keeper(house: Household) -> str:
    """In whose name lines without a sender are written."""
    try:
        return house.owner.name
    except Stranger:
        return "owner"


@contextmanager
def _house(options: Namespace) -> Iterator[Household]:
    """The collection that is kept, or for a trial a copy of it that is thrown away."""
    if not options.dry_run:
        with meant(options, zone=options.zone) as house:
            yield house
        return
    folder = data_folder(options.data, os.environ)
    settings = load_settings(folder, os.environ)
    with TemporaryDirectory(prefix="rackside-") as spare:
        _copy(folder, settings, Path(spare))
        local = replace(settings, database=None)
        with opened(Path(spare), local, zone=options.zone, lasting=False, collection=options.collection) as house:
            yield house


def _copy(folder: Path, settings: Settings, spare: Path) -> None:
    """What is kept now, as a database in a spare folder; nothing where nothing is kept yet."""
    if settings.database is not None:
        from storage.copying import copied  # noqa: PLC0415 - only a trial with a server needs it

        source, target = Store.open(settings.database.reveal()), Store.open(spare)
        try:
            copied(source, target)
        finally:
            source.close()
            target.close()
    elif (folder / FILE_NAME).exists():
        from storage.snapshots import take  # noqa: PLC0415 - only a trial needs it

        take(folder / FILE_NAME, spare / FILE_NAME)
