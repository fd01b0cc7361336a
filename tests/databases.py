"""Which database the tests run on, and a fresh one for each.

Everything a test keeps lies in a folder. On SQLite the database is a file in it; on PostgreSQL the folder holds a file with the
address of a database of its own on the server of the test run. `of(folder)` is what `Store.open` takes in either case, in the test
itself and in processes that it starts.
"""

from __future__ import annotations

import shutil
from dataclasses import dataclass, field
from pathlib import Path
from uuid import uuid4

from sqlalchemy import make_url

from bot.secret import Secret
from bot.settings import Settings
from storage.engines import POSTGRESQL, SQLITE
from storage.store import FILE_NAME, Store
from tests.postgresql import Server, shared

ADDRESS = "database-address"


@dataclass
class _Chosen:
    """The engine in use, where the server of this run has its folder, and which databases the present test has made."""

    engine: str = SQLITE
    folder: Path | None = None
    made: list[str] = field(default_factory=list)
    template: str | None = None


_chosen = _Chosen()


def choose(engine: str, folder: Path | None) -> None:
    """From now on new databases are of this engine. Raises NoServer where it is PostgreSQL and there can be none."""
    _chosen.engine, _chosen.folder = engine, folder
    if engine == POSTGRESQL:
        server()


def engine() -> str:
    """The engine in use: sqlite or postgresql."""
    return _chosen.engine


def server() -> Server:
    """The PostgreSQL server of this test run, started if need be. Raises NoServer."""
    assert _chosen.folder is not None, "the server is had in a test run only"
    return shared(_chosen.folder)


def of(folder: Path) -> str | Path:
    """The database of a folder, for `Store.open`: on PostgreSQL it is made, with the tables, where the folder has none."""
    address = folder / ADDRESS
    if address.exists():
        return address.read_text()
    if _chosen.engine == SQLITE or (folder / FILE_NAME).exists():
        return folder
    folder.mkdir(mode=0o700, parents=True, exist_ok=True)
    return _made(folder, _template())


def settings(folder: Path) -> Settings:
    """What `opened` takes for the database of a folder."""
    where = of(folder)
    return Settings(database=Secret(where)) if isinstance(where, str) else Settings()


def empty(folder: Path) -> str | Path:
    """The same with a database that has no tables yet."""
    if _chosen.engine == SQLITE:
        return folder
    folder.mkdir(mode=0o700, parents=True, exist_ok=True)
    return _made(folder, "template1")


def copy(folder: Path, target: Path) -> Path:
    """A folder with all that is in it, the database too, under another name; nobody may have the database open."""
    shutil.copytree(folder, target)
    address = target / ADDRESS
    if address.exists():
        _made(target, str(make_url(address.read_text()).database))
    return target


def lasting() -> None:
    """What has been made so far is for more than the present test."""
    _chosen.made.clear()


def drop_made() -> None:
    """Throw the databases of the present test away, whoever still uses them."""
    for name in _chosen.made:
        server().run(f"DROP DATABASE IF EXISTS {name} WITH (FORCE)")
    _chosen.made.clear()


def _made(folder: Path, like: str) -> str:
    name = f"r{uuid4().hex}"
    server().run(f"CREATE DATABASE {name} TEMPLATE {like}")
    _chosen.made.append(name)
    url = server().url(name)
    (folder / ADDRESS).write_text(url)
    return url


def _template() -> str:
    """An empty database with all tables, made once by each process."""
    if _chosen.template is None:
        name = f"t{uuid4().hex}"
        server().run(f"CREATE DATABASE {name}")
        Store.open(server().url(name)).close()
        _chosen.template = name
    return _chosen.template
