"""Over every function of storage that takes a session: what it gives or does for one collection is of that collection alone."""

from __future__ import annotations

import ast
import importlib
import inspect
import pkgutil
from collections.abc import Callable, Iterable, Iterator
from contextlib import contextmanager, suppress
from copy import deepcopy
from dataclasses import fields, is_dataclass
from datetime import date, datetime, time
from pathlib import Path
from types import ModuleType
from typing import TYPE_CHECKING, Any

import pytest

import bot
import storage
from storage.store import Store
from tests import databases
from tests.isolation.across import ACROSS, OF_THE_WHOLE
from tests.isolation.kept import Kept, fill
from tests.isolation.queries import CHANGES, NOTHING_TOLD, READS
from tests.isolation.rows import rows_of
from tests.isolation.world import BEN, World, ann, ben, open_world

if TYPE_CHECKING:
    from sqlalchemy.orm import Session

HANDLES = ("Session", "Connection", "Store", "Engine")
"""What gives access to the rows of a database."""

TALK = ("conversation", "answers", "reminders", "care", "language", "wording", "pictures", "labels")
"""The rooms of the bot in which what keepers say is dealt with."""


def takes_rows(one: Any) -> bool:  # noqa: ANN401 - a function or a class
    """Whether a function, or the making of an object, is given access to the rows."""
    made = one.__init__ if inspect.isclass(one) else one
    return any(word in str(part.annotation) for part in inspect.signature(made).parameters.values() for word in HANDLES)


def modules() -> Iterator[ModuleType]:
    for found in pkgutil.walk_packages(storage.__path__, "storage."):
        if ".migrations" not in found.name and ".tables" not in found.name:
            yield importlib.import_module(found.name)


def every_function() -> list[Any]:
    """The public functions and classes of storage that take a session, but those of modules that take the whole database."""
    return [
        one
        for module in modules()
        if module.__name__ not in OF_THE_WHOLE
        for name, one in vars(module).items()
        if (inspect.isfunction(one) or inspect.isclass(one)) and one.__module__ == module.__name__
        if not name.startswith("_") and takes_rows(one)
    ]


def called(one: Any) -> str:  # noqa: ANN401 - as above
    return f"{one.__module__.removeprefix('storage.')}.{one.__name__}"


def plain(value: Any) -> Any:  # noqa: ANN401 - any answer of storage
    """An answer as values that can be compared after its session has ended."""
    if is_dataclass(value) and not isinstance(value, type):
        return {one.name: plain(getattr(value, one.name)) for one in fields(value)}
    if isinstance(value, dict):
        return {key: plain(held) for key, held in value.items()}
    if isinstance(value, str | int | float | bool | None | date | datetime | time):
        return value
    return [plain(held) for held in value] if isinstance(value, Iterable) else deepcopy(value)


class Undone(Exception):
    """Nothing of what was done is to be kept."""


@contextmanager
def undone(world: World) -> Iterator[Session]:
    """A session that may write, and nothing stays of it."""
    with suppress(Undone), world.app.store.write() as session:
        yield session
        raise Undone


class Both:
    """One database, in which Ann's collection was alone first; what was asked of it then is kept."""

    def __init__(self, world: World) -> None:
        self.world = world
        ours, theirs = ann(), ben()
        world.let_in(ours)
        self.ours = fill(world, ours)
        self.alone = {name: self.ask(ask, self.ours) for name, ask in READS.items()}
        world.let_in(theirs)
        self.theirs = fill(world, theirs)

    def ask(self, ask: Callable[[Any, Kept], Any], kept: Kept) -> Any:  # noqa: ANN401 - any answer
        with undone(self.world) as session:
            return plain(ask(session, kept))


@pytest.fixture(scope="module")
def both(tmp_path_factory: pytest.TempPathFactory) -> Iterator[Both]:
    """Ann's collection and Ben's, filled by talking, with the same names throughout and no value in common."""
    folder = tmp_path_factory.mktemp("both")
    made = Both(open_world(Store.open(databases.of(folder / "database")), folder / "files"))
    yield made
    made.world.app.store.close()


def test_every_function_has_a_row() -> None:
    """A function that is new in storage is here too, once; and none that is gone."""
    rows = [*READS, *CHANGES, *ACROSS]
    assert sorted(rows) == sorted(map(called, every_function()))
    assert set(OF_THE_WHOLE) <= {module.__name__ for module in modules()}


@pytest.mark.parametrize("name", READS)
def test_a_question_is_answered_as_if_there_were_no_other_collection(both: Both, name: str) -> None:
    """The answer holds something, is the same as before the other came, and differs from what the other is told."""
    ask = READS[name]
    alone, now, theirs = both.alone[name], both.ask(ask, both.ours), both.ask(ask, both.theirs)
    assert now == alone
    assert not [word for word in (BEN["species"], BEN["note"], BEN["buyer"]) if str(word) in str(now)]
    if name in NOTHING_TOLD:
        return
    assert alone not in (None, [], {}, [None])
    assert theirs not in (None, [], {}, [None])
    assert now != theirs


@pytest.mark.parametrize("name", CHANGES)
def test_a_change_leaves_the_other_collection_as_it_was(both: Both, name: str) -> None:
    """Not one cell of the other's rows is another afterwards; nothing of this is kept."""
    with undone(both.world) as session:
        before = rows_of(session, both.theirs.collection_id)
        CHANGES[name](session, both.ours)
        session.flush()
        session.expire_all()
        assert rows_of(session, both.theirs.collection_id) == before


@pytest.mark.parametrize("name", ACROSS)
def test_what_looks_over_all_hands_out_what_is_told_of_it(both: Both, name: str) -> None:
    """Rows of no other sort than those that are named."""
    with undone(both.world) as session:
        found = set(sorts(ACROSS[name].ask(session, both.ours)))
    assert found <= set(ACROSS[name].hands_out)


def sorts(value: Any) -> Iterator[type]:  # noqa: ANN401 - any answer
    """The sorts of rows in an answer."""
    if is_dataclass(value):
        yield type(value)
        for one in fields(value):
            yield from sorts(getattr(value, one.name))
    elif isinstance(value, dict):
        for held in value.values():
            yield from sorts(held)
    elif isinstance(value, list | tuple | set):
        for held in value:
            yield from sorts(held)


def test_talk_looks_over_all_collections_where_it_is_told_alone() -> None:
    """In the rooms where keepers' words are dealt with, only the modules that are named use what looks over all."""
    found: dict[str, set[str]] = {}
    for path in sorted(path for room in TALK for path in Path(str(bot.__file__)).parent.joinpath(room).rglob("*.py")):
        for name in used(path):
            found.setdefault(name, set()).add(path.relative_to(Path(str(bot.__file__)).parent).as_posix())
    looking = {name: set(across.talk) for name, across in ACROSS.items() if across.hands_out}
    assert {name: found[name] for name in looking if name in found} == {key: of for key, of in looking.items() if of}


def used(path: Path) -> Iterator[str]:
    """The names, as "module.function", of storage that a module of the bot uses."""
    for node in ast.walk(ast.parse(path.read_text(encoding="utf-8"))):
        if isinstance(node, ast.Attribute) and isinstance(node.value, ast.Name):
            yield f"{node.value.id}.{node.attr}"
        if isinstance(node, ast.ImportFrom) and (node.module or "").startswith("storage."):
            yield from (f"{str(node.module).removeprefix('storage.')}.{one.name}" for one in node.names)
