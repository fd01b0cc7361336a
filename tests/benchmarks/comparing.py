"""Two runs held side by side: the numbers that a run wrote as JSON, and how those of another differ."""

from __future__ import annotations

import json
import platform
from collections.abc import Mapping, Sequence
from dataclasses import asdict
from importlib.metadata import version
from pathlib import Path
from typing import Any

from tests.benchmarks.measure import Measure

FORMAT = 1


class NoRun(ValueError):
    """A file that holds no run of the benchmarks; the message says why."""


def written(measures: Sequence[Measure], commit: str, *, small: bool) -> dict[str, Any]:
    """A run as JSON: what was measured of which commit, on what, and every number with its limit."""
    return {
        "format": FORMAT,
        "commit": commit,
        "small": small,
        "python": platform.python_version(),
        "machine": platform.machine(),
        "libraries": {
            name: version(name) for name in ("sqlalchemy", "dateparser", "python-telegram-bot", "matplotlib")
        },
        "measures": [{**asdict(one), "met": one.met} for one in measures],
    }


def earlier(path: Path) -> dict[str, float]:
    """The numbers of an earlier run by their names. Raises NoRun."""
    try:
        found = json.loads(path.read_text(encoding="utf-8"))
    except (OSError, ValueError) as fault:
        raise NoRun(f"{path} cannot be read as a run: {fault}") from fault
    if not isinstance(found, dict) or found.get("format") != FORMAT:
        raise NoRun(f"{path} is no run of this form")
    return {one["name"]: float(one["value"]) for one in found["measures"]}


def changed(one: Measure, before: Mapping[str, float]) -> str:
    """How a number differs from the earlier one: "1.10 (+12 %)"; "new" where there was none."""
    was = before.get(one.name)
    if was is None:
        return "new"
    return f"{was:.2f} ({one.value / was - 1:+.0%})" if was else f"{was:.2f}"
