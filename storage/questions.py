"""Questions put to members, with what waits for the answer."""

from __future__ import annotations

from dataclasses import dataclass
from typing import TYPE_CHECKING, Any

from sqlalchemy import select

from storage.tables import Question

if TYPE_CHECKING:
    from collections.abc import Mapping
    from datetime import datetime

    from sqlalchemy.orm import Session


@dataclass(frozen=True, slots=True)
class QuestionRow:
    """A question: `pending` is the half-understood message as JSON, `how` None while it is open."""

    id: int
    collection_id: int
    member_id: int
    inbox_id: int | None
    pending: dict[str, Any]
    asked_at: datetime
    settled_by: int | None
    how: str | None


def ask(
    session: Session,
    collection_id: int,
    member_id: int,
    inbox_id: int | None,
    pending: Mapping[str, Any],
    at: datetime,
) -> int:
    """Remember a question put to a member; its id."""
    stored = Question(
        collection_id=collection_id, member_id=member_id, inbox_id=inbox_id, pending=dict(pending), asked_at=at
    )
    session.add(stored)
    session.flush()
    return stored.id


def open_questions(session: Session, member_id: int) -> list[QuestionRow]:
    """The questions that the member has not answered, the latest first."""
    wanted = select(Question).where(Question.member_id == member_id, Question.how.is_(None))
    return [_question_row(found) for found in session.scalars(wanted.order_by(Question.id.desc()))]


def open_question(session: Session, member_id: int, *, pushed: bool = False) -> QuestionRow | None:
    """The latest question that the member has not answered, None when there is none.

    With `pushed` it is the latest that the bot put unasked (its `pending` holds "push"), else the latest about a message.
    One that nothing waits for (its `pending` holds "aside") is left out.
    """
    found = (row for row in open_questions(session, member_id) if "aside" not in row.pending)
    return next((row for row in found if ("push" in row.pending) is pushed), None)


def keep_pending(session: Session, question_id: int, pending: Mapping[str, Any]) -> None:
    """Put what waits for the answer anew: a question of several parts goes on. Raises LookupError where there is none."""
    stored = session.get(Question, question_id)
    if stored is None:
        raise LookupError(f"there is no question {question_id}")
    stored.pending = dict(pending)
    session.flush()


def question(session: Session, question_id: int) -> QuestionRow | None:
    """The question of that id, open or settled."""
    found = session.get(Question, question_id)
    return None if found is None else _question_row(found)


def settle(session: Session, question_id: int, inbox_id: int | None, how: str) -> None:
    """Close a question: `how` says in a word how it ended (answered, dropped, …), `inbox_id` which message did it."""
    stored = session.get(Question, question_id)
    if stored is None:
        raise LookupError(f"there is no question {question_id}")
    stored.settled_by = inbox_id
    stored.how = how
    session.flush()


def _question_row(stored: Question) -> QuestionRow:
    return QuestionRow(
        stored.id,
        stored.collection_id,
        stored.member_id,
        stored.inbox_id,
        stored.pending,
        stored.asked_at,
        stored.settled_by,
        stored.how,
    )
