"""Replaying a script: what a line may be, the order of time, and what comes out."""

from __future__ import annotations

import json
from datetime import date, datetime
from pathlib import Path
from typing import Any

import pytest

from bot.cli import main
from bot.replay import read_script, shifted, utc

ROSTER = """
zone = "Europe/Lisbon"
[[enclosures]]
name = "tub 4"
[[enclosures]]
name = "tub 5"
[[occupants]]
name = "group B"
kind = "group"
aliases = ["B"]
enclosure = "tub 4"
[[occupants]]
name = "group D"
kind = "group"
aliases = ["D"]
enclosure = "tub 5"
"""


def line(at: str, text: str, **more: object) -> str:
    return json.dumps({"at": at, "from": "keeper", "text": text, **more})


def test_messages_are_read_in_time_order() -> None:
    """A script is sorted by time; of two at the same time the first stays first; blank lines are passed over."""
    lines = [line("2026-03-03T19:05", "b"), "", line("2026-03-03T19:04", "a"), line("2026-03-03T19:05", "c", id=7)]
    messages, faults = read_script(lines, "UTC")
    assert [message.text for message in messages] == ["a", "b", "c"]
    assert [message.key for message in messages] == ["line 3", "line 1", "7"]
    assert not faults


def test_a_time_with_an_offset_is_what_the_keepers_clock_shows() -> None:
    """An aware time is taken to the keeper's zone."""
    (message,), _ = read_script([line("2026-07-03T19:05+00:00", "a")], "Europe/Lisbon")
    assert message.at == datetime(2026, 7, 3, 20, 5)  # noqa: DTZ001 - a keeper's clock has no zone


@pytest.mark.parametrize(
    ("written", "part"),
    [
        ("{", "not valid JSON"),
        ("[" * 100_000, "not valid JSON"),
        ("3", "not a JSON object"),
        ('{"from": "keeper", "text": "a"}', '"at" is missing'),
        ('{"at": "2026-03-03T19:05", "text": "a"}', '"from" is missing'),
        ('{"at": "2026-03-03T19:05", "from": "keeper"}', '"text" is missing'),
        ('{"at": "2026-03-03T19:05", "from": 4, "text": "a"}', '"from" is no string'),
        ('{"at": "teatime", "from": "keeper", "text": "a"}', "teatime"),
    ],
)
def test_a_bad_line_is_named_and_the_rest_is_read(written: str, part: str) -> None:
    """Each line that is no message gives a fault with its number; the others are messages."""
    messages, (fault,) = read_script([line("2026-03-03T19:05", "a"), written], "UTC")
    assert str(fault).startswith("line 2: ")
    assert part in str(fault)
    assert len(messages) == 1


def test_a_deletion_needs_no_text() -> None:
    """A line that deletes an earlier message may leave its text out."""
    (message,), faults = read_script(['{"at": "2026-03-03T19:05", "from": "keeper", "deletes": "m1"}'], "UTC")
    assert (message.deletes, message.text) == ("m1", "")
    assert not faults


def test_a_season_is_moved_by_whole_days() -> None:
    """The last message falls on the day wanted, each keeps its time of day; an empty season stays empty."""
    messages, _ = read_script([line("2026-03-01T07:00", "a"), line("2026-03-03T19:05", "b")], "UTC")
    moved = shifted(messages, date(2027, 1, 1))
    assert [message.at.isoformat() for message in moved] == ["2026-12-30T07:00:00", "2027-01-01T19:05:00"]
    assert shifted([], date(2027, 1, 1)) == []


def test_an_hour_that_comes_twice_is_the_first_and_one_that_never_comes_is_later() -> None:
    """On the night the clocks go back 01:30 is the first of two; on the night they go forward it is an hour on."""
    zone = "Europe/Lisbon"
    assert utc(datetime(2026, 10, 25, 1, 30), zone).isoformat() == "2026-10-25T00:30:00+00:00"  # noqa: DTZ001
    assert utc(datetime(2026, 3, 29, 1, 30), zone).isoformat() == "2026-03-29T01:30:00+00:00"  # noqa: DTZ001


@pytest.fixture
def season(tmp_path: Path) -> Path:
    (tmp_path / "roster.toml").write_text(ROSTER)
    path = tmp_path / "season.jsonl"
    path.write_text(
        "\n".join(
            [
                line("2026-03-03T19:05", "fed B 3 crickets", id="m1"),
                line("2026-03-03T19:06", "fed D 2 crickets", id="m2"),
                line("2026-03-04T08:00", "fed B 4 crickets yesterday", id="m3", edits="m1"),
                '{"at": "2026-03-04T08:01", "from": "keeper", "id": "m4", "deletes": "m2"}',
                line("2026-03-05T08:00", "when did D last eat", id="m5"),
                line("2026-03-05T08:01", "when did B last eat", id="m6"),
            ]
        )
        + "\n"
    )
    return path


def replayed(capsys: pytest.CaptureFixture[str], *words: str) -> tuple[int, list[dict[str, Any]]]:
    status = main(["replay", *words])
    return status, [json.loads(said) for said in capsys.readouterr().out.splitlines()]


def test_a_season_goes_through_the_conversation(season: Path, capsys: pytest.CaptureFixture[str]) -> None:
    """Replies come in time order with the entries written; an edit corrects, a deletion takes back."""
    status, said = replayed(capsys, str(season), "--roster", str(season.with_name("roster.toml")))
    assert status == 0
    assert [one["at"] for one in said] == sorted(one["at"] for one in said)
    assert {one["to"] for one in said} == {"keeper"}
    assert set(said[0]) == {"at", "to", "text", "choices", "entries"}
    (entry,) = said[0]["entries"]
    assert entry == {
        "kind": "feeding",
        "subjects": ["group B"],
        "on": "2026-03-03",
        "prey": "cricket",
        "quantity": [3, 3],
    }
    of_d, of_b = said[-2:]
    assert "Tue 3 Mar" not in of_d["text"]
    assert "4 crickets" in of_b["text"]
    assert "Tue 3 Mar" in of_b["text"]


def test_bad_lines_are_said_and_the_rest_is_played(season: Path, capsys: pytest.CaptureFixture[str]) -> None:
    """A bad line gives a sentence on standard error and status 1; the good ones are answered."""
    season.write_text("nonsense\n" + season.read_text())
    assert main(["replay", str(season), "--roster", str(season.with_name("roster.toml"))]) == 1
    printed = capsys.readouterr()
    assert "line 1: not valid JSON" in printed.err
    assert len(printed.out.splitlines()) >= 6


def test_a_replay_can_be_kept_and_is_not_written_over(
    season: Path, tmp_path: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    """--keep leaves a data folder that can be asked; a folder that holds a collection is refused."""
    words = [str(season), "--roster", str(season.with_name("roster.toml")), "--keep", str(tmp_path / "kept")]
    assert replayed(capsys, *words)[0] == 0
    assert main(["say", "when did B last eat", "--data", str(tmp_path / "kept")]) == 0
    assert "4 crickets" in capsys.readouterr().out
    assert main(["replay", *words]) == 2
    assert "holds a collection already" in capsys.readouterr().err


def test_a_script_that_is_not_there_is_one_sentence(tmp_path: Path, capsys: pytest.CaptureFixture[str]) -> None:
    """A script that cannot be opened gives a sentence and status 2."""
    assert main(["replay", str(tmp_path / "none.jsonl")]) == 2
    assert "none.jsonl cannot be read" in capsys.readouterr().err


def test_an_empty_script_is_played_without_a_word(tmp_path: Path, capsys: pytest.CaptureFixture[str]) -> None:
    """A script without messages says nothing and is fine."""
    (tmp_path / "empty.jsonl").write_text("")
    assert replayed(capsys, str(tmp_path / "empty.jsonl")) == (0, [])


def test_what_the_bot_says_unasked_comes_at_its_own_time(capsys: pytest.CaptureFixture[str], tmp_path: Path) -> None:
    """Between two messages the reminder and the lists come out, each when it is due, marked as pushes."""
    (tmp_path / "roster.toml").write_text(ROSTER)
    script = tmp_path / "script.jsonl"
    script.write_text(
        "\n".join(
            [
                line("2026-03-27T19:05", "remind me to pull the sac of D on the 29th at 1:30am"),
                line("2026-03-27T19:06", "feed B every day"),
                line("2026-03-29T12:00", "hello"),
            ]
        )
    )
    status, said = replayed(capsys, str(script), "--roster", str(tmp_path / "roster.toml"))
    assert status == 0
    pushed = [(one["at"], one["text"]) for one in said if one.get("push")]
    assert [at for at, _ in pushed] == ["2026-03-28T08:00", "2026-03-29T02:30", "2026-03-29T08:00"]
    assert pushed[1][1] == "Reminder: group D: see to the egg sac"
    assert [one["at"] for one in said] == sorted(one["at"] for one in said)
