"""`rackside sheet`: the hand-over sheet of one animal or lot, as a PDF or as plain text."""

from __future__ import annotations

import sys
from argparse import Namespace
from collections.abc import Iterable
from zoneinfo import ZoneInfo

from bot.answers.handover import sheet_of
from bot.answers.view import View
from bot.channels.console import print_line, safe
from bot.cli_folder import meant, save
from bot.errors import RacksideError
from bot.household import Household
from bot.language.ask_sheet import section_named
from bot.language.meaning import Ask
from bot.wording import join_names

NOTHING = 1
NEITHER = "Say where to save the PDF with --out FILE.pdf, or --text to have it in plain words."


class NoSheet(RacksideError):
    """The sheet cannot be made as it was asked for; the message is a sentence for the keeper."""


def sheet(options: Namespace) -> int:
    """Make the sheet and say where it is; 0 where it was made, 1 where it is not plain whose it is to be."""
    if options.out is None and not options.text:
        raise NoSheet(NEITHER)
    with meant(options) as household:
        with household.app.store.read() as session:
            view = View.open(session, household.collection.id, household.app.clock.now(), household.app.files)
            found = sheet_of(_asked(household, view, options), view)
        if isinstance(found, str):
            print_line(safe(found), sys.stdout)
            return NOTHING
        if options.out is not None:
            save(options.out, found.pdf())
    if options.text:
        print_line(safe(found.text()), sys.stdout)
    if options.out is not None:
        print_line(safe(f"Saved as {options.out}."), sys.stderr if options.text else sys.stdout)
    return 0


def _asked(household: Household, view: View, options: Namespace) -> Ask:
    """What is asked for: a name of the roster, closed ones too, or the words of talk ("the ones I sold to Rui")."""
    ask = None if view.target(options.whose) is not None else _in_words(household, options.whose)
    ask = ask or Ask("handover", subjects=(options.whose,))
    chosen = {"only": options.only, "without": options.without, "including": options.including}
    fields = {name: _sections(words) for name, words in chosen.items() if words}
    if ask.subjects and view.target(ask.subjects[0]) is None:
        raise NoSheet(f"There is no {ask.subjects[0]} on the roster.")
    return Ask("handover", None, ask.subjects, ask.since, ask.until, ask.days, fields={**ask.fields, **fields})


def _in_words(household: Household, words: str) -> Ask | None:
    zone = ZoneInfo(household.collection.zone)
    now = household.app.clock.now().astimezone(zone).replace(tzinfo=None)
    ask = household.app.language.read(f"sheet for {words}", now, household.roster).ask
    return ask if ask is not None and ask.about == "handover" else None


def _sections(words: Iterable[str]) -> tuple[str, ...]:
    """The sections that are named, in lists parted by commas. Raises NoSheet for a word that names none."""
    told = [word.strip() for one in words for word in one.split(",") if word.strip()]
    found = [section_named(word) for word in told]
    unknown = [word for word, section in zip(told, found, strict=True) if section is None]
    if unknown:
        raise NoSheet(
            f"A sheet has nothing called {join_names(unknown)}. It has origin, head count, moults, measurements, feeding, "
            "housing, pictures and cautions; notes and names only where you ask for them."
        )
    return tuple(section for section in found if section is not None)
