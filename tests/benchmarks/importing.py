"""How fast a chat export is brought in, against reading the same messages and doing nothing with them."""

from __future__ import annotations

import io
import json
from collections.abc import Iterator
from contextlib import redirect_stdout
from datetime import datetime, timedelta
from pathlib import Path
from tempfile import TemporaryDirectory

from bot import language
from bot.cli import main
from bot.roster_file import load_roster
from fixtures.demo import roster_path, season_path
from tests.benchmarks.measure import Measure, seconds

SEASON = timedelta(weeks=11)
"""Longer than the demo's season: one copy of it ends before the next begins."""


def measure(*, small: bool) -> list[Measure]:
    """Messages a second, and the import as a multiple of the reading alone."""
    talk = list(messages(1 if small else 8))[: 40 if small else None]
    with TemporaryDirectory() as kept:
        folder = Path(kept)
        export = folder / "talk.txt"
        export.write_text("\n".join(f"[{at:%d/%m/%Y, %H:%M:%S}] Ann: {text}" for at, text in talk), encoding="utf-8")
        run("roster", "import", str(roster_path()), "--data", str(folder / "data"))
        took = seconds(lambda: run("import", str(export), "--day-first", "--data", str(folder / "data")))
    roster = load_roster(roster_path())
    reading = seconds(lambda: [language.read(text, at, roster) for at, text in talk])
    rate = f"{len(talk)} messages in {took:.1f} s, the reading alone {reading:.1f} s"
    return [
        Measure("messages brought in", len(talk) / took, 0, at_least=True, unit="a second", detail=rate),
        Measure("bringing in against reading", took / reading, 0, at_least=False, unit="times", detail=rate),
    ]


def messages(copies: int) -> Iterator[tuple[datetime, str]]:
    """The demo's season so many times over, each before the next, the last as it stands: when and what was said."""
    lines = [json.loads(line) for line in season_path().read_text(encoding="utf-8").splitlines()]
    told = [(datetime.fromisoformat(line["at"]), line["text"]) for line in lines if "deletes" not in line]
    for copy in reversed(range(copies)):
        for at, text in told:
            yield at - copy * SEASON, " ".join(text.split())


def run(*words: str) -> None:
    """One command, its report kept off the screen. Raises AssertionError where it fails."""
    with redirect_stdout(io.StringIO()) as said:
        status = main(words)
    if status:
        raise AssertionError(f"rackside {' '.join(words)}: {said.getvalue()[-500:]}")
