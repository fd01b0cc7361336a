"""`rackside say` and `rackside chat`: one message from a script, and a talk through a pipe."""

from __future__ import annotations

import io
import subprocess
import sys
from pathlib import Path

import pytest

from bot.cli import main

ROSTER = Path(__file__).with_name("small.toml")


@pytest.fixture
def data(tmp_path: Path, capsys: pytest.CaptureFixture[str]) -> str:
    folder = str(tmp_path / "data")
    assert main(["roster", "import", str(ROSTER), "--data", folder]) == 0
    assert "added group B in tub 4" in capsys.readouterr().out
    return folder


def chat(monkeypatch: pytest.MonkeyPatch, typed: str, *words: str) -> int:
    monkeypatch.setattr("sys.stdin", io.TextIOWrapper(io.BytesIO(typed.encode("utf-8", errors="surrogatepass"))))
    return main(["chat", *words])


def test_a_message_understood_is_written_and_status_0(data: str, capsys: pytest.CaptureFixture[str]) -> None:
    """`say` prints the echo, and what was written is there for the next process to ask."""
    assert main(["say", "fed B 3 crickets", "--data", data]) == 0
    assert "group B" in capsys.readouterr().out
    assert main(["say", "when did B last eat", "--data", data]) == 0
    assert "3 crickets" in capsys.readouterr().out


def test_a_question_back_is_numbered_and_status_1(data: str, capsys: pytest.CaptureFixture[str]) -> None:
    """A message that leaves open which place is meant gives a question with numbers; a number then settles it."""
    assert main(["say", "fed 3 crickets", "--data", data]) == 1
    assert "  1. " in capsys.readouterr().out
    assert main(["say", "1", "--data", data]) == 0
    assert "3 crickets" in capsys.readouterr().out


def test_the_folder_comes_from_the_environment(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch, capsys: pytest.CaptureFixture[str]
) -> None:
    """Without --data the folder of RACKSIDE_DATA is used, and made if need be."""
    monkeypatch.setenv("RACKSIDE_DATA", str(tmp_path / "new" / "folder"))
    assert main(["say", "what can you do"]) == 0
    assert capsys.readouterr().out
    assert list((tmp_path / "new" / "folder").iterdir())


def test_a_folder_that_is_a_file_is_one_sentence(tmp_path: Path, capsys: pytest.CaptureFixture[str]) -> None:
    """A data folder that cannot be one gives a sentence on standard error and status 2."""
    (tmp_path / "file").write_text("")
    assert main(["say", "fed B", "--data", str(tmp_path / "file")]) == 2
    assert capsys.readouterr().err.count("\n") == 1


def test_a_wrong_setting_stops_before_anything_is_made(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch, capsys: pytest.CaptureFixture[str]
) -> None:
    """A zone that does not exist is said, and no data folder is made."""
    monkeypatch.setenv("RACKSIDE_ZONE", "Mars/Olympus")
    assert main(["say", "fed B", "--data", str(tmp_path / "data")]) == 2
    assert "Mars/Olympus" in capsys.readouterr().err
    assert not (tmp_path / "data").exists()


def test_settings_reach_the_collection(data: str, monkeypatch: pytest.MonkeyPatch, tmp_path: Path) -> None:
    """A zone set later is the collection's from then on."""
    monkeypatch.setenv("RACKSIDE_ZONE", "Asia/Tokyo")
    monkeypatch.setenv("RACKSIDE_UNITS", "imperial")
    assert main(["roster", "export", str(tmp_path / "out.toml"), "--data", data]) == 0
    assert 'zone = "Asia/Tokyo"' in (tmp_path / "out.toml").read_text()


def test_a_talk_through_a_pipe_answers_line_by_line(
    data: str, monkeypatch: pytest.MonkeyPatch, capsys: pytest.CaptureFixture[str]
) -> None:
    """Without a terminal each line is answered in plain lines after the greeting."""
    assert chat(monkeypatch, "fed B 3 crickets\nwhen did B last eat\n", "--data", data) == 0
    said = capsys.readouterr().out
    assert said.startswith("Hello.")
    assert said.count("3 crickets") >= 2


def test_an_empty_collection_says_how_to_begin(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch, capsys: pytest.CaptureFixture[str]
) -> None:
    """With nothing on the roster the greeting shows how to put something there; --roster brings a file in."""
    assert chat(monkeypatch, "", "--data", str(tmp_path / "data")) == 0
    assert "Nothing is on the roster yet" in capsys.readouterr().out
    assert chat(monkeypatch, "fed B\n", "--data", str(tmp_path / "data"), "--roster", str(ROSTER)) == 0
    said = capsys.readouterr().out
    assert "Nothing is on the roster yet" not in said
    assert "group B" in said


BAD = [
    "",
    "a" * 100_000,
    "\x00\x01\x02\x1b[2J",
    "\u202eabc\u200f",
    "🕷️🕷️",
    "fed B\x00 3 crickets",
    "\ud800 lone \udfff",
    '{"intent": "log"',
    "fed B 31 February",
    "fed B on 9 March 2099",
    "counted -3 in B",
    "count B 1000000000",
]


def test_bad_input_gets_an_answer_and_the_next_message_works(
    data: str, monkeypatch: pytest.MonkeyPatch, capsys: pytest.CaptureFixture[str]
) -> None:
    """Whatever is typed, nothing is a traceback, and the message after it is understood."""
    for text in BAD:
        assert chat(monkeypatch, text.replace("\n", " ") + "\nnever mind\nfed B 3 crickets\n", "--data", data) == 0
        said = capsys.readouterr()
        assert "Traceback" not in said.out + said.err
        assert "Something went wrong" not in said.out
        assert "3 crickets" in said.out.splitlines()[-1] + said.out.splitlines()[-2], text


@pytest.mark.parametrize("text", [text for text in BAD if "\x00" not in text])
def test_bad_input_to_say_is_no_traceback(data: str, text: str, capsys: pytest.CaptureFixture[str]) -> None:
    """`say` of anything ends with status 0 or 1 and says something."""
    assert main(["say", text, "--data", data]) in {0, 1}
    assert capsys.readouterr().out.strip()


@pytest.mark.slow
def test_the_demo_greets_with_three_things_to_try(
    monkeypatch: pytest.MonkeyPatch, capsys: pytest.CaptureFixture[str]
) -> None:
    """`chat --demo` says what to try, and each of the three is understood."""
    assert chat(monkeypatch, "", "--demo") == 0
    tries = [line.strip() for line in capsys.readouterr().out.splitlines() if line.startswith("  ")]
    assert len(tries) == 3
    assert chat(monkeypatch, "\n".join(tries) + "\n", "--demo") == 0
    replies = capsys.readouterr().out.partition("Ctrl-D leaves.\n")[2]
    assert replies.startswith("Flint: last feeding")
    assert "2 left over" in replies
    assert "Entries of slate box" in replies


def test_say_does_not_import_what_it_does_not_use(data: str) -> None:
    """`rackside say` leaves the prompt, the tables, dateparser and the migrations alone: each costs a tenth of a second."""
    script = (
        "import sys; from bot.cli import main; main(sys.argv[1:]);"
        "print(sorted({'prompt_toolkit', 'rich', 'dateparser', 'alembic'} & set(sys.modules)))"
    )
    command = [sys.executable, "-c", script, "say", "fed B", "--data", data]
    done = subprocess.run(command, capture_output=True, text=True, check=True)
    assert done.stdout.splitlines()[-1] == "[]"
