"""`rackside doctor`: whether everything is in order, a line for each thing looked at."""

from __future__ import annotations

import asyncio
import os
import shutil
import sys
from argparse import Namespace
from collections import Counter
from collections.abc import Iterator, Mapping
from dataclasses import dataclass
from datetime import timedelta
from pathlib import Path
from zoneinfo import ZoneInfo

from sqlalchemy import text

from bot.app import CONSOLE
from bot.backup.checkup import state_of_copies
from bot.backup.daily import folder_of
from bot.channels.matrix import credentials as matrix
from bot.conversation.photo_files import path_of
from bot.errors import RacksideError
from bot.household import Household, opened
from bot.service_settings import TOKEN, telegram_settings
from bot.settings import DATABASE_VARIABLE, SettingsFault, data_folder, load_settings
from storage import chats, households, inbox, outbox, photos
from storage.schema import HEAD

SMALL_DISK = 200_000_000
"""Free bytes below which the disk is called nearly full."""

OTHERS = 0o077
"""Permissions of everyone but the owner of a file."""

IN_DISORDER = 1


@dataclass(frozen=True, slots=True)
class Finding:
    """One thing looked at: `good`, or what is not and what to do."""

    good: bool
    text: str


def doctor(options: Namespace) -> int:
    """Look at the data folder, the database, the members, what waits, and the services; 0 where all is in order, else 1."""
    folder = data_folder(options.data, os.environ)
    settings = load_settings(folder, os.environ)
    with opened(folder, settings) as household:
        findings = [
            *look(household, folder),
            _copies(household, folder_of(folder, settings.copies)),
            *_telegram(os.environ),
            *_matrix(folder),
        ]
    for finding in findings:
        print(f"{'ok  ' if finding.good else 'LOOK'}  {finding.text}")
    return 0 if all(finding.good for finding in findings) else IN_DISORDER


def look(household: Household, folder: Path) -> Iterator[Finding]:
    """What there is to say of the data folder and of what is kept in it."""
    yield from _folder(folder)
    yield from _database(household)
    yield from _members(household)
    yield from _mail(household)
    yield from _photos(household, folder)


def _folder(folder: Path) -> Iterator[Finding]:
    if sys.platform != "win32":
        private = not folder.stat().st_mode & OTHERS
        yield Finding(private, f"data folder {folder}{'' if private else ': others may look into it; use chmod 700'}")
    free = shutil.disk_usage(folder).free
    yield Finding(free > SMALL_DISK, f"{free // 1_000_000:,} MB free on its disk")


def _database(household: Household) -> Iterator[Finding]:
    with household.app.store.read() as session:
        if session.connection().dialect.name == "sqlite":
            said = str(session.execute(text("PRAGMA quick_check(1)")).scalar())
            yield Finding(said == "ok", f"database, schema {HEAD}: {'whole' if said == 'ok' else said}")
        else:
            version = session.execute(text("SHOW server_version")).scalar()
            yield Finding(good=True, text=f"database {household.app.store.name}, PostgreSQL {version}, schema {HEAD}")
    named = os.environ.get(f"{DATABASE_VARIABLE}_FILE")
    if named:
        yield from _closed(Path(named))


def _members(household: Household) -> Iterator[Finding]:
    with household.app.store.read() as session:
        kept = households.collections(session)
        members = [row for one in kept for row in households.members(session, one.id)]
        blocked = chats.blocked(session)
    served = sorted({row.channel for row in members} - {CONSOLE})
    several = f"{_number(len(kept), 'collection')}, " if len(kept) > 1 else ""
    where = f" on {', '.join(served)}" if served else ", at the terminal alone"
    yield Finding(good=True, text=f"{several}{_number(len(members), 'member')}{where}")
    homes = {(row.channel, row.home): row.name for row in members}
    zone = ZoneInfo(household.collection.zone)
    for row in blocked:
        name = homes.get((row.channel, row.chat), "a chat that nobody here writes from")
        since = row.since.astimezone(zone)
        yield Finding(
            good=False,
            text=f"{name} on {row.channel} takes nothing from the bot since {since:%-d %b %Y, %H:%M}: pushes pause until "
            "something is written to it there",
        )


def _mail(household: Household) -> Iterator[Finding]:
    with household.app.store.read() as session:
        kept = households.collections(session)
        aside = [row for one in kept for row in inbox.set_aside_rows(session, one.id)]
        lost = [row for one in kept for row in outbox.given_up(session, one.id)]
        waiting = [row for row in outbox.waiting(session) if row.channel != CONSOLE]
    yield Finding(
        not aside, f"{_number(len(aside), 'message')} that could not be dealt with{_words(row.text for row in aside)}"
    )
    yield Finding(
        not lost,
        f"{_number(len(lost), 'message')} of the bot that {'was' if len(lost) == 1 else 'were'} not taken{_words(row.error or '' for row in lost)}",
    )
    stuck = [row for row in waiting if row.tries]
    yield Finding(
        not stuck,
        f"{_number(len(waiting), 'message')} {'waits' if len(waiting) == 1 else 'wait'} to be sent{_words(row.error or '' for row in stuck)}",
    )


def _number(count: int, name: str) -> str:
    """How many there are of a thing, as in "no messages" or "1 photo"."""
    return f"{count or 'no'} {name}{'' if count == 1 else 's'}"


def _words(found: Iterator[str]) -> str:
    """The last of the texts, in a few words."""
    texts = list(found)
    return f"; the last: “{texts[-1][:80]}”" if texts else ""


def _photos(household: Household, folder: Path) -> Iterator[Finding]:
    with household.app.store.read() as session:
        kept = photos.kept(session)
        counted = (photos.counted(session, one.id) for one in households.collections(session))
        states = sum((Counter(one) for one in counted), Counter[str]())
    missing = [digest for digest, media_type in kept if not (folder / path_of(digest, media_type)).is_file()]
    waits = f", {states['wanted']} still to be fetched" if states.get("wanted") else ""
    gone = f", {_number(len(missing), 'file')} {'is' if len(missing) == 1 else 'are'} missing" if missing else ""
    yield Finding(not missing, f"{_number(states.get('kept', 0), 'photo')}{waits}{gone}")


def _copies(household: Household, folder: Path | None) -> Finding:
    with household.app.store.read() as session:
        zone, now = ZoneInfo(household.collection.zone), household.app.clock.now()
        return Finding(*state_of_copies(session, folder, zone, now))


def _matrix(folder: Path) -> Iterator[Finding]:
    if not matrix.is_set_up(folder):
        yield Finding(good=True, text="Matrix is not set up (`rackside matrix login`)")
        return
    try:
        login = matrix.load(folder / matrix.FOLDER)
    except RacksideError as fault:
        yield Finding(good=False, text=str(fault))
        return
    yield Finding(
        good=True, text=f"Matrix: logged in as {login.user_id} at {login.homeserver}, device {login.device_id}"
    )


def _closed(path: Path) -> Iterator[Finding]:
    """What to say of a file with a secret in it that others may read."""
    path = path.expanduser()
    if path.is_file() and sys.platform != "win32" and path.stat().st_mode & OTHERS:
        yield Finding(good=False, text=f"{path} may be read by others; use chmod 600")


def _telegram(environment: Mapping[str, str]) -> Iterator[Finding]:
    try:
        telegram = telegram_settings(environment)
    except SettingsFault as fault:
        yield Finding(good=False, text=str(fault))
        return
    if telegram is None:
        yield Finding(good=True, text=f"Telegram is not set up ({TOKEN}_FILE)")
        return
    yield from _closed(Path(environment.get(f"{TOKEN}_FILE", "")))
    from bot.channels.telegram import me  # noqa: PLC0415 - only who has set it up pays for its library

    try:
        _, name = asyncio.run(asyncio.wait_for(me(telegram), timedelta(seconds=15).total_seconds()))
    except (RacksideError, TimeoutError) as fault:
        yield Finding(good=False, text=f"Telegram: {fault or 'no answer'}")
        return
    yield Finding(good=True, text=f"Telegram knows the bot as @{name}")
