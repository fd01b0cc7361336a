"""How big it is: the last value of each measure, and the one before it."""

from __future__ import annotations

from bot.answers.view import Target, View
from bot.conversation.reply import Reply
from bot.language.meaning import Ask
from bot.wording import say_measure
from bot.wording.terms import MEASURES
from storage.journal import EntryRow


def answer(ask: Ask, view: View) -> Reply:
    """Tell the last value with its date, and the one before, for each animal asked about."""
    targets = [one for target in view.targets(ask.subjects) for one in view.animals(target)]
    lines = [line for target in dict.fromkeys(targets) for line in _lines(view, target, always=bool(ask.subjects))]
    return Reply("\n".join(lines) or "No measurement is written yet.")


def _lines(view: View, target: Target, *, always: bool) -> list[str]:
    """One line for each measure; where nothing was measured a line that says so, if `always`."""
    measured: dict[str, list[EntryRow]] = {}
    for entry in view.history(target, ("measurement",)):
        if entry.fields.get("value"):
            measured.setdefault(str(entry.fields.get("measure") or "legspan"), []).append(entry)
    if not measured and always:
        return [f"No measurement of {target.name} is written."]
    return [_line(view, target, measure, measured[measure][:2]) for measure in sorted(measured)]


def _line(view: View, target: Target, measure: str, newest: list[EntryRow]) -> str:
    values = [f"{say_measure(entry.fields['value'], measure, view.units)}, {view.day(entry.on)}" for entry in newest]
    before = f"; before that {values[1]}" if len(values) > 1 else "; no earlier one is written"
    return f"{target.name}: {MEASURES.get(measure, measure)} {values[0]}{before}."
