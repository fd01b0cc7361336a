"""`rackside replay`: a season of messages from a file, replies as JSON lines."""

from __future__ import annotations

import json
import os
import sys
from argparse import Namespace
from collections.abc import Iterator
from contextlib import contextmanager
from dataclasses import replace
from datetime import UTC, datetime
from pathlib import Path
from tempfile import TemporaryDirectory

from bot.app import SetClock
from bot.errors import RacksideError
from bot.household import opened
from bot.replay import Message, ScriptFault, play, read_script, utc
from bot.roster_file import load_roster
from bot.settings import load_settings
from storage.store import FILE_NAME


class ReplayFault(RacksideError):
    """A replay cannot begin; the message is a sentence for the keeper."""


def replay(options: Namespace) -> int:
    """Play the script; 0 if every line was good, else 1 with a sentence for each bad one on standard error.

    Raises RosterFault, StorageFault, SettingsFault or ReplayFault where it cannot begin.
    """
    roster = load_roster(options.roster) if options.roster else None
    with _folder(options.keep) as folder:
        settings = replace(load_settings(folder, os.environ), database=None)  # a season that is played is no record
        zone = settings.zone or (roster.zone if roster else "UTC")
        messages, faults = _script(options.script, zone)
        for fault in faults:
            print(f"rackside: {options.script}, {fault}", file=sys.stderr)
        clock = SetClock(utc(messages[0].at, zone) if messages else datetime.fromtimestamp(0, UTC))
        with opened(folder, settings, clock, zone, lasting=options.keep is not None) as household:
            if roster is not None:
                household.bring_in(roster)
            for line in play(messages, household, clock):
                print(json.dumps(line, ensure_ascii=True), flush=True)
    return 1 if faults else 0


def _script(path: Path, zone: str) -> tuple[list[Message], list[ScriptFault]]:
    try:
        with path.open(encoding="utf-8-sig", errors="surrogateescape") as lines:
            return read_script(lines, zone)
    except OSError as fault:
        raise ReplayFault(f"{path} cannot be read: {fault.strerror or fault}.") from fault


@contextmanager
def _folder(keep: Path | None) -> Iterator[Path]:
    """The data folder of the replay: the one to be kept, or one that is thrown away afterwards."""
    if keep is None:
        with TemporaryDirectory(prefix="rackside-") as folder:
            yield Path(folder)
    elif (keep / FILE_NAME).exists():
        raise ReplayFault(f"{keep} holds a collection already; name a new folder to keep the replay in.")
    else:
        yield keep
