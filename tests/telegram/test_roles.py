"""Who may: everything the bot can be sent, by everybody who can send it, over HTTP. Outside nobody leaves a trace."""

from __future__ import annotations

import ast
import inspect
import re
from collections.abc import Iterable, Iterator
from dataclasses import dataclass, fields
from pathlib import Path
from tempfile import TemporaryDirectory
from typing import get_args

import pytest

from bot import admission
from bot.channels import port
from bot.channels.telegram import events, menu
from bot.channels.telegram.updates import ALLOWED
from bot.conversation import setup, turn
from bot.language import meaning
from bot.reminders.model import PURPOSES
from storage.tables import Base
from tests.telegram.bot_api import Serving
from tests.telegram.cells import (
    KEEPS,
    MARK,
    OUTSIDE,
    REMOVED,
    RENEWED,
    ROLES,
    SHARING,
    STRANGER,
    Cell,
    Outcome,
    Rows,
    Stage,
    heard,
    sorts_changed,
)
from tests.telegram.handlers import HANDLERS, LOG, Handler
from tests.telegram.served import home, served, settings_for

pytestmark = pytest.mark.slow

ALWAYS = {"address", "name", "chat", "key", "sent_at"}
"""What every message has."""

NEVER_TOLD = {"carried:deletes", "turn:forget"}
"""Of deletions the service tells a bot nothing."""

STANDS = ("chats", "turned_away")
"""Tables in which people outside may leave the id of a chat that blocked the bot, and when they were told."""


@dataclass(frozen=True)
class Table:
    """What came of every cell; the rows before and after what people outside did; all bytes in the data folder at the end."""

    cells: dict[tuple[str, str], Outcome]
    before: Rows
    after: Rows
    written: bytes
    violations: list[object]


Playing = tuple[Cell, Handler]


@pytest.fixture(scope="module")
def table() -> Iterator[Table]:
    """Every cell, played by one bot on one database."""
    with TemporaryDirectory() as folder, Serving() as api, home(Path(folder) / "home") as kept:
        ola = api.user("Ola")
        kept.admit(ola, role="owner")
        api.privacy(on=False)
        stage = Stage(api, kept, ola)
        with served(kept, settings_for(api)):
            cells = {(role, one.name): act(prepared(stage, role, one), one) for role in ROLES for one in HANDLERS}
            outside = [(prepared(stage, role, one), one) for role in OUTSIDE for one in HANDLERS]
            before = stage.rows()
            cells |= together(stage, [(cell, one) for cell, one in outside if not one.admits])
            after = stage.rows()
            cells |= {(cell.role, one.name): act(cell, one) for cell, one in outside if one.admits}
        files = [path for path in kept.folder.rglob("*") if path.is_file()]
        yield Table(cells, before, after, b"\n".join(path.read_bytes() for path in files), api.violations)


def prepared(stage: Stage, role: str, handler: Handler) -> Cell:
    """A person of this role in front of this act. Who was a member prepares it as a keeper."""
    person, was_member = stage.api.user(f"P{next(stage.plates)}"), role in (*ROLES, REMOVED)
    cell = Cell(stage, "keeper" if was_member else role, person)
    if was_member:
        stage.home.admit(person)
    if handler.place != "private" or role == SHARING:
        others = (person,) if role == STRANGER and not handler.ready else (stage.ola, person)
        cell.group = stage.api.group("Rack", *others, forum=handler.place == "topic")
        cell.topic = cell.group.topic("Left shelf", person) if handler.place == "topic" else None
    if handler.ready:
        handler.ready(cell)
    if handler.before and was_member:
        handler.before(cell)
    stage.settle()
    if was_member:
        stage.change(person, role)
    cell.role = role
    return cell


def words_for(cell: Cell, handler: Handler) -> str:
    """How the answer begins, "" for silence."""
    if not cell.is_outside:
        return handler.expected(cell.role)[0]
    return "" if cell.group is not None and handler.aside else handler.outside


def act(cell: Cell, handler: Handler) -> Outcome:
    """Do it, and see what came of it."""
    before, shown = cell.stage.rows(), tuple(cell.place.texts)
    done = handler.does(cell)
    cell.stage.settle()
    if words_for(cell, handler):
        cell.stage.api.wait(lambda: heard(cell, shown, done))
    return Outcome(heard(cell, shown, done), sorts_changed(before, cell.stage.rows()))


def together(stage: Stage, playing: list[Playing]) -> dict[tuple[str, str], Outcome]:
    """Do all of these at once: what changes is looked at afterwards, for all."""
    doing = [(cell, one, tuple(cell.place.texts), one.does(cell)) for cell, one in playing]
    stage.settle()
    for cell, one, shown, done in doing:
        if words_for(cell, one):
            stage.api.wait(lambda cell=cell, shown=shown, done=done: heard(cell, shown, done))  # type: ignore[misc]  # bound as they are here
    return {(cell.role, one.name): Outcome(heard(cell, shown, done), frozenset()) for cell, one, shown, done in doing}


def covered(registry: str) -> set[str]:
    """What the handlers stand for in a registry of the bot."""
    names = {name for one in HANDLERS for name in one.covers.split()} | NEVER_TOLD
    return {name.partition(":")[2] for name in names if name.startswith(f"{registry}:")}


def listed(doc: str | None) -> set[str]:
    """The words that a docstring lists, each at the start of an indented line with two spaces behind it."""
    return set(re.findall(r"^ {4}([a-z]+) {2,}\S", doc or "", re.MULTILINE))


def branches() -> set[str]:
    """What a turn brings in only where it needs it: each is a way that a message may go."""
    tree = ast.parse(inspect.getsource(turn))
    inside = [part for whole in tree.body if isinstance(whole, ast.FunctionDef) for part in ast.walk(whole)]
    return {name.name for part in inside if isinstance(part, ast.ImportFrom) for name in part.names}


REGISTRIES: dict[str, Iterable[str]] = {
    "command": menu.WORDS,
    "setup": setup.ACTIONS,
    "push": PURPOSES,
    "role": admission.ROLES,
    "update": ALLOWED,
    "event": {kind.__name__ for kind in get_args(events.Event)},
    "carries": {value for name, value in vars(port).items() if name.isupper() and isinstance(value, str)},
    "carried": {one.name for one in fields(port.Carried)} - ALWAYS,
    "intent": listed(meaning.__doc__),
    "plan": listed(meaning.Plan.__doc__) - {"kind"},
    "amend": {"retract", "change"},
    "turn": branches(),
}
"""What the bot knows of sorts of messages."""


@pytest.mark.parametrize("registry", REGISTRIES)
def test_nothing_is_forgotten(registry: str) -> None:
    """The table below has a row for everything that stands in a registry of the bot, and for nothing else."""
    assert len(set(REGISTRIES[registry])) > 1
    assert covered(registry) == set(REGISTRIES[registry])


def test_every_table_is_looked_at() -> None:
    """Each table of the database is of one of the sorts that are compared, or changes by itself."""
    compared = [name for names in KEEPS.values() for name in names]
    assert sorted([*compared, *RENEWED]) == sorted(Base.metadata.tables)


@pytest.mark.slow
@pytest.mark.parametrize("role", ROLES)
@pytest.mark.parametrize("handler", HANDLERS, ids=[one.name for one in HANDLERS])
def test_members(table: Table, handler: Handler, role: str) -> None:
    """Owners and keepers write, owners alone change the members, viewers write nothing; each is answered, or left in peace."""
    outcome, (words, changed) = table.cells[role, handler.name], handler.expected(role)
    assert outcome.changed - {"mail"} == changed, outcome.said
    assert [text[: len(words)] for text in outcome.said[:1]] == ([words] if words else [])
    assert role != "viewer" or not outcome.changed & {"journal", "roster", "members"}


@pytest.mark.slow
@pytest.mark.parametrize("role", OUTSIDE)
@pytest.mark.parametrize("handler", HANDLERS, ids=[one.name for one in HANDLERS])
def test_outside(table: Table, handler: Handler, role: str) -> None:
    """Who is no member is told so in one line, or, where nobody spoke to the bot, nothing; a fresh code lets in."""
    outcome = table.cells[role, handler.name]
    silent = not handler.outside or (handler.aside and (role == SHARING or handler.place != "private"))
    assert [text[: len(handler.outside)] for text in outcome.said] == ([] if silent else [handler.outside])
    assert outcome.changed == ({"members", "mail"} if handler.admits else set())


@pytest.mark.slow
def test_outside_nobody_changes_anything(table: Table) -> None:
    """All that people outside sent changed no table, but when they were told, and which chat is open."""
    changed = {name for name in table.before if table.before[name] != table.after[name]}
    assert changed <= set(STANDS)
    assert "turned_away" in changed


@pytest.mark.slow
def test_no_word_from_outside_is_kept(table: Table) -> None:
    """What they wrote is in no file of the data folder, while what members wrote is."""
    assert MARK.encode() not in table.written
    assert LOG.encode() in table.written


@pytest.mark.slow
def test_the_bot_keeps_to_the_rules_of_the_service(table: Table) -> None:
    """No request of all these broke a rule of the published interface."""
    assert table.violations == []
