"""A collection written as JSON and brought in elsewhere is the same collection."""

from __future__ import annotations

import json
from datetime import timedelta
from pathlib import Path
from typing import Any

import jsonschema
import pytest

from bot.answers.view import View
from bot.answers.wards import due_list
from bot.moving.collection_form import check, schema
from storage import journal
from storage.entries import Subject
from storage.store import Store
from tests import databases
from tests.front import ANA, BEN, Front
from tests.moving.documents import LATER, brought, counted, document, new_house, text
from tests.storage import everything

SEASON = (
    (ANA, 24, "fed marigolds 8 pk crickets last night, 2 left over"),
    (ANA, 24, "slate box 24.5C 71%"),
    (BEN, 24, "split 6 off rushes into pot 9"),
    (BEN, 24, "counted rushes: 31"),
    (ANA, 24, "RR means red runner roach"),
    (ANA, 24, "mist slate box every 3 days"),
    (ANA, 24, "remind me to weigh flint on friday at 9pm"),
    (BEN, 24, "moved the larches into the tall crate, 24 in"),
    (ANA, 24, "sedges didnt eat"),
    (ANA, 0, "make that yesterday"),
    (BEN, 24, "flint died"),
    (BEN, 0, "undo"),
    (ANA, 24, "morning list at 7:30"),
    (ANA, 24, "nonsense =1+1 \t of odd words"),
)


@pytest.fixture
def season(front: Front) -> Front:
    """A household in which much has been said by two."""
    for address, hours, words in SEASON:
        front.clock.pass_time(timedelta(hours=hours, minutes=2))
        front.hear(front.message(words, address))
    return front


def standing(store: Store) -> list[Any]:
    """What a keeper would be told: the last entries of everybody, who lives where, and the due list."""
    with store.read() as session:
        view = View.open(session, 1, LATER)
        last = [
            [view.line(entry) for entry in journal.history(session, **owner, limit=5)]
            for row in (*view.roster.occupants, *view.roster.enclosures)
            for owner in ({"occupant_id": row.id} if hasattr(row, "species") else {"enclosure_id": row.id},)
        ]
        homes = [
            (row.name, view.name_of(Subject(None, row.enclosure_id)) if row.enclosure_id else None)
            for row in view.roster.occupants
        ]
        due = [(task.ward, task.kind, task.state, task.earliest, task.latest, task.reason) for task in due_list(view)]
    return [last, homes, due]


@pytest.mark.both_databases
def test_what_is_brought_in_is_what_was_written(season: Front, tmp_path: Path) -> None:
    """The document comes out again as it was, and the answers are the same."""
    source = season.desk.app.store
    before = text(source)
    with_copy = new_house(tmp_path / "copy")
    said = brought(with_copy, before, tmp_path)
    assert text(with_copy) == before
    assert standing(with_copy) == standing(source)
    assert said.lines()[0].startswith("Brought in: ")
    with_copy.close()


def test_the_document_has_the_form_of_the_schema(season: Front) -> None:
    """By the library of reference; and the schema is one (JSON Schema, draft 2020-12)."""
    validator = jsonschema.Draft202012Validator
    validator.check_schema(schema())
    told = document(season.desk.app.store)
    validator(schema()).validate(told)
    check(told, "it")
    assert {entry["kind"] for entry in told["entries"]} >= {"feeding", "reading", "move", "count"}
    assert any("supersedes" in entry for entry in told["entries"])
    assert told["retractions"]
    assert told["lineage"]


def test_the_schema_says_what_every_field_means() -> None:
    """No property without a description."""

    def bare(part: object, where: str) -> list[str]:
        if isinstance(part, list):
            return [found for one in part for found in bare(one, where)]
        if not isinstance(part, dict):
            return []
        missing = [f"{where}.{name}" for name, one in part.get("properties", {}).items() if "description" not in one]
        return missing + [found for name, one in part.items() for found in bare(one, f"{where}.{name}")]

    assert bare(schema(), "") == []


def test_words_that_no_encoding_has_come_back(store: Store, tmp_path: Path) -> None:
    """NUL, a lone surrogate and the mark that stands for them."""
    everything.fill(store)
    before = text(store)
    told = json.loads(before.encode("utf-8"))
    with_copy = new_house(tmp_path / "copy")
    brought(with_copy, before, tmp_path)
    copied = document(with_copy)
    assert copied["members"][1:] == told["members"]  # a first start made an owner, who stays
    for name in told.keys() - {"members", "photos"}:
        assert copied[name] == told[name], name
    assert any(message["text"] == everything.ODD for message in copied["messages"])
    with_copy.close()


def test_twice_adds_nothing(season: Front, tmp_path: Path) -> None:
    """Neither to a copy nor to the collection it was written from."""
    told = text(season.desk.app.store)
    with_copy = new_house(tmp_path / "copy")
    brought(with_copy, told, tmp_path)
    for store in (with_copy, season.desk.app.store):
        before = counted(store)
        said = brought(store, told, tmp_path)
        assert said.lines() == ["All of that is here already; nothing was added."]
        assert counted(store) == before
        assert text(store) == told
    with_copy.close()


def test_a_dry_run_tells_and_writes_nothing(season: Front, tmp_path: Path) -> None:
    """The same numbers as when it is done."""
    with_copy = new_house(tmp_path / "copy")
    before = counted(with_copy), text(with_copy)
    told = text(season.desk.app.store)
    tried = brought(with_copy, told, tmp_path, dry_run=True)
    assert (counted(with_copy), text(with_copy)) == before
    done = brought(with_copy, told, tmp_path)
    assert done.added == tried.added
    assert tried.lines()[0] == done.lines()[0].replace("Brought in", "Would be brought in") + " Nothing was written."
    with_copy.close()


@pytest.mark.both_databases
def test_one_of_several_collections_alone_is_written(season: Front, tmp_path: Path) -> None:
    """Nothing of another stands in the document, and it goes into another beside the first."""
    app = season.desk.app
    second = app.add_collection("Back room", "UTC")
    told = document(app.store, second)
    assert [len(told[name]) for name in ("members", "enclosures", "entries", "messages")] == [1, 0, 0, 0]
    house = new_house(tmp_path / "copy")
    other = app.__class__(house, season.clock, app.language).add_collection("Spare room", "UTC")
    said = brought(house, text(app.store), tmp_path, collection_id=other)
    assert said.remarks[0] == "It is “Spare room” here: there is a collection “My collection” already."
    copied, whole = document(house, other), document(app.store)
    assert copied.pop("collection") == {**whole.pop("collection"), "name": "Spare room"}
    assert copied == whole
    assert document(house)["entries"] == []
    house.close()


def test_messages_that_wait_are_not_in_it(season: Front) -> None:
    """They would else be dealt with twice, here and where they are brought in."""
    before = document(season.desk.app.store)["messages"]
    season.take(season.message("fed flint 1 cricket"))
    assert document(season.desk.app.store)["messages"] == before
    season.desk.app.work()
    assert len(document(season.desk.app.store)["messages"]) == len(before) + 1


def test_a_copy_on_another_engine_can_be_opened(season: Front, tmp_path: Path) -> None:
    """A later start finds what was brought in."""
    told = text(season.desk.app.store)
    new_house(tmp_path / "copy").close()
    store = Store.open(databases.of(tmp_path / "copy"))
    brought(store, told, tmp_path)
    store.close()
    again = Store.open(databases.of(tmp_path / "copy"))
    assert text(again) == told
    again.close()
