"""`rackside backup` and `rackside restore`."""

from __future__ import annotations

import os
from argparse import Namespace
from collections.abc import Sequence
from datetime import datetime
from pathlib import Path
from zoneinfo import ZoneInfo

from bot.app import SystemClock, machine_zone
from bot.backup.making import Source, make
from bot.backup.manifest import Manifest
from bot.backup.place import Place
from bot.backup.restoring import restore
from bot.settings import data_folder, load_settings


def backup(options: Namespace) -> int:
    """Make a backup of the data folder and its database in one file, and check it."""
    place = place_of(options.data)
    now = SystemClock().now()
    made = make(Source(place.folder, place.name, place.take), options.file, now, replace=options.replace)
    print(f"{made.path}: {_size(made.size)}, {_what(made.manifest)}, read back and found whole.")
    _tell_missing(made.manifest.missing)
    if (place.folder / "matrix").is_dir():
        print("The Matrix login is not in it: one device cannot be in two places. Elsewhere, log in anew.")
    return 0


def put_back(options: Namespace) -> int:
    """Put a backup back."""
    place = place_of(options.data)
    done = restore(options.file, place, SystemClock().now(), replace=options.replace)
    print(f"{place.name} is now as it was on {_day(done.manifest.made_at)}: {_what(done.manifest)}.")
    if done.aside is not None:
        print(f"What was there before is in {done.aside}.")
    if done.own_settings:
        print(f"{place.folder / 'settings.toml'} was left as it is; the backup has another one.")
    _tell_missing(done.missing)
    return 0


def place_of(asked: Path | None) -> Place:
    """Where the records are kept, by the option --data and the environment."""
    folder = data_folder(asked, os.environ)
    return Place.of(folder, load_settings(folder, os.environ))


def _what(manifest: Manifest) -> str:
    return f"{_number(manifest.entries, 'entry', 'entries')} and {_number(len(manifest.photos), 'photo', 'photos')}"


def _tell_missing(names: Sequence[str]) -> None:
    if len(names) == 1:
        print(f"1 photo is missing or spoilt: {names[0]}.")
    elif names:
        print(f"{len(names)} photos are missing or spoilt; the first: {min(names)}.")


def _number(count: int, one: str, many: str) -> str:
    return f"{f'{count:,}' if count else 'no'} {one if count == 1 else many}"


def _size(count: int) -> str:
    return f"{count / 1_000_000:,.1f} MB" if count >= 1_000_000 else f"{count / 1_000:,.0f} kB"


def _day(moment: datetime) -> str:
    return f"{moment.astimezone(ZoneInfo(machine_zone())):%a %-d %b %Y, %H:%M}"
