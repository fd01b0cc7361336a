"""A document that is read a row at a time is the document; one that is laid out otherwise is read as a whole."""

from __future__ import annotations

import json
from pathlib import Path

import pytest

from bot.moving.collection_form import begins_as_document, read_document
from bot.moving.row_lines import Rows, read_rows
from tests.front import Front
from tests.moving.documents import brought, document, laid_out, new_house, text


@pytest.fixture
def told(front: Front) -> str:
    front.household.say("fed larches 6 crickets, all eaten")
    front.household.say("rushes: counted 31 {in} “a, [b]\u2028\\n”")
    return text(front.desk.app.store)


def written(folder: Path, told: str) -> Path:
    path = folder / "records.json"
    path.write_text(told, encoding="utf-8", newline="")
    return path


def test_rows_are_those_of_the_file(told: str, tmp_path: Path) -> None:
    """As the standard library reads the whole; gone through twice, and by number."""
    found, whole = read_rows(written(tmp_path, told)), json.loads(told)
    assert found is not None
    assert found.keys() == whole.keys()
    entries = found["entries"]
    assert isinstance(entries, Rows)
    assert list(entries) == list(entries) == whole["entries"]
    assert (len(entries), entries[-1], entries[1:3]) == (
        len(whole["entries"]),
        whole["entries"][-1],
        whole["entries"][1:3],
    )
    assert {name: found[name] for name in found if not isinstance(found[name], Rows)} == {
        name: whole[name] for name in whole if not isinstance(found[name], Rows)
    }


@pytest.mark.parametrize("how", ["indented", "in one line", "two rows in a line", "windows", "with a mark"])
def test_another_layout_is_as_good(how: str, told: str, tmp_path: Path) -> None:
    """Whatever an editor or another program made of it."""
    whole = json.loads(told)
    text = {
        "indented": json.dumps(whole, indent=2),
        "in one line": json.dumps(whole),
        "two rows in a line": told.replace("},\n{", "}, {"),
        "windows": told.replace("\n", "\r\n"),
        "with a mark": "\ufeff" + told,
    }[how]
    assert read_document(written(tmp_path, text)) == whole


def test_the_layout_of_the_export_is_the_one_that_is_read_by_rows(told: str, tmp_path: Path) -> None:
    """So that both ways of reading are used by these tests."""
    assert isinstance(read_document(written(tmp_path, told))["entries"], Rows)
    assert isinstance(read_document(written(tmp_path, laid_out(json.loads(told))))["entries"], Rows)
    assert begins_as_document(told)
    assert not begins_as_document('{"messages": []}')


def test_both_layouts_bring_in_the_same(told: str, tmp_path: Path) -> None:
    """Row by row or as a whole."""
    found = []
    for name, laid in (("one", told), ("two", json.dumps(json.loads(told), indent=1))):
        store = new_house(tmp_path / name)
        brought(store, laid, tmp_path)
        found.append(document(store))
        store.close()
    assert found[0] == found[1] == json.loads(told)
