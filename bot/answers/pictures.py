"""A picture of what is asked: "graph the humidity of tub 4 since March", "feeding calendar for B"."""

from __future__ import annotations

from collections.abc import Callable, Mapping
from dataclasses import replace
from typing import TYPE_CHECKING

from bot.answers.view import Target, View
from bot.conversation.reply import Attachment, Reply
from bot.language.meaning import Ask
from bot.wording import join_names

if TYPE_CHECKING:
    from bot.answers.drawing import Drawing

    Found = Drawing | str

UNSAVED = "The picture could not be saved: is the disk full, or the data folder not to be written to?"
OTHERS = "Drawn from the records. Others: head count, feeding calendar, growth, humidity, temperature, survival."
WHOSE = "Say whose picture: “head count picture of B”, “feeding calendar for B”, “graph the humidity of tub 4”."


def answer(ask: Ask, view: View) -> Reply:
    """The picture with its finding as caption; a sentence alone where there is nothing to draw."""
    found = drawing_of(ask, view)
    if isinstance(found, str):
        return Reply(found)
    if "of" not in ask.fields:
        found = replace(found, more=(*found.more, OTHERS))
    if view.folder is None:
        return Reply(found.caption)
    from bot.pictures.shelf import keep  # noqa: PLC0415 - most answers are words alone

    try:
        path = keep(view.folder, found.paint(theme_of(ask)), view.now)
    except OSError:
        return Reply(f"{found.caption}\n{UNSAVED}")
    return Reply(found.caption, files=(Attachment(path, "photo", found.file_name),))


def theme_of(ask: Ask) -> str:
    """Light, unless the question says dark."""
    return str(ask.fields.get("theme") or "light")


def drawing_of(ask: Ask, view: View) -> Found:
    """The picture that a question asks for, not drawn yet; a sentence where there is nothing to draw."""
    named = view.targets(ask.subjects) if ask.subjects else _only(view)
    if not named:
        return WHOSE
    of = str(ask.fields.get("of") or _most_useful(view, named))
    if of == "air":
        return _of_air(ask, view, named)
    animals = list(dict.fromkeys(one for target in named for one in view.animals(target)))
    lived_in = [one for one in animals if one.occupant is not None]
    if not lived_in:
        return f"Nobody lives in {join_names([one.name for one in animals])} on record, so there is nothing to draw."
    if of == "survival":
        from bot.answers.drawing_survival import draw  # noqa: PLC0415 - one picture needs one of them

        return draw(view, lived_in)
    if len(lived_in) > 1:
        return (
            f"A picture is of one alone: say {join_names([one.name for one in lived_in[:-1]])} or {lived_in[-1].name}."
        )
    return _of_one(of)(ask, view, lived_in[0])


def _only(view: View) -> list[Target]:
    """The one that must be meant where nobody is named: the only one there is."""
    return [place.unit for place in view.places] if len(view.places) == 1 else []


def _most_useful(view: View, named: list[Target]) -> str:
    """What to draw where that is not said: of a group how many there are, of an animal how it grows or else what it ate."""
    animals = [one for target in named for one in view.animals(target)]
    rows = [one.occupant for one in animals if one.occupant is not None]
    if not rows:
        return "air"
    if any(row.kind == "group" for row in rows):
        return "heads"
    return "growth" if view.history(animals[0], ("measurement",), limit=1) else "food"


def _of_air(ask: Ask, view: View, named: list[Target]) -> Found:
    if len(named) > 1:
        return (
            f"A picture is of one place alone: say {join_names([one.name for one in named[:-1]])} or {named[-1].name}."
        )
    from bot.answers.drawing_air import draw  # noqa: PLC0415 - as above

    return draw(ask, view, named[0])


def _of_one(of: str) -> Callable[[Ask, View, Target], Found]:
    from bot.answers import drawing_food, drawing_growth, drawing_heads  # noqa: PLC0415 - as above

    drawn: Mapping[str, Callable[[Ask, View, Target], Found]] = {
        "food": drawing_food.draw,
        "growth": drawing_growth.draw,
    }
    return drawn.get(of, drawing_heads.draw)
