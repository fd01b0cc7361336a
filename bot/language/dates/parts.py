"""Rules for parts of the day: "tonight", "last night", "this arvo", "in the morning", "late evening", "before work"."""

from __future__ import annotations

from datetime import timedelta

from bot.language.dates.model import Piece
from bot.language.dates.scan import OWNED, Scan

STARTS = {"morning": 5, "afternoon": 12, "evening": 17, "night": 20}
"""The hour at which each part begins, for telling whether today's has come yet."""

SOFT = {
    ("before", "work"): "morning",
    ("after", "work"): "evening",
    ("before", "bed"): "night",
    ("before", "bedtime"): "night",
    ("at", "bedtime"): "night",
    ("bedtime",): "night",
    ("after", "lunch"): "afternoon",
    ("after", "dinner"): "evening",
    ("after", "tea"): "evening",
    ("after", "breakfast"): "morning",
    ("before", "breakfast"): "morning",
    ("first", "thing"): "morning",
    ("last", "thing"): "night",
}
LATE = frozenset({"early", "late", "earlier", "later", "mid"})
MODES = frozenset({"early", "late", "mid"})


def anchored_part(scan: Scan, at: int) -> Piece | None:
    """A part of the day that carries its own day: "tonight", "late tonight", "this morning", "last night", "this am"."""
    step = scan.skip(at, *LATE, "-") if scan.word(at) in LATE else at
    today, word = scan.frame.today, scan.word(step)
    if word == "tonight" or (word == "2" and scan.glued(step + 1) and scan.word(step + 1) in {"nite", "night"}):
        return Piece("day", at, step + (1 if word == "tonight" else 2), on=today, part="night", anchored=True)
    if word == "lastnight":
        return Piece("day", at, step + 1, on=today - timedelta(days=1), part="night", anchored=True, relation="past")
    if word == "overnight":
        on = today - timedelta(days=1) if scan.frame.past else today
        return Piece(
            "day",
            at,
            step + 1,
            on=on,
            part="night",
            anchored=True,
            relation="past" if scan.frame.past else "future",
            alternatives=(today,) if scan.frame.past else (),
        )
    if word in {"this", "last"}:
        return _chosen_part(scan, at, step)
    if word == "all" and scan.word(step + 1) in {"morning", "afternoon", "evening", "night", "arvo"}:
        part = scan.tables.parts[scan.word(step + 1)]
        return Piece("day", at, step + 2, on=today, part=part, anchored=True)
    return None


def _chosen_part(scan: Scan, at: int, step: int) -> Piece | None:
    today, this = scan.frame.today, scan.word(step) == "this"
    after = scan.skip(step + 1, *MODES, "-")
    word = scan.word(after)
    part: str | None = None if word.endswith("s") else scan.tables.parts.get(word)
    if this:
        part = {"am": "morning", "pm": "afternoon"}.get(word, part)
    if part is None or (word == "eve" and not this):
        return None
    if this:
        return Piece("day", at, after + 1, on=today, part=part, anchored=True)
    if part in {"morning", "afternoon"} and word not in {"morning", "afternoon", "arvo"}:
        return None
    return Piece("day", at, after + 1, on=today - timedelta(days=1), part=part, anchored=True, relation="past")


def bare_part(scan: Scan, at: int) -> Piece | None:
    """A part of the day alone: "in the morning", "early evening", "afternoon"; a day may stand beside it.

    Sure where words lead to it ("in the", "early") or where it is all the text says; else only beside a day.
    """
    for phrase, part in SOFT.items():
        if scan.word(at) == phrase[0] and scan.phrase(at, *phrase):
            return Piece("part", at, at + len(phrase), part=part, surely=False)
    led = _lead(scan, at)
    step = scan.skip(at, "in", "the", "during", "at", *MODES, "-", "on") if led else at
    word = scan.word(step)
    told = "afternoon" if word == "noontime" else scan.tables.parts.get(word)
    if told is None or (word.endswith("s") and word != "breakfast"):
        return None
    if led and scan.phrase(at, "for", "the"):
        return None
    last = scan.skip(step + 1, "time") if word in {"night", "lunch"} else step + 1
    alone = at == 0 and last >= len(scan)
    heads = scan.word(last) in OWNED and (at == 0 or scan.ends(at))  # "evening feed for B"
    sure = (
        heads
        or (led and not scan.phrase(at, "at", "night"))
        or alone
        or (word == "lunchtime" and scan.word(at - 1) == "at")
    )
    return Piece("part", at, last, part=told, surely=bool(sure), anchored=led and scan.word(at) not in MODES)


def _lead(scan: Scan, at: int) -> bool:
    """Whether "in the", "early", "late", "during the" lead to a part of the day."""
    word = scan.word(at)
    if word in {"in", "during"} or (
        word == "at" and scan.word(at + 1) in {"night", "nite", "lunchtime", "lunch", "dusk", "dawn"}
    ):
        step = scan.skip(at + 1, "the", *MODES, "-")
        return scan.word(step) in scan.tables.parts
    return word in MODES and scan.word(scan.skip(at + 1, "-", "in", "the")) in scan.tables.parts
