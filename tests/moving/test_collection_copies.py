"""Copies of a collection that both go on: each takes in what is new in the other, and nothing is taken for what it is not."""

from __future__ import annotations

from collections.abc import Iterator
from datetime import timedelta
from pathlib import Path

import pytest

from bot.answers.view import View
from bot.answers.wards import due_list
from bot.app import App, SetClock, build
from bot.moving.faults import MovingFault
from storage.moving_values import Misfit
from storage.store import Store
from storage.vocabulary import vocabulary
from tests import databases
from tests.front import Front
from tests.moving.documents import LATER, brought, counted, document, new_house, text


@pytest.fixture
def source(front: Front) -> Front:
    front.household.say("fed larches 6 crickets, all eaten")
    front.household.say("rushes: counted 31")
    return front


@pytest.fixture
def copied(source: Front, tmp_path: Path) -> Iterator[App]:
    """Another house that has taken the records in, at its own terminal."""
    store = new_house(tmp_path / "copy")
    brought(store, text(source.desk.app.store), tmp_path)
    yield build(store, SetClock(LATER), folder=tmp_path / "copy")
    store.close()


def said(app: App, *messages: str) -> list[str]:
    found = [reply.text for words in messages for reply in app.say("owner", words)]
    assert isinstance(app.clock, SetClock)
    app.clock.pass_time(timedelta(minutes=1))
    return found


@pytest.mark.both_databases
def test_what_is_new_in_each_comes_to_the_other(source: Front, copied: App, tmp_path: Path) -> None:
    """Both ways, until both hold the same."""
    home, away = source.desk.app.store, copied.store
    said(copied, "fed sedges 4 crickets", "add group Wrens, 12 Heterothele villosella, in pot 12", "counted rushes: 28")
    source.household.say("misted the larches lightly")
    source.household.say("undo")
    taken = brought(home, text(away), tmp_path)
    assert taken.added["entries"] == 3
    assert taken.added["occupants"] == 1
    brought(away, text(home), tmp_path)
    one, two = document(home), document(away)
    for name in ("entries", "messages", "occupants", "retractions"):
        assert {row["id"] for row in one[name]} == {row["id"] for row in two[name]}
        assert sorted(map(str, one[name])) == sorted(map(str, two[name]))
    for store, other in ((home, away), (away, home)):
        before = counted(store)
        brought(store, text(other), tmp_path)
        assert counted(store) == before
    assert "28" in said(copied, "how many in rushes")[0]
    assert "28" in source.household.say("how many in rushes")[0].text


def test_a_change_of_the_roster_comes_along(source: Front, copied: App, tmp_path: Path) -> None:
    """A new name, a size, an end: as they are where they were said."""
    said(copied, "rename larches to Alders", "slate box is 30x20x15 cm", "sold all the sedges")
    before = {row["id"]: row for row in document(copied.store)["occupants"]}
    brought(source.desk.app.store, text(copied.store), tmp_path)
    after = {row["id"]: row for row in document(source.desk.app.store)["occupants"]}
    assert after == before
    assert "Alders" in {row["name"] for row in after.values()}
    (slate,) = [row for row in document(source.desk.app.store)["enclosures"] if row["name"] == "slate box"]
    assert slate["size_cm"] == [30, 20, 15]


def test_the_last_word_is_the_one_told_last(source: Front, copied: App, tmp_path: Path) -> None:
    """Not the one brought in last: of rules, of stops, and of what a word means."""
    source.clock.moment = LATER + timedelta(days=1)
    assert isinstance(copied.clock, SetClock)
    for words in ("mist slate box every 3 days", "stop feeding reminders for sedges", "RR means red runner roach"):
        said(copied, words)
    copied.clock.moment = source.clock.moment + timedelta(days=1)
    for words in ("mist slate box every 5 days", "feed sedges every 4 days", "RR means rice runner"):
        source.household.say(words)
    brought(source.desk.app.store, text(copied.store), tmp_path)
    brought(copied.store, text(source.desk.app.store), tmp_path)
    for store in (source.desk.app.store, copied.store):
        with store.read() as session:
            due = due_list(View.open(session, 1, LATER + timedelta(days=2)))
            taught = vocabulary(session, 1)
        reasons = {(task.ward, task.kind): task.reason for task in due}
        assert "every 5 days" in reasons["Rushes", "misting"]
        assert "every 4 days" in reasons["Sedges", "feeding"]
        assert taught == {"RR": "rice runner"}


def test_two_of_one_name_stay_two(source: Front, copied: App, tmp_path: Path) -> None:
    """A place added in both under one name: the one that comes in is called otherwise, and the keeper is told."""
    said(copied, "add pot 40")
    source.household.say("add pot 40")
    taken = brought(source.desk.app.store, text(copied.store), tmp_path)
    assert "pot 40 is called pot 40 (2) here: there was another of that name." in taken.remarks
    assert {"pot 40", "pot 40 (2)"} <= {row["name"] for row in document(source.desk.app.store)["enclosures"]}


def test_taken_back_in_both_is_taken_back_once(source: Front, copied: App, tmp_path: Path) -> None:
    """By each for itself, and neither import trips over it."""
    said(copied, "undo")
    source.household.say("undo")
    brought(source.desk.app.store, text(copied.store), tmp_path)
    assert len(document(source.desk.app.store)["retractions"]) == 1
    assert brought(source.desk.app.store, text(copied.store), tmp_path).lines() == [
        "All of that is here already; nothing was added."
    ]


def test_a_database_set_back_takes_its_later_records_in_again(source: Front, tmp_path: Path) -> None:
    """What was written before and after it was set back are told apart, though their numbers are the same."""
    source.household.app.store.close()
    databases.copy(tmp_path / "household", tmp_path / "earlier")
    source.household.say("fed sedges 4 crickets")
    later = text(source.household.app.store)
    store = Store.open(databases.of(tmp_path / "earlier"))
    earlier = build(store, SetClock(LATER), folder=tmp_path / "earlier")
    brought(store, later, tmp_path)
    assert text(store) == later
    said(earlier, "fed stilts 2 crickets")
    words = [entry["words"] for entry in document(store)["entries"]]
    assert words[-2:] == ["fed sedges 4 crickets", "fed stilts 2 crickets"]
    names = [entry["id"] for entry in document(store)["entries"]]
    assert len(names) == len(set(names))
    store.close()


def test_separate_ways_under_the_same_numbers_are_refused(source: Front, tmp_path: Path) -> None:
    """A database set back that went on by itself: its new records are not the ones that the file calls so."""
    source.household.app.store.close()
    databases.copy(tmp_path / "household", tmp_path / "earlier")
    source.household.say("fed sedges 4 crickets")
    later = text(source.household.app.store)
    store = Store.open(databases.of(tmp_path / "earlier"))
    said(build(store, SetClock(LATER), folder=tmp_path / "earlier"), "fed stilts 2 crickets")
    before = text(store)
    with pytest.raises(Misfit, match=r"/messages/\d+ is another message .* separate ways"):
        brought(store, later, tmp_path)
    assert text(store) == before
    store.close()


def test_another_collection_with_records_is_left_alone(source: Front, tmp_path: Path) -> None:
    """The sentence says how to bring the file in all the same."""
    store = new_house(tmp_path / "other")
    said(build(store, SetClock(LATER), folder=tmp_path / "other"), "add group Finches, 3 Damon medius, in pot 1")
    before = text(store)
    with pytest.raises(MovingFault, match="has records of its own, and the file is of another collection"):
        brought(store, text(source.desk.app.store), tmp_path)
    assert text(store) == before
    store.close()


def test_a_collection_is_kept_once_on_one_bot(source: Front, tmp_path: Path) -> None:
    """Brought into an empty one beside it, it would stand there twice."""
    other = source.desk.app.add_collection("Back room", "UTC")
    with pytest.raises(MovingFault, match="is kept here as “My collection”"):
        brought(source.desk.app.store, text(source.desk.app.store), tmp_path, collection_id=other)
