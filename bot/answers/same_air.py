"""The same air at another temperature: "what would tub 4 be at 26"."""

from __future__ import annotations

from bot.answers.air_words import FORMULA, say_same_air
from bot.answers.readings import Shown, book_of, readings_of, say_corrected
from bot.answers.view import Target, View
from bot.care.humid_air import COLDEST, WARMEST
from bot.conversation.meter_book import MeterBook
from bot.conversation.reply import Reply
from bot.language.meaning import Ask
from bot.wording import say_temperature


def answer(ask: Ask, view: View) -> Reply:
    """Tell the humidity that the last reading of each place with both numbers would have, no water added or lost."""
    low, high = ask.fields["temperature_c"]
    if low is None or high is None or not COLDEST <= low <= high <= WARMEST:
        return Reply(f"Air is reckoned from {COLDEST:g} to {WARMEST:g} °C.")
    book = book_of(view)
    targets = view.targets(ask.subjects)
    found = [(target, _line(view, book, target, (low, high))) for target in targets]
    lines = [line for _target, line in found if line is not None]
    without = [target.name for target, line in found if line is None]
    if not lines:
        where = f"of {', '.join(without)} " if ask.subjects else ""
        return Reply(
            f"No reading {where}gives temperature and humidity together, so the air cannot be reckoned. "
            "Tell me both: “tub 4 24C 61%”."
        )
    return Reply(
        "\n".join([*lines, f"No water added or lost; {FORMULA}. Wet soil gives more, so measure again after."])
    )


def _line(view: View, book: MeterBook, target: Target, wanted: tuple[float, float]) -> str | None:
    reading = next((one for one in readings_of(view, book, target) if one.whole), None)
    said = None if reading is None else say_same_air(reading, wanted, view.units)
    if reading is None or said is None:
        return None
    return f"{target.name}: {said}. Now {_now(view, reading)}."


def _now(view: View, reading: Shown) -> str:
    warm = say_temperature(reading.temperature_c or (), view.units)
    return f"{warm}, {say_corrected(view, reading)}, {view.day(reading.entry.on)}"
