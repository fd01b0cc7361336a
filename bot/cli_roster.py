"""`rackside roster import` and `rackside roster export`."""

from __future__ import annotations

import os
from argparse import Namespace

from bot.errors import RacksideError
from bot.household import opened
from bot.roster_file import load_roster, roster_text
from bot.settings import data_folder, load_settings


class ExportFault(RacksideError):
    """The roster cannot be written where it should go; the message is a sentence for the keeper."""


def bring_in(options: Namespace) -> int:
    """Add the places and animals of a file to the collection, and print a line for each."""
    roster = load_roster(options.file)
    folder = data_folder(options.data, os.environ)
    with opened(
        folder, load_settings(folder, os.environ), zone=roster.zone, collection=options.collection
    ) as household:
        for line in household.bring_in(roster):
            print(line)
    return 0


def write_out(options: Namespace) -> int:
    """Write the roster to a file, or print it."""
    folder = data_folder(options.data, os.environ)
    with opened(folder, load_settings(folder, os.environ), collection=options.collection) as household:
        text = roster_text(household.roster)
    if options.file is None:
        print(text, end="")
        return 0
    try:
        options.file.write_text(text, encoding="utf-8")
    except OSError as fault:
        raise ExportFault(f"{options.file} cannot be written: {fault.strerror or fault}.") from fault
    return 0
