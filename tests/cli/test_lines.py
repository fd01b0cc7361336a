"""JSON lines in, JSON lines out: order, ids, and what a bad line gets."""

from __future__ import annotations

import io
import json
from datetime import datetime
from pathlib import Path
from typing import Any

import pytest

from bot import cli_lines
from bot.cli import main

ROSTER = """
zone = "Europe/Lisbon"
[[enclosures]]
name = "tub 4"
[[occupants]]
name = "group B"
kind = "group"
aliases = ["B"]
enclosure = "tub 4"
"""


def run(lines: list[str], *, fail_on: str = "") -> tuple[int, list[dict[str, Any]]]:
    def answer(record: dict[str, Any]) -> dict[str, Any]:
        if record["text"] == fail_on:
            raise RuntimeError("boom")
        return {"seen": record["text"]}

    sink = io.StringIO()
    status = cli_lines.run_lines([line.encode() for line in lines], sink, ("text",), answer)
    return status, [json.loads(line) for line in sink.getvalue().splitlines()]


def test_good_lines_are_answered_in_order() -> None:
    """Each line gives one line under its own id, and the status is 0."""
    status, answers = run(['{"id": 1, "text": "a"}\n', '{"id": "x", "text": "b"}\n'])
    assert status == 0
    assert answers == [{"id": 1, "seen": "a"}, {"id": "x", "seen": "b"}]


@pytest.mark.parametrize(
    ("line", "name", "part"),
    [
        ("{nonsense", None, "not valid JSON"),
        ("", None, "not valid JSON"),
        ("[1, 2]", None, "not a JSON object"),
        ("[" * 100_000, None, "nested too deeply"),
        ("1" * 5000, None, "not valid JSON"),
        ('{"text": "a"}', None, '"id" is missing'),
        ('{"id": "q"}', "q", '"text" is missing'),
        ('{"id": "q", "text": 4}', "q", "not a string"),
        ('{"id": "q", "text": "bad"}', "q", "RuntimeError: boom"),
    ],
)
def test_a_bad_line_is_answered_and_the_run_goes_on(line: str, name: str | None, part: str) -> None:
    """A line that cannot be used gets its error in its place; the next is answered; the status is 1."""
    status, answers = run([line + "\n", '{"id": 2, "text": "fine"}\n'], fail_on="bad")
    assert status == 1
    assert answers[0]["id"] == name
    assert part in answers[0]["error"]
    assert answers[1] == {"id": 2, "seen": "fine"}


def test_bytes_that_are_no_text_are_a_bad_line() -> None:
    """Bytes that are not UTF-8 give an error on that line alone."""
    sink = io.StringIO()
    assert cli_lines.run_lines([b"\xff\xfe\n"], sink, (), dict) == 1
    assert "not valid JSON" in sink.getvalue()


def test_half_a_surrogate_pair_goes_through() -> None:
    """A lone surrogate, which JSON can carry, comes back as it was."""
    status, answers = run(['{"id": "\\ud800", "text": "\\udfff"}\n'])
    assert status == 0
    assert answers == [{"id": "\ud800", "seen": "\udfff"}]


def test_local_time_takes_an_offset_to_the_keepers_zone() -> None:
    """A time with an offset is what the keeper's clock showed then; one without stays as it is."""
    assert cli_lines.local_time("2026-07-01T10:00Z", "now", "Europe/Lisbon") == datetime(2026, 7, 1, 11)  # noqa: DTZ001
    assert cli_lines.local_time("2026-07-01T10:00", "now", "Europe/Lisbon") == datetime(2026, 7, 1, 10)  # noqa: DTZ001
    with pytest.raises(cli_lines.LineFault, match="not a time like"):
        cli_lines.local_time("yesterday", "now")


def feed(monkeypatch: pytest.MonkeyPatch, *records: dict[str, Any]) -> None:
    text = "".join(json.dumps(record) + "\n" for record in records)
    monkeypatch.setattr("sys.stdin", io.TextIOWrapper(io.BytesIO(text.encode())))


@pytest.fixture
def roster(tmp_path: Path) -> Path:
    path = tmp_path / "roster.toml"
    path.write_text(ROSTER)
    return path


def test_parse_answers_as_the_contract_says(
    monkeypatch: pytest.MonkeyPatch, capsys: pytest.CaptureFixture[str], roster: Path
) -> None:
    """`rackside parse` gives id, intent and entries; without --explain nothing else is added."""
    feed(monkeypatch, {"id": "a", "now": "2026-03-03T19:05", "text": "fed B 3 crickets yesterday"})
    assert main(["parse", "--roster", str(roster)]) == 0
    assert json.loads(capsys.readouterr().out) == {
        "id": "a",
        "intent": "log",
        "entries": [
            {"kind": "feeding", "subjects": ["group B"], "on": "2026-03-02", "prey": "cricket", "quantity": [3, 3]}
        ],
    }


def test_explain_names_the_words_behind_each_field(
    monkeypatch: pytest.MonkeyPatch, capsys: pytest.CaptureFixture[str], roster: Path
) -> None:
    """With --explain each field of the entry has its words, which stand in the text where it says they do."""
    text = "fed B 3 crickets yesterday"
    feed(monkeypatch, {"id": "a", "now": "2026-03-03T19:05", "text": text})
    assert main(["parse", "--explain", "--roster", str(roster)]) == 0
    explained = json.loads(capsys.readouterr().out)["explain"]
    assert {f"entries.0.{field}" for field in ("kind", "subjects", "on", "prey", "quantity")} <= set(
        explained["fields"]
    )
    for pieces in explained["fields"].values():
        for piece in pieces:
            assert text[piece["start"] : piece["end"]] == piece["words"]
    assert isinstance(explained["runners_up"], list)


def test_two_equal_names_are_one_sentence(capsys: pytest.CaptureFixture[str], tmp_path: Path) -> None:
    """A roster with the same name twice is refused with a sentence that says which, and status 2."""
    path = tmp_path / "twice.toml"
    path.write_text(ROSTER + '[[enclosures]]\nname = "TUB 4"\n')
    assert main(["parse", "--roster", str(path)]) == 2
    said = capsys.readouterr().err
    assert "tub 4" in said.lower()
    assert said.count("\n") == 1


def test_dates_reads_points_and_says_when_there_is_none(
    monkeypatch: pytest.MonkeyPatch, capsys: pytest.CaptureFixture[str]
) -> None:
    """`rackside dates` gives the start of a date, and null where the text holds none."""
    feed(
        monkeypatch,
        {"id": 1, "text": "yesterday", "ref": "2026-03-03T19:05", "prefer": "past"},
        {"id": 2, "text": "fed the crickets", "ref": "2026-03-03T19:05"},
        {"id": 3, "text": "yesterday", "ref": "2026-03-03T19:05", "prefer": "neither"},
    )
    assert main(["dates"]) == 1
    point, none, wrong = (json.loads(line) for line in capsys.readouterr().out.splitlines())
    assert (point["id"], point["start"]) == (1, "2026-03-02")
    assert (none["id"], none["start"]) == (2, None)
    assert "past" in wrong["error"]
