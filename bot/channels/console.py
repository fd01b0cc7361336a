"""The terminal as a channel: lines in, Replies out.

At a terminal it is a prompt with history and completion of names, and tables; anywhere else plain lines in and out.
It is handed what it needs as functions, and knows neither the language nor the journal.
"""

from __future__ import annotations

import sys
from collections.abc import Callable, Iterable, Sequence
from contextlib import AbstractContextManager, nullcontext
from dataclasses import dataclass
from pathlib import Path
from typing import TYPE_CHECKING, TextIO

if TYPE_CHECKING:
    from bot.conversation.reply import Reply

WIDTH = 80
FAREWELL = "Until next time."
LEAVING = frozenset({"quit", "exit", ":q"})


@dataclass(frozen=True, slots=True)
class Talk:
    """What the console is handed.

    `say` gives a message to the conversation and brings the replies; `words` lists names and verbs for completion, asked
    anew for each line; `history` is the file that keeps the lines typed, or None; `greeting` is printed first. `pushes` brings
    what the bot has to say unasked, `file` says where a file that a reply names lies, and `ticking` does something every few seconds while a block runs.
    """

    say: Callable[[str], Sequence[Reply]]
    words: Callable[[], Iterable[str]]
    greeting: str = ""
    history: Path | None = None
    pushes: Callable[[], Sequence[Reply]] = tuple
    file: Callable[[str], Path] = Path
    ticking: Callable[[Callable[[], None]], AbstractContextManager[None]] = lambda _act: nullcontext()


def talk(console: Talk) -> None:
    """Talk until the keeper leaves: at a prompt where standard input and output are a terminal, else in plain lines."""
    if sys.stdin.isatty() and sys.stdout.isatty():
        from bot.channels.prompt import talk_at_prompt  # noqa: PLC0415 - prompt_toolkit costs 0.3 s; pipes do without

        talk_at_prompt(console)
    else:
        talk_in_lines(console, sys.stdin.buffer, sys.stdout)


def talk_in_lines(console: Talk, source: Iterable[bytes], sink: TextIO) -> None:
    """Take each line of `source` as a message and print the replies; blank lines are passed over.

    What the bot says unasked comes before a line is read and after it is answered.
    """
    if console.greeting:
        print_line(console.greeting, sink)
    try:
        _print_pushes(console, sink)
        for line in source:
            message = line.decode("utf-8", errors="replace").strip("\r\n")
            if message.strip().lower() in LEAVING:
                return
            for reply in console.say(message) if message.strip() else ():
                print_line(plain_text(reply, console.file), sink)
            _print_pushes(console, sink)
    except KeyboardInterrupt:
        print_line(FAREWELL, sink)


def _print_pushes(console: Talk, sink: TextIO) -> None:
    for reply in console.pushes():
        print_line(plain_text(reply, console.file), sink)


def print_line(text: str, sink: TextIO) -> None:
    """Print in whatever encoding the output has: a character that it lacks becomes a question mark."""
    encoding = sink.encoding or "utf-8"
    sink.write(text.encode(encoding, errors="replace").decode(encoding) + "\n")
    sink.flush()


def plain_text(reply: Reply, file: Callable[[str], Path] = Path) -> str:
    """A reply as plain lines: its files by where they lie (`file` says that), its choices numbered."""
    return "\n".join([safe(reply.text), *file_lines(reply, file), *numbered(reply.choices)])


def file_lines(reply: Reply, file: Callable[[str], Path]) -> list[str]:
    """Where each file that goes with a reply lies, one to a line: a terminal shows no pictures."""
    words = {"photo": "Picture"}
    return [f"{words.get(one.kind, 'File')}: {safe(str(file(one.path)))}" for one in reply.files]


def numbered(choices: Sequence[str]) -> list[str]:
    """The choices of a question, one to a line, each with the number that picks it."""
    return [f"  {number}. {safe(choice)}" for number, choice in enumerate(choices, start=1)]


def safe(text: str) -> str:
    """Text that cannot steer a terminal: control characters, which a keeper's words may hold, become a visible mark."""
    return "".join(character if _is_harmless(character) else "\ufffd" for character in text)


def _is_harmless(character: str) -> bool:
    return character in "\n\t" or not (ord(character) < 32 or 127 <= ord(character) < 160)


def messages_in(entered: str) -> list[str]:
    """The messages in what was entered: pasted lines are a message each, blank ones are none."""
    return [line for line in entered.splitlines() if line.strip()]
