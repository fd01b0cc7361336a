"""`rackside roster import` and `rackside roster export`."""

from __future__ import annotations

from argparse import Namespace

from bot.cli_folder import meant, save
from bot.roster_file import load_roster, roster_text


def bring_in(options: Namespace) -> int:
    """Add the places and animals of a file to the collection, and print a line for each."""
    roster = load_roster(options.file)
    with meant(options, zone=roster.zone) as household:
        for line in household.bring_in(roster):
            print(line)
    return 0


def write_out(options: Namespace) -> int:
    """Write the roster to a file, or print it."""
    with meant(options) as household:
        text = roster_text(household.roster)
    if options.file is None:
        print(text, end="")
    else:
        save(options.file, text)
    return 0
