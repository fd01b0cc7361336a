"""`rackside collection` and `--collection`: several collections in one folder, each apart from the others."""

from __future__ import annotations

from pathlib import Path

import pytest

from bot.cli import main
from bot.household import opened
from bot.settings import Settings
from storage import households, invites


@pytest.fixture
def folder(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> Path:
    """A data folder with two collections, each with a group B of its own."""
    monkeypatch.setenv("RACKSIDE_DATA", str(tmp_path / "data"))
    assert main(["say", "add group B, 42 Neoholothele incei, in tub 4"]) == 0
    assert main(["collection", "add", "Shed", "--zone", "Europe/Lisbon", "--units", "imperial"]) == 0
    assert main(["say", "--collection", "shed", "add group B, 21 Damon medius, in tub 4"]) == 0
    return tmp_path / "data"


def heard(capsys: pytest.CaptureFixture[str], *words: str) -> str:
    capsys.readouterr()
    main(list(words))
    out, err = capsys.readouterr()
    return out + err


def test_each_collection_answers_for_itself(folder: Path, capsys: pytest.CaptureFixture[str]) -> None:
    """The same words about the same name get each collection's own number; without a name the first answers."""
    del folder
    assert heard(capsys, "say", "how many in B").startswith("group B: 42.")
    assert heard(capsys, "say", "--collection", "SHED", "how many in B").startswith("group B: 21.")


def test_a_new_collection_begins_with_a_code_for_its_owner(folder: Path, capsys: pytest.CaptureFixture[str]) -> None:
    """The code that is printed lets an owner into the new collection, and not into the first."""
    said = heard(capsys, "collection", "add", "Loft")
    code = said.rpartition("join-")[2].split()[0]
    with opened(folder, Settings()) as household, household.app.store.read() as session:
        found = invites.by_code(session, f"join-{code}")
        assert found is not None
        assert (households.collection(session, found.collection_id).name, found.role) == ("Loft", "owner")


def test_no_two_collections_have_one_name(folder: Path, capsys: pytest.CaptureFixture[str]) -> None:
    """A name in other letters is the same name; a blank one is none."""
    del folder
    assert "There is a collection “Shed” already" in heard(capsys, "collection", "add", "shed")
    assert "at least one letter" in heard(capsys, "collection", "add", " ")
    assert "not a time zone" in heard(capsys, "collection", "add", "Attic", "--zone", "Mars/Base")


def test_a_name_that_is_none_is_a_sentence_with_those_there_are(
    folder: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    """Nothing is written anywhere for a collection that is not there."""
    del folder
    assert "there is “My collection”, “Shed”." in heard(capsys, "say", "--collection", "nope", "fed B 3 crickets")
    assert "no feeding" in heard(capsys, "say", "when did B last eat").lower()


def test_all_are_listed_and_looked_after(folder: Path, capsys: pytest.CaptureFixture[str]) -> None:
    """The list tells of each, and the doctor counts over all."""
    del folder
    first, second = heard(capsys, "collection", "list").splitlines()
    assert first.startswith("My collection: 1 place, 1 group or animal, 1 member; ")
    assert second == "Shed: 1 place, 1 group or animal, 1 member; Europe/Lisbon, imperial"
    assert "2 collections, 2 members" in heard(capsys, "doctor")


def test_every_verb_of_one_collection_takes_its_name(folder: Path, capsys: pytest.CaptureFixture[str]) -> None:
    """Roster, invitation and pictures are of the collection that was named."""
    del folder
    assert "Damon medius" in heard(capsys, "roster", "export", "--collection", "Shed")
    assert "Damon" not in heard(capsys, "roster", "export")
    assert "Code for one viewer" in heard(capsys, "invite", "--role", "viewer", "--collection", "Shed")
    assert "21" in heard(capsys, "picture", "--collection", "Shed", "head count of B")


def test_a_morning_list_at_one_terminal_leaves_the_others_alone(folder: Path) -> None:
    """What waits for one collection is laid out when its own talk is open, so that after a while away it is one message."""
    with opened(folder, Settings(), collection="Shed") as household:
        household.pushes()
        with household.app.store.read() as session:
            swept = session.connection().exec_driver_sql("SELECT member_id FROM sweeps").scalars().all()
        assert swept == [household.owner.id]
