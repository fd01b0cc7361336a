"""How chats and messages are named."""

from __future__ import annotations

import pytest

from bot.channels.telegram.addresses import chat_ids, chat_name, message_id, message_key

SUPERGROUP = -1001234567890


@pytest.mark.parametrize(("chat_id", "thread"), [(7001, None), (-500, None), (SUPERGROUP, 5)])
def test_a_name_gives_the_chat_back(chat_id: int, thread: int | None) -> None:
    """A chat's name holds its id and its topic."""
    assert chat_ids(chat_name(chat_id, thread)) == (chat_id, thread)


@pytest.mark.parametrize("chat_id", [7001, -500, SUPERGROUP])
def test_a_key_gives_the_message_back(chat_id: int) -> None:
    """The key of a message names it in its chat."""
    assert message_id(chat_id, message_key(chat_id, 41)) == 41


def test_messages_from_before_a_move_are_others() -> None:
    """What was said in a group does not bear the key of what is said in the supergroup that it became."""
    assert message_key(-500, 41) != message_key(SUPERGROUP, 41)
    assert message_id(SUPERGROUP, message_key(-500, 41)) is None
    assert message_id(-500, message_key(SUPERGROUP, 41)) is None


@pytest.mark.parametrize("key", [None, "", "update-9", "tap 77", "s"])
def test_what_is_no_message_names_none(key: str | None) -> None:
    """Keys of other kinds name no message of the service."""
    assert message_id(7001, key) is None
    assert message_id(SUPERGROUP, key) is None
