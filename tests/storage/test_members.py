"""Members come, go and come again; whom a sweep looks after; and what the newest schema makes of older data."""

from __future__ import annotations

from dataclasses import replace
from datetime import timedelta
from pathlib import Path

import pytest
from alembic import command
from sqlalchemy.exc import IntegrityError

from storage import chats, households, inbox, journal, outbox, schema
from storage.engines import SQLITE
from storage.journal import Subject
from storage.store import Store
from storage.watch import watched
from tests import databases
from tests.storage.keeper import NOW, Keeper

TELEGRAM = frozenset({"telegram"})


def let_in(keeper: Keeper, address: str = "5", role: str = "keeper") -> int:
    return households.add_member(keeper.session, keeper.collection_id, "telegram", address, "Ben", role, NOW)


def watched_names(keeper: Keeper, channels: frozenset[str] | None = TELEGRAM) -> list[str]:
    return [one.member.name for one in watched(keeper.session, channels)]


def test_a_member_who_left_is_found_by_id_alone(keeper: Keeper) -> None:
    """Not by the address and not among the members; among everyone, with the name, for the sake of what was told."""
    ben = let_in(keeper)
    households.leave(keeper.session, ben, NOW)
    assert households.member_by_address(keeper.session, "telegram", "5") is None
    assert [row.name for row in households.members(keeper.session, keeper.collection_id)] == ["Ana"]
    assert [(row.name, row.left) for row in households.everyone(keeper.session, keeper.collection_id)] == [
        ("Ana", False),
        ("Ben", True),
    ]
    assert households.member(keeper.session, ben).left


def test_an_address_is_free_once_its_member_left(keeper: Keeper) -> None:
    """The same address may come in again, as often as it leaves; while it is in, it may not be let in twice."""
    first = let_in(keeper)
    households.leave(keeper.session, first, NOW)
    second = let_in(keeper, role="viewer")
    households.leave(keeper.session, second, NOW)
    third = let_in(keeper)
    found = households.member_by_address(keeper.session, "telegram", "5")
    assert found is not None
    assert (found.id, found.role) == (third, "keeper")
    with pytest.raises(IntegrityError):
        let_in(keeper)


def test_role_and_chat_can_be_changed(keeper: Keeper) -> None:
    """A member is written to at the address, or in the chat that is set."""
    ben = let_in(keeper)
    assert households.member(keeper.session, ben).home == "5"
    households.set_role(keeper.session, ben, "owner")
    households.set_chat(keeper.session, ben, "-77")
    found = households.member(keeper.session, ben)
    assert (found.role, found.chat, found.home) == ("owner", "-77", "-77")
    households.set_chat(keeper.session, ben, None)
    assert households.member(keeper.session, ben).home == "5"
    for change in (households.set_role, households.set_chat):
        with pytest.raises(LookupError):
            change(keeper.session, 99, "x")


def test_a_sweep_passes_over_whom_it_cannot_reach(keeper: Keeper) -> None:
    """Who left, and whose chat takes nothing, until it does again; asked for by id a blocked member is given all the same."""
    ben, cora = let_in(keeper), let_in(keeper, "6")
    assert watched_names(keeper) == ["Ben", "Ben"]
    assert watched_names(keeper, None) == ["Ana", "Ben", "Ben"]
    households.leave(keeper.session, cora, NOW)
    assert watched_names(keeper) == ["Ben"]
    chats.block(keeper.session, "telegram", "5", NOW)
    assert watched_names(keeper) == []
    assert [one.member.id for one in watched(keeper.session, member_id=ben)] == [ben]
    chats.unblock(keeper.session, "telegram", "5")
    assert watched_names(keeper) == ["Ben"]


def test_a_sweep_looks_at_the_chat_in_which_a_member_is_written_to(keeper: Keeper) -> None:
    """A block of another chat, or of the same id on another service, is no reason to be silent."""
    ben = let_in(keeper)
    chats.block(keeper.session, "matrix", "5", NOW)
    assert watched_names(keeper) == ["Ben"]
    households.set_chat(keeper.session, ben, "-77")
    chats.block(keeper.session, "telegram", "5", NOW)
    assert watched_names(keeper) == ["Ben"]
    chats.block(keeper.session, "telegram", "-77", NOW)
    assert watched_names(keeper) == []


def test_an_album_is_found_in_the_order_it_came(keeper: Keeper) -> None:
    """Messages that share it, in one chat of one channel."""
    made = [
        inbox.receive(keeper.session, replace(keeper.incoming(key), album=album, chat=chat))
        for key, album, chat in [("1", "x", "a"), ("2", "y", "a"), ("3", "x", "a"), ("4", "x", "b"), ("5", None, "a")]
    ]
    found = inbox.of_album(keeper.session, keeper.member_id, "console", "a", "x")
    assert [row.id for row in found] == [made[0], made[2]]
    assert inbox.of_album(keeper.session, keeper.member_id, "telegram", "a", "x") == []


def test_messages_set_aside_are_found_again(keeper: Keeper) -> None:
    """Of the collection alone, oldest first, with their words."""
    first, second, third = (keeper.message(f"words {number}") for number in range(3))
    for message in (third, first):
        inbox.set_aside(keeper.session, message)
    inbox.mark_done(keeper.session, second)
    found = inbox.set_aside_rows(keeper.session, keeper.collection_id)
    assert [(row.id, row.text) for row in found] == [(first, "words 0"), (third, "words 2")]
    assert inbox.set_aside_rows(keeper.session, 99) == []


def test_data_from_before_the_services_is_kept(tmp_path: Path) -> None:
    """A database of the schema before, with messages waiting both ways, is brought up to date with all of it in place."""
    where = databases.empty(tmp_path / "data")
    store = Store.open(where)
    with store.write() as session:
        keeper = Keeper(session)
        told = keeper.message("fed B 3 crickets")
        keeper.write("feeding", Subject(keeper.dwarfs), message_id=told)
        inbox.mark_done(session, told)
        waits = keeper.message("fed B 4 crickets")
        reply = outbox.put(session, keeper.collection_id, "console", "terminal", told, {"text": "Written"})
    config = schema.configuration()
    with store.engine.begin() as connection:
        config.attributes["connection"] = connection
        command.downgrade(config, "0003")
        columns = connection.exec_driver_sql("SELECT * FROM outbox").keys()
    assert "lease_until" not in columns
    store.close()
    store = Store.open(where)
    with store.write() as session:
        message = inbox.next_waiting(session)
        assert message is not None
        assert (message.id, message.text, message.overheard, message.pressed) == (
            waits,
            "fed B 4 crickets",
            False,
            None,
        )
        (row,) = outbox.claim(session, "console", "one", NOW, timedelta(minutes=1))
        assert (row.id, row.body, row.tries, row.given_up) == (reply, {"text": "Written"}, 0, False)
        assert [one.kind for one in journal.entries_of_message(session, told)] == ["feeding"]
        (ana,) = households.members(session, 1)
        assert (ana.name, ana.left, ana.home) == ("Ana", False, "ana")
        if databases.engine() == SQLITE:  # a server holds its foreign keys throughout
            assert session.connection().exec_driver_sql("PRAGMA foreign_key_check").all() == []
    store.close()
