"""Answers to questions, one module for each kind."""

from __future__ import annotations

from collections.abc import Callable, Mapping

from bot.answers import (
    climate,
    compare,
    crowding,
    day,
    did,
    due,
    feeders,
    growing_out,
    headcount,
    help_text,
    history,
    last,
    losses,
    meters,
    next_date,
    pictures,
    same_air,
    sheet,
    size,
    stock,
    who,
    why,
)
from bot.answers.grounds import why_of
from bot.answers.history import continued
from bot.answers.view import View
from bot.conversation.reply import Reply
from bot.language.meaning import Ask
from bot.wording import join_names

__all__ = ["View", "answer", "continued", "why_of"]


def _handover(ask: Ask, view: View) -> Reply:
    from bot.answers import handover  # noqa: PLC0415 - a seventh of what the answers take to load, and seldom asked for

    return handover.answer(ask, view)


ANSWERS: Mapping[str, Callable[[Ask, View], Reply]] = {
    "air_why": meters.why,
    "climate": climate.answer,
    "compare": compare.answer,
    "crowding": crowding.answer,
    "day": day.answer,
    "did": did.answer,
    "due": due.answer,
    "feeders": feeders.answer,
    "growing_out": growing_out.answer,
    "handover": _handover,
    "headcount": headcount.answer,
    "help": help_text.answer,
    "history": history.answer,
    "last": last.answer,
    "losses": losses.answer,
    "meter": meters.answer,
    "next": next_date.answer,
    "picture": pictures.answer,
    "same_air": same_air.answer,
    "sheet": sheet.answer,
    "size": size.answer,
    "stock": stock.answer,
    "who": who.answer,
    "why": why.answer,
}
"""Every kind of question by its name, with what answers it."""


def answer(ask: Ask, view: View) -> Reply:
    """Answer a question from the journal. Names that are not on the roster are said, and nothing is made up for them."""
    unknown = [name for name in ask.subjects if view.target(name) is None]
    if unknown:
        return Reply(f"There is no {join_names(unknown)} on the roster, so nothing is written of it.")
    return ANSWERS.get(ask.about, help_text.answer)(ask, view)
