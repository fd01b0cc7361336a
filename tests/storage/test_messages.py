"""Inbox, outbox, questions: a message is taken once, handled in order, and never lost."""

from __future__ import annotations

from dataclasses import replace

import pytest
from sqlalchemy.exc import IntegrityError

from storage import inbox, outbox, questions
from storage.store import Store
from tests.storage.keeper import NOW, Keeper


def test_a_message_is_taken_once(keeper: Keeper) -> None:
    """The same revision of the same message, delivered again, is known; a new revision, or another chat's, is not."""
    first = inbox.receive(keeper.session, keeper.incoming("m1", "fed B"))
    assert first is not None
    assert inbox.receive(keeper.session, keeper.incoming("m1", "fed B")) is None
    edited = inbox.receive(keeper.session, replace(keeper.incoming("m1", "fed D", revision=1), edits="m1"))
    elsewhere = inbox.receive(keeper.session, replace(keeper.incoming("m1"), chat="another"))
    assert len({first, edited, elsewhere, None}) == 4
    found = inbox.find(keeper.session, keeper.collection_id, "console", "terminal", "m1")
    assert found is not None
    assert (found.id, found.text, found.edits) == (edited, "fed D", "m1")
    assert [row.id for row in inbox.revisions(keeper.session, keeper.collection_id, "console", "terminal", "m1")] == [
        first,
        edited,
    ]
    assert inbox.find(keeper.session, keeper.collection_id, "console", "terminal", "m2") is None


def test_a_message_comes_back_as_it_came(keeper: Keeper) -> None:
    """Every part of a message is kept."""
    message = replace(keeper.incoming("m1"), deletes="m0", reply_to="m-1", edits="m3")
    message_id = inbox.receive(keeper.session, message)
    assert message_id is not None
    row = inbox.row(keeper.session, message_id)
    assert row is not None
    assert inbox.Incoming(**{name: getattr(row, name) for name in inbox.Incoming.__dataclass_fields__}) == message
    assert inbox.row(keeper.session, 99) is None


def test_messages_wait_in_order(keeper: Keeper) -> None:
    """The oldest is next until it is done; a failed one stays next; one set aside lets the next go on."""
    first, second, third = (keeper.message() for _ in range(3))
    assert _next(keeper) == first
    inbox.mark_done(keeper.session, first)
    assert _next(keeper) == second
    assert [inbox.mark_failed(keeper.session, second, "ValueError: no") for _ in range(3)] == [1, 2, 3]
    assert _next(keeper) == second
    inbox.set_aside(keeper.session, second)
    assert _next(keeper) == third
    inbox.mark_done(keeper.session, third)
    assert inbox.next_waiting(keeper.session) is None
    aside = inbox.row(keeper.session, second)
    assert aside is not None
    assert (aside.state, aside.tries, aside.error) == ("aside", 3, "ValueError: no")


def _next(keeper: Keeper) -> int:
    row = inbox.next_waiting(keeper.session)
    assert row is not None
    return row.id


def test_what_is_not_there_cannot_be_marked(keeper: Keeper) -> None:
    """Marking a message or question that does not exist raises LookupError."""
    for mark in (inbox.mark_done, inbox.set_aside, outbox.mark_sent):
        with pytest.raises(LookupError):
            mark(keeper.session, 99)
    with pytest.raises(LookupError):
        questions.settle(keeper.session, 99, None, "answered")


def test_a_message_of_nobody_is_refused(store: Store) -> None:
    """A message of a member that does not exist is an error, and not taken for one that is known."""
    with store.write() as session:
        message = replace(Keeper(session).incoming("m1"), member_id=99)
    with pytest.raises(IntegrityError), store.write() as session:
        inbox.receive(session, message)


def test_a_message_taken_by_another_at_the_same_time_is_known(keeper: Keeper, monkeypatch: pytest.MonkeyPatch) -> None:
    """Where two may write at a time, the unique key decides, and the slower one is told that the message is known."""
    inbox.receive(keeper.session, keeper.incoming("m1"))
    known = inbox._known  # noqa: SLF001 - the look before the insert is made to see nothing, once
    answers = iter([False])
    monkeypatch.setattr(inbox, "_known", lambda *of: next(answers, None) is not False and known(*of))
    assert inbox.receive(keeper.session, keeper.incoming("m1")) is None
    assert inbox.receive(keeper.session, keeper.incoming("m2")) is not None


def test_replies_wait_until_they_are_sent(keeper: Keeper) -> None:
    """Oldest first, for each channel; once sent they are found by the service's id, in their own chat."""
    message_id = keeper.message()
    console = outbox.put(keeper.session, keeper.collection_id, "console", "terminal", message_id, {"text": "Written"})
    other = outbox.put(
        keeper.session, keeper.collection_id, "matrix", "!room", None, {"text": "Due", "choices": ["ok"]}
    )
    assert [row.id for row in outbox.waiting(keeper.session)] == [console, other]
    assert [row.body for row in outbox.waiting(keeper.session, "matrix")] == [{"text": "Due", "choices": ["ok"]}]
    assert [row.id for row in outbox.answers_to(keeper.session, message_id)] == [console]
    outbox.mark_sent(keeper.session, other, "$event")
    outbox.mark_sent(keeper.session, console)
    assert outbox.waiting(keeper.session) == []
    found = outbox.by_service_id(keeper.session, keeper.collection_id, "matrix", "!room", "$event")
    assert found is not None
    assert (found.id, found.sent) == (other, True)
    assert outbox.by_service_id(keeper.session, keeper.collection_id, "matrix", "!elsewhere", "$event") is None


def test_the_latest_open_question_is_the_one(keeper: Keeper) -> None:
    """A question stays open until it is settled; settling keeps how, and by which message."""
    asked, answer = keeper.message("fed Q"), keeper.message("1")
    first = questions.ask(keeper.session, keeper.collection_id, keeper.member_id, asked, {"kind": "feeding"}, NOW)
    second = questions.ask(keeper.session, keeper.collection_id, keeper.member_id, None, {"kind": "move"}, NOW)
    found = questions.open_question(keeper.session, keeper.member_id)
    assert found is not None
    assert (found.id, found.pending, found.asked_at) == (second, {"kind": "move"}, NOW)
    questions.settle(keeper.session, second, None, "dropped")
    found = questions.open_question(keeper.session, keeper.member_id)
    assert found is not None
    assert (found.id, found.inbox_id, found.how) == (first, asked, None)
    questions.settle(keeper.session, first, answer, "answered")
    assert questions.open_question(keeper.session, keeper.member_id) is None
    settled = questions.question(keeper.session, first)
    assert settled is not None
    assert (settled.settled_by, settled.how) == (answer, "answered")
    assert questions.question(keeper.session, 99) is None
