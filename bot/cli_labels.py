"""`rackside labels`: a sheet of labels for the enclosures."""

from __future__ import annotations

import secrets
from argparse import Namespace
from collections.abc import Sequence

from bot.answers.view import Place, View
from bot.cli_folder import meant, save
from bot.conversation.labels import HERE
from bot.errors import RacksideError
from bot.household import Household
from bot.labels import PAPERS, SIZES, Label, link
from bot.wording import join_names
from storage import chats, labels
from storage.roster import EnclosureRow

TELEGRAM = "telegram"


class NoLabels(RacksideError):
    """There is nothing to print; the message is a sentence for the keeper."""


def labels_pdf(household: Household, only: Sequence[str], bot: str | None, paper: str, size: str) -> tuple[bytes, int]:
    """The sheet as a PDF, and how many labels are on it. Raises NoLabels and LabelFault with the sentence."""
    from bot.labels.sheet import sheet  # noqa: PLC0415 - it loads the PDF library

    with household.app.store.write() as session:
        view = View.open(session, household.collection.id, household.app.clock.now())
        name = bot or _bot_name(view)
        wanted = _chosen(view, only)
        made = [
            Label(place.name, _line(view, place), link(name.removeprefix("@"), f"{HERE}{_code(view, place)}"))
            for place in wanted
        ]
    return sheet(made, PAPERS[paper], SIZES[size]), len(made)


def print_labels(options: Namespace) -> int:
    """Write the sheet to a file."""
    with meant(options) as household:
        pdf, number = labels_pdf(household, options.only or (), options.bot, options.paper, options.size)
    save(options.pdf, pdf)
    print(f"{options.pdf}: {number} {'label' if number == 1 else 'labels'}, {options.size}, on {options.paper}.")
    return 0


def _bot_name(view: View) -> str:
    account = chats.account(view.session, TELEGRAM)
    if account is None or account.name is None:
        raise NoLabels(
            "The labels open a chat with your bot, and I do not know its name yet: use `rackside run` once, or --bot NAME."
        )
    return account.name


def _chosen(view: View, only: Sequence[str]) -> list[EnclosureRow]:
    """The places to print: all that are in use, or those of these names and tags."""
    every = [place for place in view.roster.enclosures if place.closed_on is None]
    wanted = {one.strip().casefold(): one.strip() for one in only}
    if wanted:
        known = {word for place in every for word in _words(place)}
        unknown = [one for key, one in wanted.items() if key not in known]
        if unknown:
            raise NoLabels(f"There is no place and no tag called {join_names(unknown)}.")
        every = [place for place in every if wanted.keys() & _words(place)]
    if not every:
        raise NoLabels("There is no place on the roster yet, so there are no labels to print.")
    return every


def _words(place: EnclosureRow) -> set[str]:
    return {word.casefold() for word in (place.name, *place.aliases, *place.tags)}


def _line(view: View, place: EnclosureRow) -> str:
    """Who lives there."""
    found: list[Place] = [one for one in view.places if one.enclosure is not None and one.enclosure.id == place.id]
    return join_names([row.name for one in found for row in one.residents if row.name != place.name])


def _code(view: View, place: EnclosureRow) -> str:
    return labels.label_of(view.session, view.collection_id, place.id, lambda: secrets.token_urlsafe(9))
