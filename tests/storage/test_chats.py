"""Chats: which take nothing from us, which go on under another id, who was told to stay out, and our own account."""

from __future__ import annotations

from dataclasses import replace
from datetime import timedelta

from storage import chats, households, inbox, outbox
from tests.storage.keeper import NOW, Keeper

HOUR = timedelta(hours=1)


def receive(keeper: Keeper, chat: str, key: str, revision: int = 0, edits: str | None = None) -> int | None:
    message = replace(keeper.incoming(key, f"words of {key}", revision), channel="telegram", chat=chat, edits=edits)
    return inbox.receive(keeper.session, message)


def test_an_account_is_remembered_with_how_far_messages_were_taken(keeper: Keeper) -> None:
    """Name and position are kept side by side, one account for each service; before the first use there is none."""
    assert chats.account(keeper.session, "telegram") is None
    chats.keep_position(keeper.session, "telegram", "17")
    chats.keep_account(keeper.session, "telegram", "4711", "rack_bot")
    chats.keep_position(keeper.session, "telegram", "18")
    found = chats.account(keeper.session, "telegram")
    assert found == chats.AccountRow("telegram", "4711", "rack_bot", "18")
    assert chats.account(keeper.session, "matrix") is None


def test_a_chat_is_blocked_since_it_first_was(keeper: Keeper) -> None:
    """Blocking again changes nothing, unblocking ends it, and unblocking what was not blocked is no fault."""
    chats.unblock(keeper.session, "telegram", "b")
    chats.block(keeper.session, "telegram", "b", NOW + HOUR)
    chats.block(keeper.session, "telegram", "a", NOW)
    chats.block(keeper.session, "telegram", "a", NOW + 2 * HOUR)
    assert [(row.chat, row.since) for row in chats.blocked(keeper.session)] == [("a", NOW), ("b", NOW + HOUR)]
    chats.unblock(keeper.session, "telegram", "a")
    assert [row.chat for row in chats.blocked(keeper.session)] == ["b"]
    chats.block(keeper.session, "telegram", "a", NOW + 3 * HOUR)
    assert chats.blocked(keeper.session)[-1].since == NOW + 3 * HOUR


def test_a_stranger_is_told_once_an_hour(keeper: Keeper) -> None:
    """The first time, then not for an hour, then again; each address of each channel by itself."""
    moments = [timedelta(), HOUR / 2, HOUR - timedelta(seconds=1), HOUR, HOUR * 1.5]
    told = [chats.may_tell_stranger(keeper.session, "telegram", "9", NOW + at, HOUR) for at in moments]
    assert told == [True, False, False, True, False]
    assert chats.may_tell_stranger(keeper.session, "telegram", "8", NOW + HOUR, HOUR)
    assert chats.may_tell_stranger(keeper.session, "matrix", "9", NOW + HOUR, HOUR)


def test_what_waits_for_a_moved_chat_goes_to_the_new_one(keeper: Keeper) -> None:
    """Waiting messages and the chats that members are written to in follow; what another chat has to get does not."""
    for chat in ("old", "other"):
        outbox.put(keeper.session, 1, "telegram", chat, None, {"text": "hello"})
    households.set_chat(keeper.session, keeper.member_id, "old")
    guest = households.add_member(keeper.session, 1, "telegram", "5", "Guest", "keeper", NOW)
    households.set_chat(keeper.session, guest, "old")
    chats.move(keeper.session, "telegram", "old", "new")
    keeper.session.expire_all()
    assert [row.chat for row in outbox.waiting(keeper.session)] == ["new", "other"]
    assert households.member(keeper.session, guest).home == "new"
    assert households.member(keeper.session, keeper.member_id).home == "old"  # that is a chat of another channel


def test_a_chat_that_moved_twice_is_where_it_is_now(keeper: Keeper) -> None:
    """Whichever old id a chat is asked for by, its present one is found; a chat that never moved is itself."""
    chats.move(keeper.session, "telegram", "old", "new")
    chats.move(keeper.session, "telegram", "new", "newest")
    keeper.session.expire_all()
    assert [chats.current(keeper.session, "telegram", chat) for chat in ("old", "new", "newest", "x")] == [
        "newest",
        "newest",
        "newest",
        "x",
    ]
    assert chats.current(keeper.session, "matrix", "old") == "old"


def test_an_edit_in_a_moved_chat_finds_the_message_of_the_old_one(keeper: Keeper) -> None:
    """What was said before the move is found by its key from the new chat, with what was edited since."""
    first = receive(keeper, "old", "5")
    chats.move(keeper.session, "telegram", "old", "new")
    edit = receive(keeper, "new", "5", revision=1, edits="5")
    assert [row.id for row in inbox.revisions(keeper.session, keeper.collection_id, "telegram", "new", "5")] == [
        first,
        edit,
    ]
    found = inbox.find(keeper.session, keeper.collection_id, "telegram", "new", "5")
    assert found is not None
    assert found.id == edit


def test_a_new_message_is_not_taken_for_an_old_one_of_the_moved_chat(keeper: Keeper) -> None:
    """A service that numbers a chat's messages anew after a move loses none: the same key there is another message."""
    receive(keeper, "old", "5")
    chats.move(keeper.session, "telegram", "old", "new")
    fresh = inbox.receive(keeper.session, replace(keeper.incoming("5", "other words"), channel="telegram", chat="new"))
    assert fresh is not None
    assert [row.id for row in inbox.revisions(keeper.session, keeper.collection_id, "telegram", "new", "5")] == [fresh]


def test_an_old_message_delivered_again_after_the_move_is_known(keeper: Keeper) -> None:
    """The same update, under the old chat's id or the new one, makes no second message."""
    assert receive(keeper, "old", "5") is not None
    chats.move(keeper.session, "telegram", "old", "new")
    assert receive(keeper, "old", "5") is None
    assert receive(keeper, "new", "5") is None


def test_a_button_of_a_moved_chat_finds_its_message(keeper: Keeper) -> None:
    """What the bot had said before the move is found from the new chat by the service's id."""
    sent = outbox.put(keeper.session, 1, "telegram", "old", None, {"text": "Which?"})
    outbox.mark_sent(keeper.session, sent, "70")
    chats.move(keeper.session, "telegram", "old", "new")
    found = outbox.by_service_id(keeper.session, keeper.collection_id, "telegram", "new", "70")
    assert found is not None
    assert found.id == sent
