"""The outbox: of each chat the oldest first, held by one sender at a time, and put off without changing the order."""

from __future__ import annotations

import subprocess
import sys
from datetime import timedelta
from pathlib import Path
from subprocess import PIPE
from typing import TYPE_CHECKING

import pytest

from storage import chats, outbox
from storage.store import Store
from tests.storage.keeper import NOW, Keeper

if TYPE_CHECKING:
    from sqlalchemy.orm import Session

ROOT = Path(__file__).parents[2]
MINUTE = timedelta(minutes=1)
SECOND = timedelta(seconds=1)


def put(keeper: Keeper, chat: str, text: str = "hello", channel: str = "telegram") -> int:
    return outbox.put(keeper.session, keeper.collection_id, channel, chat, None, {"text": text})


def claimed(session: Session, holder: str = "one", at: timedelta = timedelta(), channel: str = "telegram") -> list[int]:
    return [row.id for row in outbox.claim(session, channel, holder, NOW + at, MINUTE)]


def test_the_oldest_of_each_chat_comes_first(keeper: Keeper) -> None:
    """One message of each chat is handed out, the oldest; the next one comes once that is sent, and other channels have their own."""
    first, other, second = put(keeper, "a"), put(keeper, "b"), put(keeper, "a")
    elsewhere = put(keeper, "a", channel="matrix")
    assert claimed(keeper.session) == [first, other]
    assert claimed(keeper.session, channel="matrix") == [elsewhere]
    outbox.mark_sent(keeper.session, first, "100")
    assert claimed(keeper.session) == [second]


def test_a_claim_holds_for_its_lease_and_no_longer(keeper: Keeper) -> None:
    """What one sender holds is offered to nobody up to the end of the lease, and from that moment on to anyone."""
    only = put(keeper, "a")
    assert claimed(keeper.session) == [only]
    assert claimed(keeper.session, "two", MINUTE - SECOND) == []
    assert not outbox.claimable(keeper.session, "telegram", NOW + MINUTE - SECOND)
    assert outbox.claimable(keeper.session, "telegram", NOW + MINUTE)
    assert claimed(keeper.session, "two", MINUTE) == [only]


def test_what_is_held_holds_its_chat(keeper: Keeper) -> None:
    """While the oldest message of a chat is under way, the one after it is not offered."""
    put(keeper, "a")
    put(keeper, "a")
    assert len(claimed(keeper.session)) == 1
    assert claimed(keeper.session, "two") == []


def test_putting_off_keeps_the_order_of_its_chat_and_leaves_others_alone(keeper: Keeper) -> None:
    """A message put off holds back those after it in its chat until it is due; another chat goes on meanwhile."""
    first, second, other = put(keeper, "a"), put(keeper, "a"), put(keeper, "b")
    claimed(keeper.session)
    assert outbox.put_off(keeper.session, first, NOW + 30 * SECOND) == 0
    outbox.mark_sent(keeper.session, other)
    later = put(keeper, "b")
    assert claimed(keeper.session, "two", 29 * SECOND) == [later]
    assert outbox.next_due(keeper.session, "telegram", NOW) == NOW + 30 * SECOND
    assert claimed(keeper.session, "two", 30 * SECOND) == [first]
    outbox.mark_sent(keeper.session, first)
    assert claimed(keeper.session, "two", 31 * SECOND) == [second]


def test_only_a_failure_counts_as_a_try(keeper: Keeper) -> None:
    """Putting off with an error counts and keeps the error; waiting for a service that asked for it does not."""
    only = put(keeper, "a")
    assert outbox.put_off(keeper.session, only, NOW) == 0
    assert [outbox.put_off(keeper.session, only, NOW, f"no {number}") for number in (1, 2)] == [1, 2]
    row = outbox.row(keeper.session, only)
    assert row is not None
    assert (row.tries, row.error, row.given_up, row.sent) == (2, "no 2", False, False)


def test_what_is_given_up_waits_no_more_and_is_kept_with_the_reason(keeper: Keeper) -> None:
    """A message that the service will never take lets the next one of its chat go, and is found with the reason."""
    first, second = put(keeper, "a"), put(keeper, "a")
    outbox.give_up(keeper.session, first, "no such chat")
    assert claimed(keeper.session) == [second]
    assert [(row.id, row.error) for row in outbox.given_up(keeper.session, keeper.collection_id)] == [
        (first, "no such chat")
    ]
    assert outbox.given_up(keeper.session, keeper.collection_id + 1) == []


def test_a_chat_given_up_keeps_what_was_sent_and_other_chats(keeper: Keeper) -> None:
    """Giving up a chat ends what waits there, and touches neither what was sent nor another chat or channel."""
    sent, waits, other = put(keeper, "a"), put(keeper, "a"), put(keeper, "b")
    elsewhere = put(keeper, "a", channel="matrix")
    outbox.mark_sent(keeper.session, sent)
    outbox.give_up_chat(keeper.session, keeper.collection_id, "telegram", "a", "gone")
    assert [row.id for row in outbox.given_up(keeper.session, keeper.collection_id)] == [waits]
    assert [row.id for row in outbox.waiting(keeper.session)] == [other, elsewhere]


def test_a_blocked_chat_is_offered_nothing_until_it_is_unblocked(keeper: Keeper) -> None:
    """A chat that takes nothing is passed over, on its own channel alone, and its messages wait in their order."""
    first, other = put(keeper, "a"), put(keeper, "b")
    elsewhere = put(keeper, "a", channel="matrix")
    chats.block(keeper.session, "telegram", "a", NOW)
    assert claimed(keeper.session) == [other]
    assert claimed(keeper.session, channel="matrix") == [elsewhere]
    chats.unblock(keeper.session, "telegram", "a")
    assert claimed(keeper.session) == [first]


def test_a_token_and_a_service_id_find_their_message(keeper: Keeper) -> None:
    """A message is found by the token of its buttons, and by the service's id; the last one where one took another's place."""
    message_id = keeper.message()
    asked = outbox.put(keeper.session, 1, "telegram", "a", message_id, {"text": "Which?"}, token="tok")  # noqa: S106 - no password
    outbox.mark_sent(keeper.session, asked, "7")
    answer = outbox.put(keeper.session, 1, "telegram", "a", message_id, {"text": "Done"}, replaces=asked)
    outbox.mark_sent(keeper.session, answer, "7")
    by_token = outbox.by_token(keeper.session, "tok")
    by_id = outbox.by_service_id(keeper.session, keeper.collection_id, "telegram", "a", "7")
    assert by_token is not None
    assert by_id is not None
    assert (by_token.id, by_id.id, by_id.replaces) == (asked, answer, asked)
    assert outbox.by_token(keeper.session, "other") is None
    assert outbox.row(keeper.session, 999) is None


@pytest.mark.parametrize("act", [outbox.give_up, lambda session, id_, _why: outbox.put_off(session, id_, NOW)])
def test_what_is_not_there_cannot_be_put_off_or_given_up(keeper: Keeper, act: object) -> None:
    """A message that does not exist is a LookupError."""
    with pytest.raises(LookupError):
        act(keeper.session, 99, "why")  # type: ignore[operator]


@pytest.mark.slow
def test_two_senders_never_hold_the_same_message(directory: Path, store: Store) -> None:
    """Four processes that claim at the same time, from 40 chats of 5 messages: every message is claimed once, in its chat's order."""
    with store.write() as session:
        keeper = Keeper(session)
        expected = {f"chat {chat}": [put(keeper, f"chat {chat}") for _ in range(5)] for chat in range(40)}
    command = [sys.executable, "-m", "tests.storage.claimer", str(directory)]
    senders = [
        subprocess.Popen([*command, str(number)], stdin=PIPE, stdout=PIPE, text=True, cwd=ROOT) for number in range(4)
    ]
    assert [sender.stdout.readline() for sender in senders if sender.stdout] == ["ready\n"] * 4
    for sender in senders:
        assert sender.stdin is not None
        sender.stdin.write("go\n")
        sender.stdin.flush()
    said = [sender.communicate(timeout=60)[0] for sender in senders]
    assert [sender.returncode for sender in senders] == [0, 0, 0, 0]
    lines = [line.split(maxsplit=2) for output in said for line in output.splitlines()]
    found: dict[str, list[int]] = {}
    for at, row_id, chat in sorted(lines, key=lambda line: int(line[0])):
        del at
        found.setdefault(chat, []).append(int(row_id))
    assert found == expected
    assert sum(bool(output) for output in said) > 1  # else nobody raced
