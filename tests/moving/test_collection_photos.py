"""Photos move with a document, in the folder beside it."""

from __future__ import annotations

from argparse import Namespace
from pathlib import Path
from typing import Any

import pytest

from bot.cli_export import exported
from bot.moving.collection_in import bring_in
from bot.photo_shelf import PhotoShelf
from storage import photos
from storage.store import Store
from tests.front import Front
from tests.moving.documents import LATER, document, new_house

PICTURE, OTHER = b"\xff\xd8\xff picture of a moult", b"\x89PNG another"


def options(**given: Any) -> Namespace:  # noqa: ANN401 - as the command line gives them
    return Namespace(
        **{"csv": None, "json": None, "calendar": None, "days": 30, "replace": False, "with_addresses": False, **given}
    )


@pytest.fixture
def pictured(front: Front) -> Front:
    """Two photos came with words and are kept; a third was lost."""
    shelf = PhotoShelf(front.folder)
    for key, content, kind in (("1", PICTURE, "image/jpeg"), ("2", OTHER, "image/png"), ("3", b"", "")):
        [taken] = front.take(front.message("flint moulted", key=key))
        with front.desk.app.store.write() as session:
            assert taken.inbox_id is not None
            photo = photos.want(session, 1, taken.inbox_id, "telegram", {"file": "secret-of-the-service"})
            if content:
                photos.keep(session, photo, shelf.keep(content, kind), kind, len(content))
            else:
                photos.lose(session, photo)
    front.desk.app.work()
    return front


def kept(store: Store, folder: Path) -> list[tuple[str, bytes | None]]:
    """The state of each photo, and what its file holds."""
    from bot.conversation.photo_files import path_of  # noqa: PLC0415 - a small helper of the house

    with store.read() as session:
        rows = [photos.photo(session, number) for number in (1, 2, 3)]
    return [
        (
            row.state,
            (folder / path_of(row.digest, row.media_type)).read_bytes() if row.digest and row.state == "kept" else None,
        )
        for row in rows
    ]


def test_photos_come_along(pictured: Front, tmp_path: Path) -> None:
    """File for file, by digest; nothing of the service's own is in the document."""
    target = tmp_path / "records.json"
    lines = list(exported(pictured.household, options(json=target)))
    assert lines[1:] == [f"{tmp_path / 'records-photos'}: 2 photos. Keep the folder beside records.json."]
    assert "secret-of-the-service" not in target.read_text()
    house = new_house(tmp_path / "copy")
    said = bring_in(house, 1, target, LATER, folder=tmp_path / "copy")
    assert said.added["photos"] == 3
    assert said.remarks[1:] == ()
    assert kept(house, tmp_path / "copy") == [("kept", PICTURE), ("kept", OTHER), ("lost", None)]
    assert document(house)["photos"] == document(pictured.desk.app.store)["photos"]
    house.close()


def test_a_file_that_is_missing_or_changed_is_said(pictured: Front, tmp_path: Path) -> None:
    """Its photo counts as lost; the rest comes in."""
    target = tmp_path / "records.json"
    list(exported(pictured.household, options(json=target)))
    jpeg, png = sorted((tmp_path / "records-photos").iterdir(), key=lambda path: path.suffix)
    jpeg.unlink()
    png.write_bytes(b"something else")
    house = new_house(tmp_path / "copy")
    said = bring_in(house, 1, target, LATER, folder=tmp_path / "copy")
    assert said.remarks[-1] == "Photos whose files are not in the folder beside records.json: 2."
    assert [state for state, _content in kept(house, tmp_path / "copy")] == ["lost", "lost", "lost"]
    jpeg.write_bytes(PICTURE)
    again = bring_in(house, 1, target, LATER, folder=tmp_path / "copy")
    assert again.lines() == [
        "All of that is here already; nothing was added.",
        "Photos whose files were missing and are here now: 1.",
        "Photos whose files are not in the folder beside records.json: 1.",
    ]
    assert kept(house, tmp_path / "copy") == [("kept", PICTURE), ("lost", None), ("lost", None)]
    house.close()


def test_a_file_that_the_data_folder_has_lost_is_said(pictured: Front, tmp_path: Path) -> None:
    """The document is written all the same."""
    for path in (pictured.folder / "photos").rglob("*.png"):
        path.unlink()
    lines = list(exported(pictured.household, options(json=tmp_path / "records.json")))
    assert lines[-1] == "1 photo has no whole file in the data folder."


def test_a_dry_run_keeps_no_file(pictured: Front, tmp_path: Path) -> None:
    """Not even one that nobody points to."""
    target = tmp_path / "records.json"
    list(exported(pictured.household, options(json=target)))
    house = new_house(tmp_path / "copy")
    said = bring_in(house, 1, target, LATER, folder=tmp_path / "copy", dry_run=True)
    assert said.added["photos"] == 3
    assert not (tmp_path / "copy" / "photos").exists()
    house.close()
