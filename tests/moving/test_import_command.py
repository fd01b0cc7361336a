"""`rackside import`: every form by the command, trials, reports, questions at the terminal, and files that cannot be used."""

from __future__ import annotations

import io
import json
import os
import pty
import subprocess
from pathlib import Path

import pytest

from bot.cli import main
from tests.cli.commands import command, environment
from tests.moving.incoming import SAMPLES, kept_in, standing_in, summary_in

TALE = {
    ("2026-01-29", "feeding", "fed Ambers 4 crickets last night, 1 left over"),
    ("2026-02-03", "moult", "Basalt moulted"),
    ("2026-02-03", "note", "fed Quill 2 roaches"),
    ("2026-02-06", "count", "counted the Ambers: 21"),
    ("2026-02-07", "reading", "cork tank: 25C 78%"),
}
"""What every sample tells, some of it on other lines."""

WATER = {("2026-02-01", "misting"), ("2026-02-01", "watering")}

pytestmark = [pytest.mark.slow, pytest.mark.sqlite_only("the command is told its folder here")]


def brought(folder: Path, name: str, *words: str) -> int:
    return main(["import", str(SAMPLES / name), *words, "--data", str(folder)])


def told(folder: Path) -> set[tuple[str, str, str]]:
    return {(on, kind, words) for on, kind, _who, _fields, words in standing_in(folder)}


def contents(folder: Path) -> dict[str, bytes]:
    return {path.name: path.read_bytes() for path in sorted(folder.iterdir())}


@pytest.fixture
def folder(tmp_path: Path, capsys: pytest.CaptureFixture[str]) -> Path:
    made = kept_in(tmp_path / "data")
    capsys.readouterr()
    return made


@pytest.mark.parametrize(
    ("name", "words"),
    [
        ("chat-seconds.txt", ["--from", "wren"]),
        ("chat-half-days.txt", ["--from", "Wren"]),
        ("chat.json", ["--from", "user501"]),
        ("room.json", ["--from", "@wren:example.org"]),
        ("diary.txt", []),
    ],
)
def test_every_form_tells_the_same_and_telling_it_twice_adds_nothing(folder: Path, name: str, words: list[str]) -> None:
    """One tale in five forms: the same entries; the second time no table holds a row more or another one."""
    assert brought(folder, name, *words) == 0
    assert told(folder) >= TALE
    assert {(on, kind) for on, kind, _words in told(folder)} >= WATER
    before = summary_in(folder)
    assert brought(folder, name, *words) == 0
    assert summary_in(folder) == before


def test_the_report_says_what_became_of_each_message(
    folder: Path, capsys: pytest.CaptureFixture[str], tmp_path: Path
) -> None:
    """What was understood by kind, notes, what would have been asked and why, whose messages were left out."""
    assert brought(folder, "chat.json", "--from", "Wren", "--report", str(tmp_path / "report.txt")) == 0
    printed = capsys.readouterr().out
    assert "Read a chat as JSON: 9 messages, Fri 30 Jan 2026 to Sat 7 Feb 2026." in printed
    assert "Understood: 5 messages: 1 feeding, 1 misting, 1 watering, 1 moult, 1 head count and 1 reading." in printed
    assert "Tue 3 Feb 2026: “fed Quill 2 roaches”. There is no Quill on the roster. Which one was it?" in printed
    assert "Not of the keeper: 2 messages (2 of Ola)." in printed
    assert "Not on the roster: Quill (1 message)." in printed
    assert (tmp_path / "report.txt").read_text() == printed
    capsys.readouterr()
    assert brought(folder, "chat.json", "--from", "Wren") == 0
    assert "Here already, left as they are: 9 messages." in capsys.readouterr().out


def test_a_long_report_is_cut_and_the_file_has_all_of_it(
    folder: Path, capsys: pytest.CaptureFixture[str], tmp_path: Path
) -> None:
    """Twenty are shown."""
    lines = [f"2026-01-{day:02} fed Quill {day} crickets" for day in range(1, 31)]
    (tmp_path / "diary.txt").write_text("\n".join(lines))
    report = tmp_path / "report.txt"
    assert main(["import", str(tmp_path / "diary.txt"), "--data", str(folder), "--report", str(report)]) == 0
    printed = capsys.readouterr().out
    assert printed.count("There is no Quill") == 20
    assert f"… and 10 more, in {report}." in printed
    assert report.read_text().count("There is no Quill") == 30


@pytest.mark.parametrize("name", ["chat.json", "diary.txt", "feedings.csv", "animals.csv"])
def test_a_trial_says_the_same_and_writes_nothing(
    folder: Path, name: str, capsys: pytest.CaptureFixture[str], monkeypatch: pytest.MonkeyPatch
) -> None:
    """Every file of the data folder holds the same bytes as before; the report is that of the real import that follows."""
    words = ["--from", "Wren"] if name == "chat.json" else []
    answers = "\n" * 9
    before = contents(folder)
    monkeypatch.setattr("sys.stdin", io.StringIO(answers))
    status = brought(folder, name, *words, "--dry-run")
    tried = capsys.readouterr().out
    assert contents(folder) == before
    monkeypatch.setattr("sys.stdin", io.StringIO(answers))
    assert brought(folder, name, *words) == status
    assert tried.replace("This was a trial: nothing was written.\n", "") == capsys.readouterr().out
    assert "This was a trial" in tried
    assert contents(folder) != before


def test_a_trial_where_nothing_is_kept_makes_no_folder(tmp_path: Path, capsys: pytest.CaptureFixture[str]) -> None:
    """It says what would come of it on an empty roster."""
    assert brought(tmp_path / "none", "diary.txt", "--dry-run") == 0
    assert "There is no" in capsys.readouterr().out
    assert not (tmp_path / "none").exists()


def test_columns_are_asked_one_by_one_and_the_mapping_is_kept(
    folder: Path, tmp_path: Path, capsys: pytest.CaptureFixture[str], monkeypatch: pytest.MonkeyPatch
) -> None:
    """Through a pipe: Enter takes a guess, a word that is none brings the list, and the kept mapping asks nothing the next time."""
    mapping = tmp_path / "mapping.toml"
    answers = ["", "", "", "sandwich", "", "", "", "", "ignore", str(mapping)]
    monkeypatch.setattr("sys.stdin", io.StringIO("\n".join(answers) + "\n"))
    assert brought(folder, "feedings.csv") == 1  # one of its days is none
    asked = capsys.readouterr().out
    assert "1 of 8, “Date” (29/01/2026, 03/02/2026, 05/02/2026): [date]" in asked
    assert "how many were left" in asked
    assert "line 8: 31/02/2026 is no day of the calendar." in asked
    weights = [fields for _on, kind, _who, fields, _words in standing_in(folder) if kind == "measurement"]
    assert weights == ["[('measure', 'weight'), ('value', [12.5, 12.5])]"]
    before = summary_in(folder)
    monkeypatch.setattr("sys.stdin", io.StringIO(""))
    assert brought(folder, "feedings.csv", "--mapping", str(mapping)) == 1
    assert "Here already, left as they are: 6 records." in capsys.readouterr().out
    assert summary_in(folder) == before


def test_a_roster_in_a_table_is_put_on_the_roster(
    folder: Path, capsys: pytest.CaptureFixture[str], monkeypatch: pytest.MonkeyPatch
) -> None:
    """A table without days; the second time all of it is there already."""
    monkeypatch.setattr("sys.stdin", io.StringIO("\n" * 5))
    assert brought(folder, "animals.csv") == 0
    assert "added Pearls in bark jar" in capsys.readouterr().out
    before = summary_in(folder)
    monkeypatch.setattr("sys.stdin", io.StringIO("\n" * 5))
    assert brought(folder, "animals.csv") == 0
    assert summary_in(folder) == before


def test_what_is_asked_is_asked_at_a_terminal_with_a_bar_beside_it(folder: Path, tmp_path: Path) -> None:
    """The real command on a real pseudo-terminal: the order of the days, whose messages count, then the bar and the report."""
    chat = tmp_path / "chat.txt"
    chat.write_text("03/02/2026, 19:40 - Wren: Basalt moulted\n04/03/2026, 19:40 - Ola: nice\n")
    ours, theirs = pty.openpty()
    words = command("import", str(chat))
    with subprocess.Popen(words, env=environment(folder), stdin=theirs, stdout=theirs, stderr=theirs) as process:
        os.close(theirs)
        os.write(ours, b"month\nWren\n")
        screen = b""
        while True:
            try:
                screen += os.read(ours, 4096)
            except OSError:  # Linux says so when the other side has hung up
                break
        assert process.wait(60) == 0
    os.close(ours)
    text = screen.decode()
    assert "Is 03/02/2026 (line 1) 3 Feb, with the day first, or 2 Mar, with the month first? [day/month]" in text
    assert "1. Wren, 1 message" in text
    assert "Reading" in text
    assert "Understood: 1 message: 1 moult." in text
    assert {(on, kind) for on, kind, _words in told(folder)} == {("2026-03-02", "moult")}


@pytest.mark.parametrize(
    ("name", "content", "why"),
    [
        ("empty.txt", b"", "is empty"),
        ("picture.jpg", b"\xff\xd8\xff\xe0\x00\x10JFIF", "is no text: there is a control character in line 1"),
        ("chat.zip", b"PK\x03\x04rest", "is a packed archive"),
        ("half.json", b'{"name": "Jars", "messages": [{"id": 1, "te', "is not good JSON: Unterminated string"),
        ("deep.json", b"{" + b'"a":[' * 100_000, "is not good JSON"),
        ("other.json", b'{"name": "Jars"}', "neither a collection of Rackside's nor a chat export"),
        ("letter.txt", b"Dear Wren,\nthe spiders are fine.\n", "is in no form that I know"),
        ("bad.csv", b'date,animal,prey\n"2026-02-03,Ambers,cricket\n', "is not good CSV"),
        ("utf16.txt", b"\xff\xfe2\x00\x30", "begins as UTF-16"),
        ("odd.txt", b"2026-02-03 fed \x81\n", "in no encoding that I know (line 1)"),
        ("two.txt", b"31/01/2026 fed Ambers\n02/28/2026 fed Ambers\n", "written in two ways"),
        ("open.txt", b"03/02/2026 fed Ambers\n", "Say --day-first or --month-first; nothing was written"),
        (
            "several.txt",
            b"2026-02-03, 19:40 - Wren: a\n2026-02-03, 19:41 - Ola: b\n",
            "Say which is the keeper with --from",
        ),
    ],
)
def test_a_file_that_cannot_be_used_is_one_sentence(
    folder: Path,
    name: str,
    content: bytes,
    why: str,
    capsys: pytest.CaptureFixture[str],
    monkeypatch: pytest.MonkeyPatch,
) -> None:
    """It names the file or the line, the status is 2, and nothing is written. Nobody is there to be asked."""
    path = folder.parent / name
    path.write_bytes(content)
    before = summary_in(folder)
    monkeypatch.setattr("sys.stdin", io.StringIO(""))
    assert main(["import", str(path), "--data", str(folder)]) == 2
    said = capsys.readouterr().err
    assert said.startswith("rackside: ")
    assert why in said
    assert summary_in(folder) == before


def test_files_of_other_programs_are_read_in_their_encodings(folder: Path, tmp_path: Path) -> None:
    """UTF-8 with a mark, UTF-16, and Windows-1252 where it is no UTF-8."""
    for place, encoding in enumerate(("utf-8-sig", "utf-16", "cp1252"), 1):
        path = tmp_path / f"diary-{encoding}.txt"
        path.write_bytes(f"2026-02-0{place} Basalt: façade dug".encode(encoding))
        assert main(["import", str(path), "--data", str(folder)]) == 0
    assert {words for _on, _kind, words in told(folder)} == {"Basalt: façade dug"}
    assert len(told(folder)) == 3


@pytest.mark.parametrize("words", [["--from", "Wren"], ["--mapping", "mapping.toml"], ["--with-members"]])
def test_an_option_of_another_form_is_refused(
    folder: Path, words: list[str], capsys: pytest.CaptureFixture[str]
) -> None:
    """A diary names no sender, has no columns and brings no members; better said than passed over."""
    assert brought(folder, "diary.txt", *words) == 2
    assert f"{words[0]} has no use here: {SAMPLES / 'diary.txt'} is lines with a day each" in capsys.readouterr().err


def test_a_sender_who_is_not_there_is_said(folder: Path, capsys: pytest.CaptureFixture[str]) -> None:
    """With those who are."""
    assert brought(folder, "chat.json", "--from", "Wren", "--from", "Nobody") == 2
    assert "There is nothing of Nobody in it; there is of Wren, Ola." in capsys.readouterr().err


def test_the_json_of_an_export_is_brought_in_by_the_same_verb(
    folder: Path, tmp_path: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    """A collection written by `rackside export --json` goes into an empty one, and a second time adds nothing."""
    assert brought(folder, "diary.txt") == 0
    out = tmp_path / "records.json"
    assert main(["export", "--json", str(out), "--data", str(folder)]) == 0
    assert json.loads(out.read_text())["format"]
    other = tmp_path / "other"
    assert main(["import", str(out), "--data", str(other), "--dry-run"]) == 0
    assert not other.exists()
    assert main(["import", str(out), "--data", str(other)]) == 0
    assert told(other) == told(folder)
    capsys.readouterr()
    assert main(["import", str(out), "--data", str(other)]) == 0
    assert "nothing was added" in capsys.readouterr().out
    before = summary_in(other)
    assert brought(other, "diary.txt") == 0  # what was brought in from a file is known in the copy too
    assert "Here already, left as they are: 7 lines." in capsys.readouterr().out
    assert summary_in(other)["entries"] == before["entries"]


def test_times_are_of_the_zone_that_is_said(folder: Path, tmp_path: Path) -> None:
    """Half past one at night in Tokyo is the evening before in Lisbon (UTC+9 and UTC+0 in February, tz database)."""
    (tmp_path / "chat.txt").write_text("2026-02-03, 01:30 - Wren: fed Basalt 1 cricket\n")
    assert main(["import", str(tmp_path / "chat.txt"), "--zone", "Asia/Tokyo", "--data", str(folder)]) == 0
    assert {(on, kind) for on, kind, _words in told(folder)} == {("2026-02-02", "feeding")}
