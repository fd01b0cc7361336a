"""`rackside picture`: the pictures of the chat, saved as files."""

from __future__ import annotations

import sys
from argparse import Namespace
from typing import TYPE_CHECKING
from zoneinfo import ZoneInfo

from bot.answers.pictures import WHOSE, drawing_of, theme_of
from bot.answers.view import View
from bot.channels.console import print_line, safe
from bot.cli_folder import meant, save
from bot.household import Household

if TYPE_CHECKING:
    from bot.language.meaning import Ask

NOTHING = 1


def picture(options: Namespace) -> int:
    """Draw what the words ask for and say what it shows; 0 where it was drawn, 1 where there is nothing to draw."""
    with meant(options) as household:
        ask = asked(household, options.words)
        with household.app.store.read() as session:
            view = View.open(session, household.collection.id, household.app.clock.now())
            found = WHOSE if ask is None else drawing_of(ask, view)
        if ask is None or isinstance(found, str):
            print_line(safe(str(found)), sys.stdout)
            return NOTHING
        if options.out is not None:
            save(options.out, found.paint("dark" if options.dark else theme_of(ask)))
    print_line(safe(found.caption), sys.stdout)
    last = f"Saved as {options.out}." if options.out else "Add --out FILE.png to save the picture."
    print_line(safe(last), sys.stdout)
    return 0


def asked(household: Household, words: str) -> Ask | None:
    """The picture that words ask for, with or without saying that it is one; None where they ask for none."""
    zone = ZoneInfo(household.collection.zone)
    now = household.app.clock.now().astimezone(zone).replace(tzinfo=None)
    for text in (words, f"chart of {words}"):
        ask = household.app.language.read(text, now, household.roster).ask
        if ask is not None and ask.about == "picture":
            return ask
    return None
