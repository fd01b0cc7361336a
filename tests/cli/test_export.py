"""`rackside export`, and back by `rackside import`, as a keeper runs them."""

from __future__ import annotations

import json
from pathlib import Path

import pytest
from icalendar import Calendar

from tests.cli.commands import rackside, set_up

pytestmark = pytest.mark.slow


@pytest.fixture
def folder(tmp_path: Path) -> Path:
    made = set_up(tmp_path / "data")
    for words in ("fed B 3 crickets, 1 left over", "mist B every 3 days"):
        assert rackside(made, "say", words).returncode == 0
    return made


def test_all_three_at_once(folder: Path, tmp_path: Path) -> None:
    """A line for each, and the files for nobody else to read."""
    done = rackside(
        folder, "export", "--csv", str(tmp_path / "tables"), "--json", str(tmp_path / "all.json"),
        "--calendar", str(tmp_path / "plans.ics"),
    )  # fmt: skip
    assert (done.returncode, done.stderr) == (0, "")
    first, second, third = done.stdout.splitlines()
    assert first.endswith("and all else of the collection.")
    assert first.startswith(f"{tmp_path / 'all.json'}: ")
    assert second.startswith(f"{tmp_path / 'tables'}: 15 tables, rows: entries ")
    assert third.endswith("events, 30 days ahead.")
    words = [entry["words"] for entry in json.loads((tmp_path / "all.json").read_text())["entries"]]
    assert words[-2:] == ["fed B 3 crickets, 1 left over", "mist B every 3 days"]
    assert Calendar.from_ical((tmp_path / "plans.ics").read_bytes()).walk("VEVENT")
    assert {path.stat().st_mode & 0o077 for path in (tmp_path / "all.json", tmp_path / "plans.ics")} == {0}
    assert not list(tmp_path.glob(".*"))


def test_out_and_in_again_is_the_same(folder: Path, tmp_path: Path) -> None:
    """By the two commands; the second import adds nothing."""
    records, other = tmp_path / "all.json", tmp_path / "other"
    assert rackside(folder, "export", "--json", str(records)).returncode == 0
    done = rackside(other, "import", str(records))
    assert done.returncode == 0, done.stderr
    assert done.stdout.startswith("Brought in: ")
    assert rackside(other, "say", "when did B last eat").stdout == rackside(folder, "say", "when did B last eat").stdout
    again = rackside(other, "import", str(records))
    assert "All of that is here already; nothing was added." in again.stdout


def test_a_file_that_was_read_before_adds_nothing_in_a_copy(folder: Path, tmp_path: Path) -> None:
    """Lines brought in here, the records moved, and the lines brought in there again."""
    lines, records, other = tmp_path / "lines.txt", tmp_path / "all.json", tmp_path / "other"
    lines.write_text("2026-03-01 fed B 4 crickets\n2026-03-02 misted B lightly\n")
    assert rackside(folder, "import", str(lines)).returncode == 0
    assert rackside(folder, "export", "--json", str(records)).returncode == 0
    assert rackside(other, "import", str(records)).returncode == 0
    assert rackside(other, "import", str(lines)).returncode == 0
    again = tmp_path / "again.json"
    assert rackside(other, "export", "--json", str(again)).returncode == 0
    one, two = (json.loads(path.read_text()) for path in (records, again))
    assert two["entries"] == one["entries"]
    assert two["messages"] == one["messages"]


@pytest.mark.parametrize(
    ("words", "sentence"),
    [
        ([], "Say what to write: --csv DIR, --json FILE or --calendar FILE.ics; several may be given."),
        (["--calendar", "{here}/x.ics", "--days", "-1"], "--days takes a number from 0 to 3660, not -1."),
        (["--json", "{here}/nowhere/x.json"], "{here}/nowhere/x.json cannot be written: No such file or directory."),
        (["--json", "{here}"], "{here} is a folder; name a file."),
        (
            ["--json", "{here}/mine"],
            "{here}/mine is there already; nothing was written. With --replace it is written anew.",
        ),
        (["--csv", "{here}/mine"], "{here}/mine is a file, and a folder is wanted there."),
        (["--json", "{here}/x.json", "--collection", "Attic"], None),
    ],
)
def test_what_cannot_be_is_one_sentence(folder: Path, tmp_path: Path, words: list[str], sentence: str | None) -> None:
    """And nothing is written."""
    (tmp_path / "mine").write_text("mine")
    done = rackside(folder, "export", *(word.format(here=tmp_path) for word in words))
    assert done.returncode == 2
    if sentence is not None:
        assert done.stderr == f"rackside: {sentence.format(here=tmp_path)}\n"
    assert done.stderr.count("\n") == 1
    assert {path.name for path in tmp_path.iterdir()} == {"data", "mine"}
    assert (tmp_path / "mine").read_text() == "mine"
