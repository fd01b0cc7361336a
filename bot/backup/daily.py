"""The copies that are made by themselves, one a day, in a folder of their own, and thinned out.

A copy holds the database and the settings; photos lie once for all copies in the folder `photos` beside them, as links to those of the
data folder where both are on one disk. Copies made by hand, or by anything else, are never touched.
"""

from __future__ import annotations

import fcntl
import logging
import os
import re
from collections.abc import Callable, Iterator
from contextlib import contextmanager
from dataclasses import dataclass
from datetime import UTC, datetime, timedelta
from pathlib import Path
from threading import Event, Thread
from typing import Protocol
from zoneinfo import ZoneInfo

from bot.backup.faults import disk_faults
from bot.backup.making import Made, Source, make
from bot.backup.place import Place
from bot.backup.thinning import due, kept
from bot.errors import RacksideError
from storage.faults import StorageFault

FOLDER, NONE = "copies", "none"
LOCK = ".lock"
LOOK_SECONDS = 60.0
END_SECONDS = 10.0
AGAIN = timedelta(hours=1)
"""How long after one that failed the next copy is tried."""

FAILED = (
    "The daily copy of the records could not be made. {fault} What you tell me is kept as always, but there is no second copy of it; "
    "I try again every hour, and say so when it works."
)
MENDED = "The daily copy of the records is made again."

_FORM = "rackside-%Y-%m-%dT%H-%M-%SZ.zip"
_NAME = re.compile(r"rackside-\d{4}-\d\d-\d\dT\d\d-\d\d-\d\dZ\.zip")
_log = logging.getLogger(__name__)


class Clock(Protocol):
    """Where the time comes from."""

    def now(self) -> datetime:
        """This moment, aware, in UTC."""


def folder_of(data: Path, said: str | None) -> Path | None:
    """Where the copies of a data folder lie: `said` in its settings, else its folder `copies`; None where there are to be none."""
    if said is None:
        return data / FOLDER
    return None if said.casefold() == NONE else data / Path(said).expanduser()


def copies(folder: Path) -> dict[datetime, Path]:
    """The copies in a folder, by the moment (UTC) they were made, oldest first."""
    found = {}
    for path in folder.glob("rackside-*.zip"):
        if _NAME.fullmatch(path.name):
            try:
                found[datetime.strptime(path.name, _FORM).replace(tzinfo=UTC)] = path
            except ValueError:  # the 31st of a month that has none
                continue
    return dict(sorted(found.items()))


def newest(folder: Path, now: datetime) -> datetime | None:
    """When the newest copy was made; one that claims to come from the future is none."""
    return max((made for made in copies(folder) if made <= now), default=None)


def next_due(folder: Path, zone: ZoneInfo, now: datetime) -> datetime:
    """When the next copy is to be made, by the clock of the animal room."""
    last = newest(folder, now)
    return due(None if last is None else last.astimezone(zone), now.astimezone(zone))


def make_if_due(place: Place, folder: Path, zone: ZoneInfo, now: datetime) -> Made | None:
    """Make a copy and thin out the older ones, if one is due and no other process is at it. Raises BackupFault, StorageFault."""
    with disk_faults(folder):
        folder.mkdir(mode=0o700, exist_ok=True)
        with _locked(folder) as alone:
            if not alone or next_due(folder, zone, now) > now:
                return None
            source = Source(place.folder, place.name, place.take)
            made = make(source, folder / now.astimezone(UTC).strftime(_FORM), now, apart=folder)
            thin(folder, zone)
    return made


def thin(folder: Path, zone: ZoneInfo) -> list[Path]:
    """Take away the copies that are not to be kept; which they were. Raises OSError."""
    there = {made.astimezone(zone): path for made, path in copies(folder).items()}
    stay = kept(there)
    gone = [path for made, path in there.items() if made not in stay]
    for path in gone:
        path.unlink(missing_ok=True)
    return gone


@contextmanager
def copying(
    place: Place, folder: Path | None, zone: ZoneInfo, clock: Clock, tell: Callable[[str], object] = str
) -> Iterator[None]:
    """Make a copy a day, in a thread, for as long as the block runs; with no folder, none.

    `tell` is called with a sentence for the keeper when the first copy fails, and when one is made again.
    """
    if folder is None:
        yield
        return
    ended = Event()
    copier = _Copier(place, folder, zone, clock, tell)
    thread = Thread(target=copier.keep_copying, args=(ended,), name="copies", daemon=True)
    thread.start()
    try:
        yield
    finally:
        ended.set()
        thread.join(END_SECONDS)  # one that takes longer goes with the process: nothing of it has a name yet


@dataclass(slots=True)
class _Copier:
    """Who makes the copies, and whether the keeper knows that they fail."""

    place: Place
    folder: Path
    zone: ZoneInfo
    clock: Clock
    tell: Callable[[str], object]
    complained: bool = False

    def keep_copying(self, ended: Event) -> None:
        """Look again and again whether a copy is due, until told to end."""
        not_before = self.clock.now()
        while not ended.is_set():
            now = self.clock.now()
            if now >= not_before:
                try:
                    self._make_one(now)
                except Exception as fault:  # noqa: BLE001 - serving goes on, the keeper is told, and it is tried again
                    not_before = now + AGAIN
                    known = isinstance(fault, RacksideError | StorageFault)
                    _log.error("No copy was made of the records. %s", fault, exc_info=not known)
                    self._complain(str(fault) if known else "Something went wrong.")
            ended.wait(LOOK_SECONDS)

    def _make_one(self, now: datetime) -> None:
        made = make_if_due(self.place, self.folder, self.zone, now)
        if made is not None:
            _log.info("A copy of the records was made and checked: %s, %s bytes.", made.path, f"{made.size:,}")
            if self.complained:
                self.complained = not self._told(MENDED)

    def _complain(self, fault: str) -> None:
        if not self.complained:
            self.complained = self._told(FAILED.format(fault=fault))

    def _told(self, sentence: str) -> bool:
        """Tell the keeper, and say whether that could be done: where the disk is full, it may be later."""
        try:
            self.tell(sentence)
        except Exception as fault:  # noqa: BLE001 - what hinders a copy may hinder this
            _log.error("The keeper could not be told of it. %s", fault)
            return False
        return True


@contextmanager
def _locked(folder: Path) -> Iterator[bool]:
    """Whether this process is the one that may make a copy there now."""
    handle = os.open(folder / LOCK, os.O_CREAT | os.O_RDWR, 0o600)
    try:
        try:
            fcntl.flock(handle, fcntl.LOCK_EX | fcntl.LOCK_NB)
        except BlockingIOError:
            yield False
        else:
            yield True
    finally:
        os.close(handle)
