"""What README.md says is so: its commands parse, and its session is what really prints."""

from __future__ import annotations

import shlex

from bot.channels.prompt import PROMPT
from bot.cli_tree import build_parser
from tests.cli.session import README, blocks, played, typed

TEXT = README.read_text(encoding="utf-8")
SESSIONS = [block for block in blocks(TEXT, "console") if typed(block)]
SET_UP = ("pip install uv && uv run rackside chat --demo", "pip install uv && uv run pytest")


def commands(block: list[str]) -> list[list[str]]:
    """The words of each `rackside` command in a block, also of those behind a prompt, `uv run`, or a pipe."""
    found = []
    for line in block:
        lexer = shlex.shlex(line.removeprefix("$ "), posix=True, punctuation_chars="|&;<>")
        lexer.commenters = "#"
        lexer.whitespace_split = True
        found += [words[1:] for words in simple_commands(list(lexer)) if words[:1] == ["rackside"]]
    return found


def simple_commands(words: list[str]) -> list[list[str]]:
    """Words parted at the shell's operators; what stands behind < or > is a file and no argument."""
    parts: list[list[str]] = [[]]
    for before, word in zip(["", *words], words, strict=False):
        if set(word) <= set("|&;"):
            parts.append([])
        elif not set(word) <= set("<>") and not (before and set(before) <= set("<>")):
            parts[-1].append(word)
    return [part[2:] if part[:2] == ["uv", "run"] else part for part in parts]


COMMANDS = [
    words
    for block in blocks(TEXT)
    for words in commands([line for line in block if block not in SESSIONS or not line.startswith(PROMPT)])
]


def test_commands_are_found_wherever_they_stand() -> None:
    """Prompts, uv run, pipes, redirections and comments do not hide a command, and other commands are left out."""
    block = ["$ rackside version", "pip install uv && uv run rackside chat --demo  # try it"]
    assert commands(block) == [["version"], ["chat", "--demo"]]
    assert commands(["cat a | rackside parse --roster r.toml < in.jsonl > out.jsonl", 'rackside say "fed B"']) == [
        ["parse", "--roster", "r.toml"],
        ["say", "fed B"],
    ]


def test_every_command_of_the_readme_parses() -> None:
    """Each `rackside …` line in a code block of README.md is one that the command takes."""
    for words in COMMANDS:
        build_parser().parse_args(words)


def test_the_two_commands_of_the_set_up_stand_in_the_readme() -> None:
    """README.md gives the two commands that do all the set-up, as CI runs them, once it shows a session."""
    lines = [line.strip() for block in blocks(TEXT) for line in block]
    assert not SESSIONS or set(SET_UP) <= set(lines)


def test_the_session_shown_is_what_prints() -> None:
    """Typing what README.md shows, on its evening, prints what README.md shows."""
    for session in SESSIONS:
        begins = [line.startswith(PROMPT) for line in session].index(True)
        assert played(typed(session)) == [line.rstrip() for line in session[begins:]]


def test_blocks_are_cut_at_their_fences() -> None:
    """A session's typed lines are those behind the prompt; a block of another language is not one."""
    page = "text\n```sh\n> no\n```\n```console\nHello\n> fed B\nWritten.\n```\n> quoted\n"
    assert [typed(block) for block in blocks(page, "console")] == [["fed B"]]
    assert len(blocks(page)) == 2
