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


def search_all(sample: Sequence[Message]) -> None:
    """Search every message for dates alone, in English, which is dateparser's quicker way."""
    for text, now in sample:
        search_dates(text, languages=["en"], settings={"RELATIVE_BASE": now})


def measure(*, small: bool) -> Measure:
    """Messages a second of the whole parse, as a multiple of those of search_dates."""
    roster = load_roster(DEMO / "roster.toml")
    sample = messages()[:10] if small else messages()
    ours, theirs = interleaved(lambda: read_all(sample, roster), lambda: search_all(sample), 1 if small else 5)
    count = len(sample)
    detail = f"{count} messages: {count / ours:.0f} against {count / theirs:.0f} a second"
    return Measure("whole parse against search_dates", theirs / ours, 3, at_least=True, unit="times", detail=detail)
