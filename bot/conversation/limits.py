"""What may be written at all: numbers that can be true, days that have come, texts that can be read."""

from __future__ import annotations

import re
import unicodedata
from collections.abc import Mapping
from datetime import date
from typing import Any

from bot.errors import Refusal
from bot.language.meaning import Entry, Plan
from bot.wording import say_full_day, say_range

LONGEST_TEXT = 4_000
"""Characters of a message that is read; a longer one is kept as a note."""

LONGEST_NAME = 60

# Lowest and highest that can be true in an animal room; beyond them it is a slip of the thumb.
_RANGES: Mapping[str, tuple[float, float]] = {
    "quantity": (0, 100_000),
    "count": (0, 100_000),
    "number": (0, 100_000),
    "value": (0, 100_000),
    "temperature_c": (-40, 80),
    "humidity_pct": (0, 100),
}
# A reader of words may take the dash of "-3" for punctuation; a dash between numbers is a range.
_MINUS = re.compile(r"(?<!\S)[-\u2212](\d{1,9})\b")

_SAID = {"temperature_c": "temperature", "humidity_pct": "humidity", "quantity": "number", "value": "measure"}


def check_entry(entry: Entry, today: date) -> None:
    """Raise Refusal for a number that cannot be true, or a day that has not come or is not known."""
    check_numbers(entry.fields)
    minus = _MINUS.search(entry.words) if "count" in entry.fields else None
    if minus is not None:
        check_numbers({"count": [-int(minus[1])] * 2})
    if entry.on is None:
        raise Refusal("I could not tell which day that was, so nothing was written. Say it again with the day.")
    if entry.on > today:
        raise Refusal(
            f"{say_full_day(entry.on)} has not come yet, so nothing was written. Say it again with the day it was, "
            "or as something to come: “remind me …”."
        )


def check_plan(plan: Plan, today: date) -> None:
    """Raise Refusal for a plan whose day is past, which comes again after no time, or a rule of what cannot be."""
    if plan.on is not None and plan.on < today:
        raise Refusal(f"{say_full_day(plan.on)} is past, so nothing was planned. Say it again with a day to come.")
    if plan.every_days is not None and not 0 < plan.every_days <= 3_660:
        raise Refusal("I cannot plan that: say how many days lie between, such as “every 10 days”.")
    if plan.kind == "rule":
        check_numbers(plan.fields)


def check_numbers(fields: Mapping[str, Any]) -> None:
    """Raise Refusal for the first number among the fields that cannot be true."""
    for field, (lowest, highest) in _RANGES.items():
        span = fields.get(field)
        if span is None:
            continue
        edges = [edge for edge in span if edge is not None]
        if not edges or edges != sorted(edges) or not lowest <= edges[0] <= edges[-1] <= highest:
            said = _SAID.get(field, field)
            raise Refusal(
                f"A {said} of {say_range(span)} cannot be right, so nothing was written. Say it again with the {said} you mean."
            )


def clean_name(name: str) -> str:
    """A name for the roster on one line, its spaces single. Raises Refusal for one that is empty or too long."""
    cleaned = " ".join(readable(name).split())
    if not any(character.isalnum() for character in cleaned):
        raise Refusal("A name needs at least one letter or digit, so nothing was changed.")
    if len(cleaned) > LONGEST_NAME:
        raise Refusal(
            f"“{cleaned[:30]}…” is too long for a name (at most {LONGEST_NAME} characters); nothing was changed."
        )
    return cleaned


def readable(text: str) -> str:
    """The text without control characters, lone surrogates and code points that mean nothing; lines stay lines."""
    return "".join(character if _means_something(character) else " " for character in text)


def has_words(text: str) -> bool:
    """True if there is a letter or a digit of any script."""
    return any(character.isalnum() for character in text)


def shorten(text: str, most: int = 120) -> str:
    """A keeper's words on one line, cut where they are long, for saying them back."""
    line = " ".join(readable(text).split())
    return line if len(line) <= most else f"{line[: most - 1].rstrip()}…"


def _means_something(character: str) -> bool:
    return character in "\n\t" or unicodedata.category(character) not in ("Cc", "Cs", "Cn", "Co")
