"""The one date of a text as JSON values."""

from __future__ import annotations

import json
from datetime import datetime
from pathlib import Path

import pytest

from bot.language.dates import date_answer

NOW = datetime(2026, 3, 12, 21, 30)  # noqa: DTZ001 - the keeper's local clock carries no zone
OUTSIDE = Path(__file__).parents[3] / "shared" / "dates" / "cases.jsonl"


@pytest.mark.parametrize(
    ("text", "answer"),
    [
        ("fed B", {"start": None}),
        ("fed B yesterday", {"start": "2026-03-11"}),
        ("fed B yesterday at 9pm", {"start": "2026-03-11T21:00"}),
        ("fed B from the 1st to the 3rd", {"start": "2026-03-01", "end": "2026-03-03"}),
        (
            "feed B every friday at 8pm",
            {"start": None, "recur": {"n": 1, "unit": "week", "weekday": 4, "time": "20:00"}},
        ),
        ("the lamp is on for 30 minutes on tuesday", {"start": "2026-03-10"}),
        ("she just sat there", {"start": None}),
        ("I am here now", {"start": "2026-03-12T21:30"}),
    ],
)
def test_the_answer_holds_what_is_told(text: str, answer: dict[str, object]) -> None:
    """A day, a minute, a range or a repeat; a null start where there is no date."""
    assert date_answer(text, NOW, "past") == answer


@pytest.mark.skipif(not OUTSIDE.exists(), reason="the cases of other projects are not beside this one")
def test_most_outside_cases_are_read_as_expected() -> None:
    """At least 95 of 100 cases that other projects' tests hold are read as those tests expect."""
    cases = [json.loads(line) for line in OUTSIDE.read_text("utf-8").splitlines() if line.strip()]
    right = sum(
        _as_expected(case, date_answer(case["text"], datetime.fromisoformat(case["ref"]), case["prefer"]))
        for case in cases
    )
    assert right / len(cases) >= 0.95


def _as_expected(case: dict[str, object], answer: dict[str, object]) -> bool:
    expected, start = case["expect"], str(answer.get("start") or "")
    assert isinstance(expected, dict)
    if case["kind"] == "recur":
        return bool(answer.get("recur") == expected)
    if case["kind"] == "range":
        return bool(start[:10] == expected["start"][:10] and answer.get("end") == expected["end"][:10])
    accepted = case.get("accept") or []
    assert isinstance(accepted, list)
    return (
        start == expected["start"] if case["grain"] == "minute" else start[:10] in {expected["start"][:10], *accepted}
    )
