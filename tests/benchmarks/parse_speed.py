"""The whole parse against `dateparser.search.search_dates`, on the same messages, by turns in one run."""

from __future__ import annotations

import json
from collections.abc import Sequence
from datetime import datetime
from pathlib import Path
from typing import TYPE_CHECKING

from dateparser.search import search_dates

import fixtures
from bot.language import read
from bot.roster_file import load_roster
from tests.benchmarks.measure import Measure, interleaved

if TYPE_CHECKING:
    from bot.language.roster import Roster

DEMO = Path(fixtures.__file__).parent / "demo"

Message = tuple[str, datetime]


def messages() -> list[Message]:
    """Text and local time of every message of the demo season."""
    lines = (DEMO / "season.jsonl").read_text(encoding="utf-8").splitlines()
    records = [json.loads(line) for line in lines if line.strip()]
    return [(record["text"], datetime.fromisoformat(record["at"])) for record in records if record.get("text")]


def read_all(sample: Sequence[Message], roster: Roster) -> None:
    """Read every message, whole."""
    for text, now in sample:
        read(text, now, roster)


def search_all(sample: Sequence[Message], languages: list[str] | None) -> None:
    """Search every message for dates alone; without `languages` dateparser finds out which one it is."""
    for text, now in sample:
        search_dates(text, languages=languages, settings={"RELATIVE_BASE": now})


def measure(*, small: bool) -> list[Measure]:
    """Messages a second of the whole parse, as a multiple of those of search_dates.

    Once as search_dates is called by itself, which is the measure; and once with the language told, which spares it most of
    its work and is here to be known, not to be met.
    """
    roster = load_roster(DEMO / "roster.toml")
    sample = messages()[:: 32 if small else 3]
    rounds = 1 if small else 3
    plain = interleaved(lambda: read_all(sample, roster), lambda: search_all(sample, None), rounds)
    told = interleaved(lambda: read_all(sample, roster), lambda: search_all(sample, ["en"]), rounds * 3)
    return [
        _measure("whole parse against search_dates", 3, plain, len(sample)),
        _measure("the same, search_dates told that it is English", 0, told, len(sample)),
    ]


def _measure(name: str, limit: float, pair: tuple[float, float], count: int) -> Measure:
    ours, theirs = pair
    detail = f"{count} messages: {count / ours:.0f} against {count / theirs:.0f} a second"
    return Measure(name, theirs / ours, limit, at_least=True, unit="times", detail=detail)
