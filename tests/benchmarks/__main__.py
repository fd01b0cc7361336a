"""`python -m tests.benchmarks [--small] [--json FILE] [--against FILE] [--only ROOM]`: measure, print a table, and compare.

The status says whether all is met. Two commits are compared by running the first with --json and the second with --against.
"""

from __future__ import annotations

import argparse
import json
import subprocess
import sys
from collections.abc import Mapping, Sequence
from pathlib import Path

from rich.console import Console
from rich.table import Table

from tests.benchmarks import (
    beside_echo,
    due_size,
    growth_size,
    importing,
    journal_size,
    many_collections,
    parse_speed,
    pictures,
    pushes,
    start_cost,
)
from tests.benchmarks.comparing import changed, earlier, written
from tests.benchmarks.measure import Measure

ROOMS = (
    parse_speed,
    journal_size,
    due_size,
    growth_size,
    pushes,
    pictures,
    start_cost,
    importing,
    beside_echo,
    many_collections,
)
NAMES = tuple(room.__name__.rpartition(".")[2] for room in ROOMS)


def main(argv: Sequence[str] | None = None) -> int:
    """Run every benchmark; 0 if every measure is met, else 1."""
    parser = argparse.ArgumentParser(
        prog="python -m tests.benchmarks", description="Measure speed, as ratios in one run."
    )
    parser.add_argument("--small", action="store_true", help="a quick run that only shows that it works")
    parser.add_argument("--json", type=Path, metavar="FILE", help="write the numbers here too")
    parser.add_argument("--against", type=Path, metavar="FILE", help="numbers of another commit to compare with")
    parser.add_argument("--only", choices=NAMES, action="append", help="this room of them alone; may be given again")
    options = parser.parse_args(argv)
    before = earlier(options.against) if options.against else {}
    chosen = [room for room, name in zip(ROOMS, NAMES, strict=True) if name in (options.only or NAMES)]
    measures = [one for room in chosen for one in room.measure(small=options.small)]
    Console().print(table(measures, before))
    if options.json:
        options.json.write_text(json.dumps(written(measures, commit(), small=options.small), indent=1) + "\n")
    return 0 if all(one.met for one in measures) else 1


def commit() -> str:
    """The commit that is measured, with a "+" where files were changed since; "unknown" where git does not say."""
    try:
        found = subprocess.run(
            ["git", "describe", "--always", "--dirty=+", "--abbrev=12"], capture_output=True, text=True, check=True
        )
    except (OSError, subprocess.CalledProcessError):
        return "unknown"
    return found.stdout.strip()


def table(measures: Sequence[Measure], before: Mapping[str, float] | None = None) -> Table:
    """The measures, one to a row; with the numbers of another commit where there are such."""
    drawn = Table("measure", "value", "wanted", "met", *(["before"] if before else []), "made of")
    for one in measures:
        drawn.add_row(
            one.name,
            f"{one.value:.2f} {one.unit}",
            one.wanted,
            ("yes" if one.met else "NO") if one.limit else "",
            *([changed(one, before)] if before else []),
            one.detail,
        )
    return drawn


if __name__ == "__main__":
    sys.exit(main())
