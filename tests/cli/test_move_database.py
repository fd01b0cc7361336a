"""`rackside move-database` as a keeper meets it: what it prints, what it refuses, and that nothing stays behind unsaid."""

from __future__ import annotations

import re
from pathlib import Path

import pytest

from bot.photo_shelf import PhotoShelf
from storage import photos
from storage.copying import Summaries, summary_of
from storage.engines import POSTGRESQL
from storage.store import Store
from tests import databases
from tests.cli.commands import rackside, set_up
from tests.storage.everything import fill

pytestmark = pytest.mark.slow


def records(where: str | Path) -> Summaries:
    store = Store.open(where)
    try:
        return summary_of(store)
    finally:
        store.close()


@pytest.fixture
def data(tmp_path: Path) -> Path:
    """A data folder with a row in every table and one photo."""
    folder = tmp_path / "data"
    store = Store.open(folder)
    fill(store)
    with store.write() as session:
        digest = PhotoShelf(folder).keep(b"a picture of tub 4", "image/png")
        photos.keep(session, photos.want(session, 1, 1, "telegram", {}), digest, "image/png", 18)
    store.close()
    return folder


def test_from_folder_to_folder(data: Path, tmp_path: Path) -> None:
    """A line for each table, the photos, and what to do next."""
    new = tmp_path / "new"
    before = records(data)
    done = rackside(data, "move-database", str(data), str(new))
    assert done.returncode == 0, done.stderr
    counted = dict(re.findall(r"^  (\w+) +([\d,]+)$", done.stdout, re.MULTILINE))
    assert {name: int(rows) for name, rows in counted.items()} == {name: of.rows for name, of in before.items()}
    total = sum(summary.rows for summary in before.values())
    assert done.stdout.splitlines()[-3:] == [
        f"1 of 2 photos are in {new}/photos now.",
        f"{total} rows copied from {data}/rackside.sqlite3 to {new}/rackside.sqlite3, and compared.",
        f"{data}/rackside.sqlite3 was left as it is. From now on use only the new one.",
    ]
    assert records(new) == records(data) == before
    assert [path.read_bytes() for path in new.glob("photos/*/*")] == [b"a picture of tub 4"]
    assert not list(new.glob(".rackside-*"))


@pytest.mark.parametrize("database", [POSTGRESQL], indirect=True, scope="session")
def test_to_a_server_and_back(data: Path, tmp_path: Path) -> None:
    """The address may stand in a file, which keeps its password out of sight; what is printed holds none anyway."""
    before = records(data)
    address = str(databases.of(tmp_path / "address")).replace("rackside@", "rackside:openly@")
    (tmp_path / "secret").write_text(address + "\n")
    done = rackside(data, "move-database", str(data), str(tmp_path / "secret"))
    assert done.returncode == 0, done.stderr
    assert f"The photos stay where they are, in {data}/photos" in done.stdout
    again = rackside(data, "move-database", address, str(tmp_path / "back"))
    assert again.returncode == 0, again.stderr
    assert records(tmp_path / "back") == records(address) == before
    assert len(list((tmp_path / "back").glob("photos/*/*"))) == 1
    assert "openly" not in done.stdout + again.stdout
    twice = rackside(data, "move-database", str(data), address)
    assert twice.returncode == 2
    assert "There are records in it already" in twice.stderr
    store = Store.open(address)
    with store.read() as session:
        session.connection()
        used = rackside(data, "move-database", address, str(tmp_path / "third"))
    store.close()
    assert used.returncode == 2
    assert "is in use. Stop `rackside run`" in used.stderr
    assert records(address) == before


def test_nothing_is_copied_on_top(data: Path, tmp_path: Path) -> None:
    """Nor into itself."""
    other = set_up(tmp_path / "other")
    before = records(other)
    for target in (other, data):
        done = rackside(data, "move-database", str(data), str(target))
        assert (done.returncode, done.stdout) == (2, "")
        assert done.stderr == (
            f"rackside: Nothing was copied to {target}/rackside.sqlite3. There are records in it already, and nothing is copied on"
            " top of them.\n"
        )
    assert records(other) == before


def test_from_where_nothing_is(tmp_path: Path) -> None:
    """No folder is made for it, and an empty database is no collection."""
    done = rackside(tmp_path, "move-database", str(tmp_path / "gone"), str(tmp_path / "new"))
    assert done.returncode == 2
    assert done.stderr == f"rackside: There are no records to copy: {tmp_path}/gone/rackside.sqlite3 is not there.\n"
    assert list(tmp_path.iterdir()) == []
    Store.open(tmp_path / "empty").close()
    done = rackside(tmp_path, "move-database", str(tmp_path / "empty"), str(tmp_path / "new"))
    assert done.stderr == f"rackside: There are no records in {tmp_path}/empty/rackside.sqlite3.\n"
    done = rackside(tmp_path, "move-database", "mysql://ana@localhost/shelf", str(tmp_path / "new"))
    assert done.returncode == 2
    assert "The address of the database is not one that I know" in done.stderr


def test_from_a_database_in_use(data: Path, tmp_path: Path) -> None:
    """What is said meanwhile would stay behind."""
    store = Store.open(data)
    with store.read() as session:
        session.connection().exec_driver_sql("SELECT 1 FROM entries").first()
    done = rackside(data, "move-database", str(data), str(tmp_path / "new"))
    assert done.returncode == 2
    assert f"{data}/rackside.sqlite3 is in use. Stop `rackside run`" in done.stderr
    store.close()
    assert not (tmp_path / "new").exists()
