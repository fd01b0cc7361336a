"""Scoring of labelled messages by the parse contract: strict, silent wrong, needless question.

`strict` is a reading equal to one of the right ones: same intent, and every entry's kind, places, day and own fields.
`silent wrong` is a log, plan or change that is not strict; `needless question` asks where an answer was wanted.
"""

from __future__ import annotations

import json
import tomllib
from collections import Counter
from dataclasses import dataclass, field
from datetime import datetime
from pathlib import Path
from typing import Any

from bot.language import read
from bot.language.contract import to_contract
from bot.language.roster import Roster, roster_from_table

Json = dict[str, Any]

NOT_COMPARED = {"cause", "question", "subjects", "at", "part", "on", "to"}
CLOCK_LEEWAY = 15  # minutes
NUMBER_LEEWAY = 0.011  # of the value: inches and Fahrenheit are rounded differently by different people


@dataclass
class Score:
    """How many messages got which verdict, and those that were not strict, ready to be printed."""

    verdicts: Counter[str] = field(default_factory=Counter)
    misses: list[str] = field(default_factory=list)

    def share(self, verdict: str) -> float:
        """Percent of all messages that got a verdict."""
        return 100 * self.verdicts[verdict] / max(self.verdicts.total(), 1)


def score_set(path: Path) -> Score:
    """Read every message of a set against the roster beside it."""
    roster = roster_from_table(tomllib.loads(path.with_suffix(".toml").read_text(encoding="utf-8")))
    score = Score()
    for line in path.read_text(encoding="utf-8").splitlines():
        case = json.loads(line)
        got = to_contract(read(case["text"], datetime.fromisoformat(case["now"]), roster))
        verdict = verdict_on(case["want"], got, roster)
        score.verdicts[verdict] += 1
        if verdict != "strict":
            score.misses.append(f"{verdict}: {case['text']!r}\n  want {case['want'][0]}\n  got  {got}")
    return score


def verdict_on(want: list[Json], got: Json, roster: Roster) -> str:
    """Strict where any of the right readings was met; else what sort of miss it is."""
    if any(same_reading(right, got, roster) for right in want):
        return "strict"
    if got["intent"] in {"log", "plan", "amend"}:
        return "silent wrong"
    return "needless question" if got["intent"] == "unclear" else "other miss"


def same_reading(want: Json, got: Json, roster: Roster) -> bool:
    """Whether two outputs of the contract say the same."""
    intent = want["intent"]
    if intent != got["intent"]:
        return False
    if intent in {"log", "plan"}:
        name = "entries" if intent == "log" else "plans"
        return _same_lot(want[name], got.get(name, []), roster)
    if intent == "ask":
        return same_entry(want["ask"], got.get("ask", {}), roster)
    if intent == "amend":
        mine, theirs = want["amend"], got.get("amend", {})
        changed = same_entry(mine.get("changes", {}), theirs.get("changes", {}), roster)
        return mine["action"] == theirs.get("action") and changed
    if intent == "unclear" and want.get("missing"):
        return bool(set(want["missing"]) & set(got["missing"]))
    return True


def _same_lot(want: list[Json], got: list[Json], roster: Roster) -> bool:
    """Each wanted entry is met by one of the given, and none is left over; order does not matter."""
    left = list(got)
    for entry in want:
        met = next((other for other in left if same_entry(entry, other, roster)), None)
        if met is None:
            return False
        left.remove(met)
    return not left


def same_entry(want: Json, got: Json, roster: Roster) -> bool:
    """Whether two entries, plans, questions or changes say the same of the same places."""
    if _places(want.get("subjects", []), roster) != _places(got.get("subjects", []), roster):
        return False
    if not (_same_day(want, got) and _same_time(want, got) and _same_destination(want, got, roster)):
        return False
    compared = (set(want) | set(got)) - NOT_COMPARED
    return all(same_value(want.get(name), got.get(name)) for name in compared)


def _places(names: list[str], roster: Roster) -> set[str]:
    """A group and the tub it lives in are the same place."""
    return {(roster.place_of(name) or name).lower() for name in names}


def _same_day(want: Json, got: Json) -> bool:
    right = want.get("on")
    return got.get("on") in right if isinstance(right, list) else got.get("on") == right


def _same_time(want: Json, got: Json) -> bool:
    if "at" in want:
        return "at" in got and abs(_minutes(want["at"]) - _minutes(got["at"])) <= CLOCK_LEEWAY
    return "part" not in want or "at" in got or want["part"] == got.get("part")


def _minutes(clock: str) -> int:
    hours, minutes = clock.split(":")
    return 60 * int(hours) + int(minutes)


def _same_destination(want: Json, got: Json, roster: Roster) -> bool:
    """A place's own name, or words of which one contains the other ("glass cube", "a glass cube with a lid")."""
    if want.get("to") is None or got.get("to") is None:
        return want.get("to") == got.get("to")
    here, there = ((roster.place_of(side["to"]) or side["to"]).lower() for side in (want, got))
    return here == there or here in there or there in here


def same_value(want: object, got: object) -> bool:
    """Numbers within one in a hundred, lists in any order, words whatever their case."""
    if isinstance(want, list) and isinstance(got, list):
        if all(isinstance(item, int | float | None) for item in want + got):
            return len(want) == len(got) and all(_same_bound(a, b) for a, b in zip(want, got, strict=True))
        return sorted(map(str, want)) == sorted(map(str, got))
    if isinstance(want, str) and isinstance(got, str):
        return want.lower() == got.lower()
    return want == got


def _same_bound(want: float | None, got: float | None) -> bool:
    if want is None or got is None:
        return want is got
    return abs(want - got) <= NUMBER_LEEWAY * max(1, abs(want), abs(got))
