"""A document lets nobody in: members come as names, unless they are asked to be let in and nobody has their address here."""

from __future__ import annotations

from collections.abc import Iterator
from pathlib import Path

import pytest

from bot.app import SetClock, build
from bot.desk import Desk
from bot.household import Household
from storage import households, inbox
from storage.store import Store
from tests.front import ANA, BEN, CHANNEL, Front
from tests.moving.documents import LATER, brought, document, new_house, text


@pytest.fixture
def source(front: Front) -> Front:
    front.hear(front.message("fed flint 1 cricket", BEN, key="77"))
    front.hear(front.message("quiet hours 22 to 7", ANA))
    return front


@pytest.fixture
def other(tmp_path: Path) -> Iterator[Store]:
    store = new_house(tmp_path / "other")
    yield store
    store.close()


def present(store: Store, collection_id: int = 1) -> list[tuple[str, str, str]]:
    with store.read() as session:
        return [(one.name, one.role, one.channel) for one in households.members(session, collection_id)]


def test_members_come_in_as_names(source: Front, other: Store, tmp_path: Path) -> None:
    """Their records stand under them; none of them can write, and the keeper is told how to let them in."""
    said = brought(other, text(source.desk.app.store), tmp_path)
    assert present(other) == [("owner", "owner", "console")]
    assert said.remarks == (
        "By name only, without access: Ana, Ben. A file lets nobody in; use `rackside invite`, or --with-members.",
    )
    with other.read() as session:
        assert households.member_by_address(session, CHANNEL, BEN) is None
        assert households.member_by_address(session, CHANNEL, ANA) is None
    assert document(other)["members"] == document(source.desk.app.store)["members"]
    (ben,) = [row["id"] for row in document(other)["members"] if row["name"] == "Ben"]
    assert document(other)["entries"][-1]["member"] == ben


def test_who_was_removed_stays_removed(source: Front, other: Store, tmp_path: Path) -> None:
    """Even where members are let in."""
    source.say("remove Ben")
    source.say("yes")
    told = document(source.desk.app.store)
    assert [row["name"] for row in told["members"] if "left_at" in row] == ["Ben"]
    assert {row["address"] for row in told["members"]} == {"owner", ANA, BEN}
    brought(other, told, tmp_path, with_members=True)
    assert ("Ben", "keeper", CHANNEL) not in present(other)
    assert document(other)["members"] == told["members"]


def test_members_are_let_in_where_it_is_asked_for(source: Front, other: Store, tmp_path: Path) -> None:
    """With role and wishes, and their old messages can be edited."""
    brought(other, text(source.desk.app.store), tmp_path, with_members=True)
    assert present(other) == [("owner", "owner", "console"), ("Ana", "owner", CHANNEL), ("Ben", "keeper", CHANNEL)]
    app = build(other, SetClock(LATER), folder=tmp_path / "other")
    front = Front(Desk(app, tmp_path / "other"), SetClock(LATER), Household(app))
    [parcel] = front.hear(front.message("fed flint 2 crickets", BEN, key="77", revision=1, edits="77"))
    assert "fed 2 crickets" in parcel.reply.text
    assert document(other)["entries"][-1]["supersedes"] == document(other)["entries"][-2]["id"]


def test_an_address_that_is_somebodys_here_lets_nobody_in(source: Front, tmp_path: Path) -> None:
    """The same bot keeps another collection, in which Ben is: he stays there, and there alone."""
    house = new_house(tmp_path / "two")
    app = build(house, SetClock(LATER), folder=tmp_path / "two")
    second = app.add_collection("Back room", "UTC")
    with house.write() as session:
        households.add_member(session, second, CHANNEL, BEN, "Ben of the back room", "viewer", LATER)
    brought(house, text(source.desk.app.store), tmp_path, with_members=True)
    assert present(house) == [("owner", "owner", "console"), ("Ana", "owner", CHANNEL)]
    with house.read() as session:
        ben = households.member_by_address(session, CHANNEL, BEN)
    assert ben is not None
    assert ben.collection_id == second
    assert ben.role == "viewer"
    house.close()


def test_messages_that_came_in_meet_none_of_a_service(source: Front, other: Store, tmp_path: Path) -> None:
    """An edit or an answer from the same chat is of what was said here, not of what a file holds."""
    brought(other, text(source.desk.app.store), tmp_path)
    with other.read() as session:
        assert inbox.revisions(session, 1, CHANNEL, BEN, "77") == []
        rows = session.connection().exec_driver_sql("SELECT chat FROM inbox").scalars().all()
    assert rows
    assert all("moved in" in chat for chat in rows)


def test_who_is_a_member_here_already_is_the_same(source: Front, tmp_path: Path) -> None:
    """At the same address; the role is the one given here."""
    house = new_house(tmp_path / "third")
    with house.write() as session:
        households.add_member(session, 1, CHANNEL, ANA, "Ana", "viewer", LATER)
    brought(house, text(source.desk.app.store), tmp_path)
    assert present(house) == [("owner", "owner", "console"), ("Ana", "viewer", CHANNEL)]
    house.close()
