"""The one date of a text as JSON values: what the command that reads dates writes for each line."""

from __future__ import annotations

from datetime import datetime
from typing import Any

from bot.language.dates.model import DateSpan, Prefer, Recurrence


def date_answer(text: str, ref: datetime, prefer: Prefer) -> dict[str, Any]:
    """Read the main date of a text.

    Returns `start` ("YYYY-MM-DD", "YYYY-MM-DDTHH:MM" or None), `end` (inclusive, only for a range) and `recur`
    (n, unit, weekday, time, part: those that are told; only for a repeat).
    """
    from bot.language.dates import read_dates  # noqa: PLC0415 - the package imports this module

    spans = [span for span in read_dates(text, ref, prefer) if span.surely or span.words.lower() == "now"]
    for span in spans:
        if span.recur:
            return {"start": None, "recur": _recur(span.recur)}
    dated = [span for span in spans if _start(span, ref)]
    if not dated:
        return {"start": None}
    main = (
        next((span for span in dated if span.until is None and (span.at or span.on)), dated[0])
        if dated[0].days
        else dated[0]
    )
    answer: dict[str, Any] = {"start": _start(main, ref)}
    if main.until:
        answer["end"] = main.until.isoformat()
    return answer


def _start(span: DateSpan, ref: datetime) -> str | None:
    day = span.on or (span.alternatives[0] if span.alternatives else None)
    if day is None:
        return None
    at = span.at
    if at is None and span.words.lower().endswith((" from now", " from right now")):
        at = ref.time()  # a distance counted from this very moment keeps its clock
    return f"{day.isoformat()}T{at:%H:%M}" if at else day.isoformat()


def _recur(recur: Recurrence) -> dict[str, Any]:
    told: dict[str, Any] = {"n": recur.n, "unit": recur.unit}
    if recur.weekday is not None:
        told["weekday"] = recur.weekday
    if recur.time:
        told["time"] = f"{recur.time:%H:%M}"
    if recur.part:
        told["part"] = recur.part
    return told
