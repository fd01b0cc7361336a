"""How animals kept singly are doing together, such as the slings of one brood in pots of their own."""

from __future__ import annotations

from collections.abc import Sequence

from bot.answers.heads import events_of
from bot.answers.view import Target, View
from bot.care.intervals import zero_losses
from bot.care.survival import HANDFUL, Life, survival_curve, told_until
from bot.wording import say_share
from storage.journal import EntryRow

SHOWN_DAYS = 4


def said_of_singles(view: View, animals: Sequence[Target]) -> list[str]:
    """How many live, died and left of these animals, and the share alive by the days since each one's own beginning."""
    ends = [_end(view, one) for one in animals]
    died = [entry for entry in ends if entry is not None and entry.kind == "death"]
    left = [entry for entry in ends if entry is not None and entry.kind == "departure"]
    days = ", ".join(view.bare_day(entry.on) for entry in died[:SHOWN_DAYS] if entry.on is not None)
    more = f" and {len(died) - SHOWN_DAYS} more" if len(died) > SHOWN_DAYS else ""
    parts = [
        f"{len(animals) - len(died) - len(left)} alive",
        f"{len(died)} died ({days}{more})" if died else "no death told",
        *([f"{len(left)} sold or given on"] if left else []),
    ]
    head = f"{len(animals)} kept singly: {', '.join(parts)}. Those taken off the roster are not among them."
    return [head, *_survival([_life(view, one, end) for one, end in zip(animals, ends, strict=True)])]


def _end(view: View, animal: Target) -> EntryRow | None:
    """The entry by which an animal died or left; None while it is here."""
    found = view.history(animal, ("death", "departure"), limit=1)
    return found[0] if found else None


def _life(view: View, animal: Target, end: EntryRow | None) -> Life:
    """The days from its set-up to its end or to today."""
    events = [] if animal.occupant is None else events_of(view, animal.occupant)
    began = next((event.on for event in events if event.what == "start"), view.today)
    until = view.today if end is None or end.on is None else end.on
    return Life(max(0, (until - began).days), died=end is not None and end.kind == "death")


def _survival(lives: Sequence[Life]) -> list[str]:
    if len(lives) < HANDFUL:
        return ["Too few for a rate."]
    longest = max(life.days for life in lives)
    if not longest:
        return []
    if not any(life.died for life in lives):
        bound = say_share(zero_losses(len(lives)).exact)
        return [
            f"No loss among {len(lives)} in up to {longest:.0f} days: the chance of one is at most {bound} (exact, one-sided 95 %)."
        ]
    curve = survival_curve(lives)
    days = told_until(curve) or curve.until
    step = curve.step_at(days)
    chance = f", 95 % interval {say_share(*step.log_log)}" if step is not None and step.log_log else ""
    alive = say_share(curve.survival_at(days))
    return [
        f"Alive after {days:.0f} days: {alive} (Kaplan-Meier, each from its own first day{chance}; {len(lives)} animals)."
    ]
