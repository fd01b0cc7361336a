"""`python -m tests.benchmarks [--small] [--json FILE]`: measure, print a table, and say by the status if all is met."""

from __future__ import annotations

import argparse
import json
import sys
from collections.abc import Sequence
from dataclasses import asdict
from pathlib import Path

from rich.console import Console
from rich.table import Table

from tests.benchmarks import due_size, growth_size, journal_size, parse_speed, pictures, pushes, start_cost
from tests.benchmarks.measure import Measure

ROOMS = (parse_speed, journal_size, due_size, growth_size, pushes, pictures, start_cost)


def main(argv: Sequence[str] | None = None) -> int:
    """Run every benchmark; 0 if every measure is met, else 1."""
    parser = argparse.ArgumentParser(
        prog="python -m tests.benchmarks", description="Measure speed, as ratios in one run."
    )
    parser.add_argument("--small", action="store_true", help="a quick run that only shows that it works")
    parser.add_argument("--json", type=Path, metavar="FILE", help="write the numbers here too")
    options = parser.parse_args(argv)
    measures = [one for room in ROOMS for one in room.measure(small=options.small)]
    Console().print(table(measures))
    if options.json:
        options.json.write_text(json.dumps([{**asdict(one), "met": one.met} for one in measures], indent=1) + "\n")
    return 0 if all(one.met for one in measures) else 1


def table(measures: Sequence[Measure]) -> Table:
    """The measures, one to a row."""
    drawn = Table("measure", "value", "wanted", "met", "made of")
    for one in measures:
        drawn.add_row(
            one.name,
            f"{one.value:.2f} {one.unit}",
            one.wanted,
            ("yes" if one.met else "NO") if one.limit else "",
            one.detail,
        )
    return drawn


if __name__ == "__main__":
    sys.exit(main())
