"""How warm and how humid it is, by the last reading: "how humid is tub 4"."""

from __future__ import annotations

from collections.abc import Callable, Mapping
from typing import Any

from bot.answers.view import Target, View
from bot.conversation.reply import Reply
from bot.language.meaning import Ask
from bot.wording import say_humidity, say_temperature

LOOKED_BACK = 200  # readings; one that gives only the temperature must not hide the last humidity


def answer(ask: Ask, view: View) -> Reply:
    """Tell the last temperature and the last humidity of each place asked about, each with its date."""
    lines = [line for target in view.targets(ask.subjects) if (line := _line(view, target, always=bool(ask.subjects)))]
    return Reply("\n".join(lines) or "No reading is written yet.")


def _line(view: View, target: Target, *, always: bool) -> str:
    say: Mapping[str, Callable[[Any], str]] = {
        "temperature_c": lambda value: say_temperature(value, view.units),
        "humidity_pct": say_humidity,
    }
    readings = view.history(target, ("reading",), limit=LOOKED_BACK)
    said = []
    for key, words in say.items():
        newest = next((entry for entry in readings if entry.fields.get(key)), None)
        if newest is not None:
            time = "" if newest.at is None else f", {newest.at:%H:%M}"
            said.append(f"{words(newest.fields[key])}, {view.day(newest.on)}{time}")
    if said:
        return f"{target.name}: {'; '.join(said)}."
    return f"No reading of {target.name} is written." if always else ""
