"""`rackside collection`: several collections on one bot, each apart from the others."""

from __future__ import annotations

import os
from argparse import Namespace
from collections.abc import Iterator

from bot.app import App, machine_zone
from bot.cli_run import print_code
from bot.conversation.limits import clean_name
from bot.household import Household, opened
from bot.settings import SettingsFault, data_folder, is_zone, load_settings
from storage import households, roster
from storage.households import CollectionRow


def add(options: Namespace) -> int:
    """Begin one more collection, and print a code for its owner."""
    if options.zone is not None and not is_zone(options.zone):
        raise SettingsFault(f"{options.zone!r} is not a time zone that I know; write one like 'Europe/Lisbon'.")
    folder = data_folder(options.data, os.environ)
    with opened(folder, load_settings(folder, os.environ)) as household:
        made = begin(household.app, options.name, options.zone, options.units)
        print(f"Begun: “{made.name}”, {made.zone}. At the terminal it is meant by --collection “{made.name}”.")
        print_code(Household(household.app, made.name), "owner")
    return 0


def begin(app: App, name: str, zone: str | None, units: str) -> CollectionRow:
    """One collection more. Raises NameTaken, and Refusal for a name that cannot be one."""
    made = app.add_collection(clean_name(name), zone or machine_zone(), units)
    with app.store.read() as session:
        return households.collection(session, made)


def list_all(options: Namespace) -> int:
    """Print a line for each collection."""
    folder = data_folder(options.data, os.environ)
    with opened(folder, load_settings(folder, os.environ)) as household:
        for line in lines(household.app):
            print(line)
    return 0


def lines(app: App) -> Iterator[str]:
    """Each collection with how many are on its roster and may write to it, oldest first."""
    with app.store.read() as session:
        for kept in households.collections(session):
            on = roster.load(session, kept.id)
            people = households.members(session, kept.id)
            counts = (
                _number(len(on.enclosures), "place"),
                _number(len(on.occupants), "group or animal", "groups and animals"),
                _number(len(people), "member"),
            )
            yield f"{kept.name}: {', '.join(counts)}; {kept.zone}, {kept.units}"


def _number(count: int, one: str, many: str | None = None) -> str:
    return f"{count or 'no'} {one if count == 1 else many or one + 's'}"
