"""`rackside picture`: the pictures of the chat, saved as files."""

from __future__ import annotations

import os
import sys
from argparse import Namespace
from pathlib import Path
from typing import TYPE_CHECKING
from zoneinfo import ZoneInfo

from bot.answers.pictures import WHOSE, drawing_of, theme_of
from bot.answers.view import View
from bot.channels.console import print_line, safe
from bot.errors import RacksideError
from bot.household import Household, opened
from bot.settings import data_folder, load_settings

if TYPE_CHECKING:
    from bot.language.meaning import Ask

NOTHING = 1


class NotSaved(RacksideError):
    """The file cannot be written; the message is a sentence for the keeper."""


def picture(options: Namespace) -> int:
    """Draw what the words ask for and say what it shows; 0 where it was drawn, 1 where there is nothing to draw."""
    folder = data_folder(options.data, os.environ)
    with opened(folder, load_settings(folder, os.environ), collection=options.collection) as household:
        ask = asked(household, options.words)
        with household.app.store.read() as session:
            view = View.open(session, household.collection.id, household.app.clock.now())
            found = WHOSE if ask is None else drawing_of(ask, view)
        if ask is None or isinstance(found, str):
            print_line(safe(str(found)), sys.stdout)
            return NOTHING
        if options.out is not None:
            _save(options.out, found.paint("dark" if options.dark else theme_of(ask)))
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


def _save(path: Path, content: bytes) -> None:
    try:
        path.write_bytes(content)
    except OSError as fault:
        raise NotSaved(f"{path} cannot be written: {fault.strerror or fault}.") from fault
