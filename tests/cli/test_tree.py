"""The tree of verbs: each has help, each names a function that exists, and faults become one sentence."""

from __future__ import annotations

import inspect
import subprocess
import sys
from argparse import ArgumentParser, _SubParsersAction
from collections.abc import Iterator
from pathlib import Path
from pkgutil import resolve_name

import pytest

from bot.cli import main
from bot.cli_tree import build_parser


def walk(parser: ArgumentParser) -> Iterator[ArgumentParser]:
    yield parser
    for action in parser._actions:  # noqa: SLF001 - argparse has no public way to list what was added
        if isinstance(action, _SubParsersAction):
            for child in action.choices.values():
                yield from walk(child)


PARSERS = list(walk(build_parser()))


@pytest.mark.parametrize("parser", PARSERS, ids=lambda parser: parser.prog)
def test_every_verb_and_option_has_help(parser: ArgumentParser) -> None:
    """Each verb has a description, each option and argument a help text, each verb a line in the list of verbs."""
    assert parser.description
    for action in parser._actions:  # noqa: SLF001 - as above
        if isinstance(action, _SubParsersAction):
            listed = {pseudo.dest: pseudo.help for pseudo in action._choices_actions}  # noqa: SLF001 - as above
            assert set(listed) == set(action.choices)
            assert all(listed.values())
        else:
            assert action.help, f"{parser.prog}: {action.dest} has no help"


@pytest.mark.parametrize("parser", PARSERS, ids=lambda parser: parser.prog)
def test_every_verb_names_a_function_of_one_argument(parser: ArgumentParser) -> None:
    """The function a verb names can be imported and takes the options."""
    name = parser.get_default("verb")
    if name is None:
        assert any(isinstance(action, _SubParsersAction) for action in parser._actions)  # noqa: SLF001 - as above
        return
    assert len(inspect.signature(resolve_name(name)).parameters) == 1


def test_version_is_printed(capsys: pytest.CaptureFixture[str]) -> None:
    """`rackside version` prints the name and the version, and is understood."""
    assert main(["version"]) == 0
    assert capsys.readouterr().out.startswith("rackside 0.")


def test_a_missing_roster_is_one_sentence_and_status_2(capsys: pytest.CaptureFixture[str], tmp_path: Path) -> None:
    """A roster file that is not there gives one line that names it, not a traceback."""
    assert main(["parse", "--roster", str(tmp_path / "none.toml")]) == 2
    said = capsys.readouterr().err
    assert "none.toml" in said
    assert said.count("\n") == 1


def test_a_mistake_of_our_own_is_not_dressed_up(monkeypatch: pytest.MonkeyPatch) -> None:
    """An error that no room declares goes up with its traceback, so that it can be reported."""
    monkeypatch.setattr("bot.cli_version.installed_version", lambda _name: 1 / 0)
    with pytest.raises(ZeroDivisionError):
        main(["version"])


def test_an_interrupt_leaves_with_the_usual_status(monkeypatch: pytest.MonkeyPatch) -> None:
    """Ctrl-C in a verb ends it with status 130 and nothing printed."""

    def interrupt(_name: str) -> str:
        raise KeyboardInterrupt

    monkeypatch.setattr("bot.cli_version.installed_version", interrupt)
    assert main(["version"]) == 130


def test_a_reader_that_goes_away_is_no_traceback() -> None:
    """`rackside … | head -1` ends quietly."""
    command = f"yes '{{}}' | head -n 20000 | {sys.executable} -m bot.cli dates | head -n 1"
    done = subprocess.run(["bash", "-c", command], capture_output=True, text=True, check=False, timeout=60)
    assert "Traceback" not in done.stderr
    assert "error" in done.stdout
