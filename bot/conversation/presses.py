"""Choices that were tapped: each is the answer to the very question under which it stood, or is told to be an old one."""

from __future__ import annotations

from typing import TYPE_CHECKING

from bot.conversation import doubts
from bot.conversation.acting import ask_about, take_up
from bot.conversation.answer import Answer, said
from bot.conversation.pending import from_json
from bot.conversation.scene import Scene
from bot.conversation.writing import Origin
from storage import households, outbox, questions
from storage.outbox import OutboxRow
from storage.questions import QuestionRow

if TYPE_CHECKING:
    from sqlalchemy.orm import Session

CLOSED = "That question is closed by now; nothing was written."


def closed(session: Session, row: OutboxRow, member_id: int, label: str) -> str | None:
    """What to say to a member who taps the choice `label` of a message that no longer waits for it; None where it does.

    It does not where its question is settled, goes on about something else by now, or was put to somebody else.
    """
    if "more" in row.body:
        return None
    asked = _asked(session, row)
    if asked is None:
        return CLOSED
    if asked.member_id != member_id:
        return f"That question was put to {households.member(session, asked.member_id).name}."
    waits = asked.how is None and _is_put_by(asked, row) and label in row.body.get("choices", ())
    return None if waits else CLOSED


def press(scene: Scene) -> Answer:
    """Deal with a tapped choice: the text of the message of the scene is its label. Raises Refusal as any answer in words."""
    row = None if scene.message.pressed is None else outbox.row(scene.session, scene.message.pressed)
    label = scene.message.text
    line = CLOSED if row is None else closed(scene.session, row, scene.member.id, label)
    if row is None or line is not None:
        return said(line or CLOSED)
    page = from_json(row.body["more"]).ask if "more" in row.body else None
    if page is not None:
        return ask_about(scene, page)
    asked = _asked(scene.session, row)
    return _answer(scene, asked, label) if asked is not None else said(CLOSED)


def _answer(scene: Scene, asked: QuestionRow, label: str) -> Answer:
    origin = Origin(scene.message.id, label)
    if "push" in asked.pending:
        from bot.reminders import answering  # noqa: PLC0415 - it brings the due engine, which a question of talk does without

        return answering.answer(scene, label, origin) or said(CLOSED)
    if "counted" in asked.pending:
        from bot.conversation import reconciling  # noqa: PLC0415 - the same for a count that did not fit the book

        return reconciling.settle(scene, asked, sets=label != reconciling.LATER)
    doubt = doubts.doubt_of(asked)
    answered = doubts.completed(scene, doubt, label)
    return said(CLOSED) if answered is None else take_up(scene, doubt, answered, origin)


def _asked(session: Session, row: OutboxRow) -> QuestionRow | None:
    """The question that a message of the bot put."""
    asked = row.body.get("question")
    return None if asked is None else questions.question(session, asked)


def _is_put_by(asked: QuestionRow, row: OutboxRow) -> bool:
    """Whether a question is still at what this message asked: one about several things goes on with each answer."""
    if "push" not in asked.pending:
        return True
    put_by: int | None = asked.pending["push"].get("put_by")
    return put_by == row.inbox_id
