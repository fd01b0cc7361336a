"""The console in plain lines: what is printed for a reply, and how odd input is taken."""

from __future__ import annotations

import io
from collections.abc import Iterable, Iterator
from pathlib import Path
from typing import TYPE_CHECKING

from bot.channels.console import FAREWELL, Talk, messages_in, plain_text, safe, talk, talk_in_lines
from bot.conversation.reply import Attachment, Reply

if TYPE_CHECKING:
    import pytest


def echo(message: str) -> list[Reply]:
    return [Reply(text=f"heard {message}")]


def play(typed: Iterable[bytes], console: Talk | None = None) -> str:
    sink = io.StringIO()
    talk_in_lines(console or Talk(say=echo, words=list), typed, sink)
    return sink.getvalue()


def test_each_line_is_a_message() -> None:
    """Lines go in one by one, blank ones are passed over, the last needs no newline."""
    assert play([b"one\n", b"\n", b"  \r\n", b"two"]) == "heard one\nheard two\n"


def test_the_greeting_comes_first() -> None:
    """What the talk is opened with is printed before anything is read."""
    assert play([], Talk(say=echo, words=list, greeting="Hello.")) == "Hello.\n"


def test_choices_are_numbered() -> None:
    """A question is printed with a number before each choice."""
    assert plain_text(Reply(text="Which?", choices=("tub 1", "tub 2"))) == "Which?\n  1. tub 1\n  2. tub 2"


def test_bytes_that_are_no_text_do_not_stop_the_talk() -> None:
    """A line that is not UTF-8 is a message like any other, and so is the next."""
    assert play([b"\xff\xfe\n", b"two\n"]).endswith("heard two\n")


def test_quit_ends_the_talk() -> None:
    """A line that only says quit or exit is no message."""
    assert play([b"one\n", b" Quit\n", b"two\n"]) == "heard one\n"


def test_an_interrupt_says_goodbye() -> None:
    """Ctrl-C ends the talk with a line, not with a traceback."""

    def typed() -> Iterator[bytes]:
        yield b"one\n"
        raise KeyboardInterrupt

    assert play(typed()) == f"heard one\n{FAREWELL}\n"


def test_control_characters_cannot_steer_the_terminal() -> None:
    """Escape sequences in a keeper's words are shown as marks; newlines, tabs and letters of any script stay."""
    assert safe("a\x1b[2Jb\x00\x9bc\td\ne é 蜘蛛 🕷") == "a\ufffd[2Jb\ufffd\ufffdc\td\ne é 蜘蛛 🕷"


def test_a_narrow_encoding_loses_letters_not_lines() -> None:
    """On an ASCII output a letter that it lacks is a question mark, and so is a lone surrogate on any."""
    raw = io.BytesIO()
    sink = io.TextIOWrapper(raw, encoding="ascii", newline="\n")
    talk_in_lines(Talk(say=lambda _: [Reply(text="23 °C \ud800")], words=list), [b"tub 4\n"], sink)
    assert raw.getvalue() == b"23 ?C ?\n"


def test_a_paste_of_several_lines_is_several_messages() -> None:
    """Pasted lines are a message each, without the blank ones."""
    assert messages_in("fed B\n\n misted C \r\nD moulted") == ["fed B", " misted C ", "D moulted"]


def test_without_a_terminal_the_talk_is_in_plain_lines(
    monkeypatch: pytest.MonkeyPatch, capsys: pytest.CaptureFixture[str]
) -> None:
    """With standard input from a pipe nothing but the replies is printed."""
    monkeypatch.setattr("sys.stdin", io.TextIOWrapper(io.BytesIO(b"fed B\n")))
    talk(Talk(say=echo, words=list))
    assert capsys.readouterr().out == "heard fed B\n"


def test_what_the_bot_says_unasked_comes_between_lines() -> None:
    """Before the first line is read, and after each is answered."""
    waiting = [[Reply(text="good morning")], [], [Reply(text="look in", choices=("out",))]]
    sink = io.StringIO()
    console = Talk(say=lambda text: [Reply(text=text)], words=tuple, pushes=lambda: waiting.pop(0))
    talk_in_lines(console, [b"one\n", b"two\n"], sink)
    assert sink.getvalue() == "good morning\none\ntwo\nlook in\n  1. out\n"


def test_a_file_is_told_by_where_it_lies() -> None:
    """A picture and any other file, before the choices; without a folder by the path in the reply."""
    files = (Attachment("pictures/ab.png"), Attachment("sheets/cd.pdf", "document"))
    reply = Reply(text="group B: 42", choices=("more",), files=files)
    told = plain_text(reply, lambda path: Path("/data", path))
    assert told == "group B: 42\nPicture: /data/pictures/ab.png\nFile: /data/sheets/cd.pdf\n  1. more"
    assert plain_text(Reply(text="x", files=files[:1])) == "x\nPicture: pictures/ab.png"
