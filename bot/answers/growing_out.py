"""How long a culture of feeders takes to grow at a temperature, by degree-days: "how long till the crickets are adult at 28C"."""

from __future__ import annotations

from collections.abc import Sequence

from bot.answers.readings import book_of, middle_of, readings_of
from bot.answers.stock_moves import colonies
from bot.answers.view import Target, View
from bot.care.growing_out import STAGES, GrowingOut, Progress, Stage, growing_out
from bot.conversation.reply import Reply
from bot.language.meaning import Ask
from bot.wording import plural, say_range, say_temperature

CRICKET = "cricket"
COMMON = {"Acheta domesticus": "house crickets", "Gryllus bimaculatus": "black field crickets"}
UNTOLD = (24.0, 30.0)
"""°C that are reckoned with where none is told or read: a warm cupboard [common practice]."""

SPAN = 1.0
"""°C either way of a last reading, which no culture keeps to exactly."""


def answer(ask: Ask, view: View) -> Reply:
    """Tell the days from a laid egg on at a temperature, for those feeders of which numbers are published."""
    feeder = str(ask.fields.get("feeder") or CRICKET)
    if feeder != CRICKET:
        return Reply(
            f"No published numbers for {plural(feeder)} are known here, so nothing is reckoned; only for crickets."
        )
    wanted = ask.fields.get("species")
    warm, where = _warmth(ask, view)
    lines = [_line(view, name, stages, warm) for name, stages in STAGES.items() if wanted in {None, name}]
    return Reply("\n".join([f"At {say_temperature(warm, view.units)}{where}, from eggs just laid:", *lines]))


def _line(view: View, name: str, stages: Sequence[Stage], warm: tuple[float, float]) -> str:
    found = growing_out(stages, Progress(stages[0], 0.0, 0), warm, view.today)
    untested = " One end lies beyond the temperatures tested." if found.untested else ""
    return f"{COMMON[name].capitalize()} ({name}): {_days(view, found)} ({'; '.join(found.sources)}).{untested}"


def _days(view: View, found: GrowingOut) -> str:
    soonest, latest = found.days
    if soonest is None or found.since is None:
        return "they do not grow: it is too cold"
    if latest is None or found.until is None:
        return f"grown in {soonest:.0f} days or more, at the cool end never"
    days = say_range([round(soonest), round(latest)])
    return f"grown in about {days} days, {view.bare_day(found.since)} to {view.bare_day(found.until)}"


def _warmth(ask: Ask, view: View) -> tuple[tuple[float, float], str]:
    """The temperature told, else about the last one read in the colony's place, else that of a warm cupboard."""
    told = ask.fields.get("temperature_c")
    if told:
        return (float(told[0]), float(told[1])), ""
    colony = colonies(view).get(CRICKET)
    readings = [] if colony is None else readings_of(view, book_of(view), Target(occupant=colony))
    last = next((value for one in readings if (value := middle_of(one.temperature_c)) is not None), None)
    if last is None:
        return UNTOLD, " (taken, as none was told)"
    return (last - SPAN, last + SPAN), " (the last reading there, give or take a degree)"
