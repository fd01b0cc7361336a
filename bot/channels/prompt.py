"""The console at a terminal: a prompt that completes names and keeps its history, and tables drawn to the width there is."""

from __future__ import annotations

from collections.abc import Callable, Iterable, Iterator
from pathlib import Path
from typing import TYPE_CHECKING

from prompt_toolkit import PromptSession
from prompt_toolkit.completion import CompleteEvent, Completer, Completion
from prompt_toolkit.history import FileHistory, History, InMemoryHistory
from prompt_toolkit.patch_stdout import patch_stdout
from rich import box
from rich.console import Console
from rich.table import Table
from rich.text import Text

from bot.channels.console import FAREWELL, LEAVING, Talk, file_lines, messages_in, numbered, safe

if TYPE_CHECKING:
    from prompt_toolkit.document import Document

    from bot.conversation.reply import Reply

PROMPT = "> "


class NameCompleter(Completer):
    """Completes the last word or words before the cursor to a name ("tub 1" to "tub 13") or to a verb."""

    def __init__(self, words: Callable[[], Iterable[str]]) -> None:
        self._words = words

    def get_completions(self, document: Document, _event: CompleteEvent) -> Iterator[Completion]:
        """Names that go on from what stands before the cursor, longest overlap first, in the order given."""
        before = document.text_before_cursor
        found = [(overlap(before, word), word) for word in self._words()]
        for length, word in sorted((pair for pair in found if pair[0]), key=lambda pair: -pair[0]):
            yield Completion(word, start_position=-length)


def overlap(before: str, word: str) -> int:
    """How many characters at the end of `before`, from the start of a word, begin `word`; 0 for none."""
    starts = [place for place in range(len(before)) if place == 0 or not before[place - 1].isalnum()]
    tails = (before[place:] for place in starts if len(before) - place <= len(word))
    return next((len(tail) for tail in tails if word.lower().startswith(tail.lower()) and tail.strip()), 0)


def talk_at_prompt(console: Talk, screen: Console | None = None) -> None:
    """Talk until Ctrl-D or Ctrl-C. What the bot says unasked appears above the line that is being typed."""
    screen = screen or Console(highlight=False)
    session: PromptSession[str] = PromptSession(
        history=_history(console.history), completer=NameCompleter(console.words), complete_while_typing=False
    )
    if console.greeting:
        show_text(console.greeting, screen)

    def push() -> None:
        for reply in console.pushes():
            show(reply, screen, console.file)

    push()
    with console.ticking(push):
        while (entered := _next(session)) is not None:
            for message in messages_in(entered):
                for reply in console.say(message):
                    show(reply, screen, console.file)
    show_text(FAREWELL, screen)


def _history(path: Path | None) -> History:
    return InMemoryHistory() if path is None else FileHistory(path)


def _next(session: PromptSession[str]) -> str | None:
    """What is entered next; None when the keeper leaves."""
    try:
        with patch_stdout(raw=True):  # what is printed meanwhile goes above the line that is being typed
            entered = session.prompt(PROMPT)
    except (EOFError, KeyboardInterrupt):
        return None
    return None if entered.strip().lower() in LEAVING else entered


def show(reply: Reply, screen: Console, file: Callable[[str], Path] = Path) -> None:
    """Print one reply: its text, with a table in the place of those lines that say its rows, its files, then the choices."""
    lines = reply.text.split("\n")
    told = {": ".join(cell for cell in row if cell) for row in reply.rows}
    places = [place for place, line in enumerate(lines) if line in told]
    if places:
        before, after = lines[: places[0]], [line for line in lines[places[0] :] if line not in told]
        show_lines(before, screen)
        show_table(reply, screen)
        show_lines(after, screen)
    else:
        show_lines(lines, screen)
    for line in file_lines(reply, file):
        screen.print(Text(line), soft_wrap=True)  # a path broken in two cannot be opened
    show_lines(numbered(reply.choices), screen)


def show_lines(lines: Iterable[str], screen: Console) -> None:
    """Print some lines as they are, none for none."""
    for line in lines:
        show_text(line, screen)


def show_text(text: str, screen: Console) -> None:
    """Print text as it is: square brackets and emoji codes in a keeper's words are no markup."""
    screen.print(Text(safe(text)), soft_wrap=False)


def show_table(reply: Reply, screen: Console) -> None:
    """Draw rows under their header, the last column taking the room that is left and wrapping in it."""
    table = Table(box=box.SIMPLE_HEAD, show_edge=False)
    for place, name in enumerate(reply.header):
        table.add_column(safe(name), no_wrap=place == 0, overflow="fold")
    for row in reply.rows:
        table.add_row(*(Text(safe(cell)) for cell in row))
    screen.print(table)
