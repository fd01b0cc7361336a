"""Pushes: laid out once, claimed by one, sent once, whatever dies in between."""

from __future__ import annotations

from dataclasses import replace
from datetime import UTC, datetime, time, timedelta
from typing import TYPE_CHECKING

import pytest

from storage import outbox, preferences, pushes, questions
from storage.preferences import PreferenceRow
from storage.pushes import NewPush, SweepRow
from storage.store import Store
from storage.watch import watched
from tests.storage.keeper import NOW, Keeper

if TYPE_CHECKING:
    from sqlalchemy.orm import Session

LEASE = timedelta(seconds=30)
AT = datetime(2026, 3, 11, 8, tzinfo=UTC)


def morning(keeper: Keeper, day: int = 11) -> NewPush:
    at = AT.replace(day=day)
    return NewPush(keeper.collection_id, keeper.member_id, "morning", "", at.date().isoformat(), at)


def test_a_slot_is_laid_out_once(session: Session, keeper: Keeper) -> None:
    """Laying the same day out again, even after it was sent, changes nothing."""
    pushes.plan(session, [morning(keeper), morning(keeper)])
    (row,) = pushes.claim(session, keeper.member_id, "first", AT, LEASE)
    pushes.mark_sent(
        session, [row.id], outbox.put(session, keeper.collection_id, "console", "ana", None, {"text": "a"}), AT
    )
    pushes.plan(session, [morning(keeper)])
    (kept,) = pushes.by_ids(session, [row.id])
    assert (kept.state, kept.sent_at) == ("sent", AT)
    assert pushes.claim(session, keeper.member_id, "second", AT + LEASE, LEASE) == []


def test_the_slots_of_a_subject_are_found_from_a_day_on(session: Session, keeper: Keeper) -> None:
    """In order, in any state, and of that subject alone."""
    pushes.plan(session, [morning(keeper, 9), morning(keeper, 12), morning(keeper, 11)])
    pushes.plan(session, [morning(keeper, 13)], "answered")
    assert pushes.slots(session, morning(keeper), "2026-03-11") == ["2026-03-11", "2026-03-12", "2026-03-13"]
    assert pushes.slots(session, replace(morning(keeper), subject="caution occupant 1"), "2026-03-01") == []


def test_what_one_claims_another_does_not(session: Session, keeper: Keeper) -> None:
    """A claim holds for its lease; afterwards the push is free again, and the first holder holds nothing."""
    pushes.plan(session, [morning(keeper)])
    assert pushes.claim(session, keeper.member_id, "early", AT - LEASE, LEASE) == []
    assert len(pushes.claim(session, keeper.member_id, "first", AT, LEASE)) == 1
    assert pushes.claim(session, keeper.member_id, "second", AT + LEASE / 2, LEASE) == []
    assert len(pushes.still_held(session, "first")) == 1
    assert len(pushes.claim(session, keeper.member_id, "second", AT + LEASE, LEASE)) == 1
    assert pushes.still_held(session, "first") == []


def test_a_snoozed_push_wakes_again(session: Session, keeper: Keeper) -> None:
    """It goes out at the moment it was put off to, and the moment it was planned for stays known."""
    pushes.plan(session, [morning(keeper)])
    (row,) = pushes.claim(session, keeper.member_id, "first", AT, LEASE)
    later = AT + timedelta(hours=2)
    pushes.snooze(session, [row.id], later)
    assert [one.wakes_at for one in watched(session)] == [later]
    assert pushes.claim(session, keeper.member_id, "second", later - LEASE, LEASE) == []
    (woken,) = pushes.claim(session, keeper.member_id, "second", later, LEASE)
    assert (woken.planned_at, woken.wakes_at) == (AT, later)


def test_settled_pushes_do_not_come_back(session: Session, keeper: Keeper) -> None:
    """Skipped and answered ones are found by their state, and are not sent."""
    pushes.plan(session, [morning(keeper, 11), morning(keeper, 12)])
    first = pushes.find(session, morning(keeper, 11))
    assert first is not None
    pushes.settle(session, [first.id], "skipped")
    assert [row.state for row in pushes.of_member(session, keeper.member_id)] == ["skipped", "planned"]
    assert pushes.taken_off(session, keeper.member_id) == []  # whole lists, not single tasks
    assert [row.slot for row in pushes.claim(session, keeper.member_id, "a", AT.replace(day=13), LEASE)] == [
        "2026-03-12"
    ]


def test_a_claim_of_a_process_that_died_is_taken_over(store: Store) -> None:
    """What was claimed and never sent waits for the lease, and then goes out once; nothing is lost or doubled."""
    with store.write() as session:
        keeper = Keeper(session)
        pushes.plan(session, [morning(keeper)])
    with store.write() as session:
        assert len(pushes.claim(session, keeper.member_id, "died", AT, LEASE)) == 1
    sent = 0
    for seconds in range(0, 60, 20):
        with store.write() as session:
            rows = pushes.claim(session, keeper.member_id, f"heir {seconds}", AT + timedelta(seconds=seconds), LEASE)
            sent += len(rows)
            pushes.settle(session, [row.id for row in rows], "sent")
    assert sent == 1


def test_how_far_a_member_was_looked_after_is_kept(session: Session, keeper: Keeper) -> None:
    """The latest moment and its zone stay, whatever is said after."""
    assert pushes.swept(session, keeper.member_id) is None
    pushes.keep_swept(session, {keeper.member_id: "UTC"}, NOW)
    pushes.keep_swept(session, {keeper.member_id: "Europe/Lisbon"}, AT)
    pushes.keep_swept(session, {keeper.member_id: "UTC"}, NOW)
    assert pushes.swept(session, keeper.member_id) == SweepRow(AT, "Europe/Lisbon")


def test_preferences_are_kept(session: Session, keeper: Keeper) -> None:
    """Nothing is set at first; what is set is found again."""
    assert preferences.preference(session, keeper.member_id) == PreferenceRow()
    wanted = PreferenceRow(time(7, 30), None, time(22), time(6), ("morning", "plan"))
    preferences.prefer(session, keeper.member_id, wanted)
    assert preferences.preference(session, keeper.member_id) == wanted


def test_a_pushed_question_is_no_question_about_a_message(session: Session, keeper: Keeper) -> None:
    """Both sorts may be open at a time, each is found by itself."""
    told = questions.ask(session, keeper.collection_id, keeper.member_id, None, {"meaning": {}}, NOW)
    pushed = questions.ask(session, keeper.collection_id, keeper.member_id, None, {"push": {}}, NOW)
    rows = (
        questions.open_question(session, keeper.member_id),
        questions.open_question(session, keeper.member_id, pushed=True),
    )
    assert [row and row.id for row in rows] == [told, pushed]
    questions.keep_pending(session, pushed, {"push": {"part": 2}})
    kept = questions.question(session, pushed)
    assert kept is not None
    assert kept.pending == {"push": {"part": 2}}
    with pytest.raises(LookupError):
        questions.keep_pending(session, 99, {})
