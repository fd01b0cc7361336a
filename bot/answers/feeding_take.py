"""From the feedings in the journal to how much of the prey was taken, before and lately."""

from __future__ import annotations

from collections.abc import Iterator
from datetime import date, timedelta

from bot.answers.view import Target, View
from bot.care.days import shifted
from bot.care.reconcile import BEFORE, LATELY, Take, TakeTrend, take_trend
from storage.journal import EntryRow

HOLDS = {"premoult": timedelta(days=14), "moult": timedelta(days=7), "move": timedelta(days=14)}
"""For how long after a sign of premoult, a moult or a move a refusal says nothing: [common practice]."""


def take_of(view: View, target: Target, on: date) -> TakeTrend | None:
    """Compare what a group took of its prey lately with what it took before; None where too few feedings tell."""
    since = shifted(on, -(LATELY + BEFORE).days)
    kinds = ("feeding", "observation", "moult", "move")
    found = view.history(target, kinds, since=shifted(since, -max(HOLDS.values()).days), until=on, limit=100_000)
    holds = list(_holds(found))
    takes = [take for entry in found if entry.kind == "feeding" for take in take_in(entry)]
    held = [take.on for take in takes if any(start <= take.on <= end for start, end in holds)]
    return take_trend(takes, on, held)


def _holds(entries: list[EntryRow]) -> Iterator[tuple[date, date]]:
    for entry in entries:
        sign = entry.kind == "observation" and "premoult" in (entry.fields.get("signs") or ())
        length = HOLDS.get("premoult" if sign else entry.kind)
        if length is not None and entry.on is not None:
            yield entry.on, entry.on + length


def take_in(entry: EntryRow) -> Iterator[Take]:
    """What was taken of what one feeding offered; nothing where the words leave it open."""
    outcome, offered = entry.fields.get("outcome"), _exact(entry.fields.get("quantity"))
    if entry.on is None or outcome is None:
        return
    if outcome in {"ate", "refused"}:
        whole = 1 if offered is None or entry.fields.get("each") else offered
        yield Take(entry.on, whole if outcome == "ate" else 0, whole)
        return
    left = _exact(entry.fields.get("uneaten"))
    if offered is not None and left is not None and left <= offered and not entry.fields.get("each"):
        yield Take(entry.on, offered - left, offered)


def _exact(value: object) -> int | None:
    """The number of an exact quantity of at least one; None for a range or none."""
    if not isinstance(value, list | tuple) or len(value) != 2 or value[0] != value[1]:
        return None
    return int(value[0]) if isinstance(value[0], int | float) and value[0] == int(value[0]) and value[0] >= 0 else None
