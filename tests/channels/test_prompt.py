"""The console at a terminal: completion, history, tables, and leaving."""

from __future__ import annotations

import io
from collections.abc import Callable, Iterable, Iterator
from contextlib import contextmanager
from pathlib import Path
from threading import Timer

import pytest
from prompt_toolkit.application import create_app_session
from prompt_toolkit.completion import CompleteEvent
from prompt_toolkit.document import Document
from prompt_toolkit.input import PipeInput, create_pipe_input
from prompt_toolkit.output import DummyOutput
from rich.console import Console

from bot.channels.console import FAREWELL, Talk
from bot.channels.prompt import NameCompleter, overlap, show, talk_at_prompt
from bot.conversation.reply import Attachment, Reply

NAMES = ("tub 1", "tub 13", "group B", "fed", "history")


def completions(typed: str) -> list[str]:
    found = NameCompleter(lambda: NAMES).get_completions(Document(typed), CompleteEvent())
    return [typed[: len(typed) + one.start_position] + one.text for one in found]


def test_names_of_several_words_are_completed() -> None:
    """What stands before the cursor is gone on with, over spaces too and whatever the case."""
    assert completions("fed TU") == ["fed tub 1", "fed tub 13"]
    assert completions("misted tub 1") == ["misted tub 1", "misted tub 13"]
    assert completions("hi") == ["history"]


def test_nothing_is_completed_in_the_middle_of_a_word_or_after_a_space() -> None:
    """The end of another word is no beginning of a name, and neither is nothing at all."""
    assert completions("satub") == []
    assert completions("") == []
    assert overlap("fed ", "fed") == 0


@pytest.fixture
def keys() -> Iterator[PipeInput]:
    with create_pipe_input() as pipe, create_app_session(input=pipe, output=DummyOutput()):
        yield pipe


def play(
    keys: PipeInput, typed: str, history: Path | None = None, words: Callable[[], Iterable[str]] = lambda: NAMES
) -> tuple[list[str], str]:
    heard: list[str] = []

    def say(message: str) -> list[Reply]:
        heard.append(message)
        return [Reply(text=f"heard {message}")]

    keys.send_text(typed)
    drawn = io.StringIO()
    talk_at_prompt(Talk(say=say, words=words, greeting="Hello.", history=history), Console(file=drawn, width=80))
    return heard, drawn.getvalue()


def test_lines_are_said_until_control_d(keys: PipeInput) -> None:
    """Each line entered is said and answered; Ctrl-D on an empty line leaves with a greeting."""
    heard, drawn = play(keys, "fed B\rmisted C\r\x04")
    assert heard == ["fed B", "misted C"]
    assert drawn == f"Hello.\nheard fed B\nheard misted C\n{FAREWELL}\n"


def test_control_c_leaves_politely(keys: PipeInput) -> None:
    """Ctrl-C leaves as Ctrl-D does."""
    heard, drawn = play(keys, "half a line\x03")
    assert heard == []
    assert drawn.endswith(f"{FAREWELL}\n")


def test_quit_leaves(keys: PipeInput) -> None:
    """The word quit leaves too."""
    assert play(keys, "quit\r")[0] == []


def test_a_pasted_block_is_a_message_for_each_line(keys: PipeInput) -> None:
    """A bracketed paste of three lines is three messages."""
    assert play(keys, "\x1b[200~fed B\nmisted C\nD moulted\x1b[201~\r\x04")[0] == ["fed B", "misted C", "D moulted"]


def test_tab_completes_a_name(keys: PipeInput) -> None:
    """Tab after the beginning of a name writes the rest."""

    def words() -> Iterable[str]:
        # The prompt completes beside its reading of keys, so that Enter must come a while after Tab, as from a hand.
        Timer(0.3, lambda: keys.send_text("\r\x04")).start()
        return NAMES

    assert play(keys, "fed gr\t", words=words)[0] == ["fed group B"]


def test_lines_typed_are_kept_for_the_next_time(keys: PipeInput, tmp_path: Path) -> None:
    """The history file holds what was entered."""
    play(keys, "fed B\r\x04", tmp_path / "typed")
    assert "+fed B" in (tmp_path / "typed").read_text()


def drawn(reply: Reply, width: int = 80) -> str:
    sink = io.StringIO()
    show(reply, Console(file=sink, width=width))
    return sink.getvalue()


def table_reply(*texts: str) -> Reply:
    rows = (("Mon 2 Mar 2026", "group B", texts[0]), ("Tue 3 Mar 2026", "", texts[1]))
    lines = [f"Mon 2 Mar 2026: group B: {texts[0]}", f"Tue 3 Mar 2026: {texts[1]}"]
    text = "\n".join(["Written: misted.", "Entries, newest first:", *lines, "There is more."])
    return Reply(text=text, header=("Day", "Who", "What"), rows=rows, choices=("more",))


def test_a_table_keeps_to_80_columns() -> None:
    """A history with long words is drawn with its header, no line is wider than the screen, and no word is lost."""
    words = "fed 3 roaches, 2 left over, and a very long remark that goes on " * 3
    lines = drawn(table_reply(words.strip(), "misted")).splitlines()
    assert max(map(len, lines)) <= 80
    assert lines[2].split() == ["Day", "Who", "What"]
    assert " ".join(lines).count("roaches") == 3


def test_a_table_hides_nothing_but_the_lines_that_say_its_rows() -> None:
    """What stands before and after the rows in the text is printed before and after the table."""
    lines = drawn(table_reply("fed", "misted")).splitlines()
    assert lines[:2] == ["Written: misted.", "Entries, newest first:"]
    assert lines[-2:] == ["There is more.", "  1. more"]
    assert sum("fed" in line for line in lines) == 1


def test_rows_that_the_text_does_not_say_leave_the_text_as_it_is() -> None:
    """Where no line of the text is a row, the text is printed whole: it says the same."""
    reply = Reply(text="Otherwise said.", header=("Day",), rows=(("Mon 2 Mar",),))
    assert drawn(reply) == "Otherwise said.\n"


def test_markup_in_a_keepers_words_is_text() -> None:
    """Square brackets and emoji codes are printed as they were written."""
    assert drawn(Reply(text="[bold]B[/bold] :spider:")) == "[bold]B[/bold] :spider:\n"


def test_a_question_shows_its_choices() -> None:
    """Choices come below the question, numbered."""
    assert drawn(Reply(text="Which?", choices=("tub 1", "tub 2"))) == "Which?\n  1. tub 1\n  2. tub 2\n"


def test_what_the_bot_says_unasked_is_shown_between_lines(keys: PipeInput) -> None:
    """Before the first line, and by a tick while one is being typed."""
    waiting = [[Reply(text="good morning")], [Reply(text="look in", choices=("out",))]]
    ticked: list[int] = []

    @contextmanager
    def ticking(act: Callable[[], None]) -> Iterator[None]:
        act()
        ticked.append(1)
        yield

    keys.send_text("\x04")
    drawn = io.StringIO()
    console = Talk(
        say=lambda _message: [], words=lambda: NAMES, pushes=lambda: waiting.pop(0) if waiting else [], ticking=ticking
    )
    talk_at_prompt(console, Console(file=drawn, width=80))
    assert drawn.getvalue() == f"good morning\nlook in\n  1. out\n{FAREWELL}\n"
    assert ticked == [1]


def test_a_picture_is_told_by_its_whole_path() -> None:
    """Where it lies stands before the choices, in one line however long, so that it can be opened."""
    sink = io.StringIO()
    reply = Reply("group B: 42", choices=("more",), files=(Attachment(f"pictures/{'ab' * 60}.png"),))
    show(reply, Console(file=sink, width=40), lambda path: Path("/data", path))
    lines = [line.rstrip() for line in sink.getvalue().splitlines()]
    assert lines == ["group B: 42", f"Picture: /data/pictures/{'ab' * 60}.png", "  1. more"]
