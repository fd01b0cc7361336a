"""Answers to what the bot asked unasked: done, seen, later, skipped.

An answer writes the same entries as a text would, in the name of the message that gave it, so "undo" takes it back as it does any other.
A text that is no answer to an open question of a push is nobody's business here: `answer` gives None, and the turn goes on.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass, replace
from datetime import UTC, datetime
from typing import Any

from bot.answers.view import View
from bot.conversation.acting import echo
from bot.conversation.answer import Answer, said
from bot.conversation.limits import shorten
from bot.conversation.reply import Reply
from bot.conversation.scene import Scene
from bot.conversation.targets import answered_by
from bot.conversation.writing import Origin, refuse_viewers
from bot.reminders import doing
from bot.reminders.agenda import agenda
from bot.reminders.message import LIST
from bot.reminders.model import MORNING, Point, Source
from bot.reminders.moments import local, moment_of
from bot.reminders.points import (
    ALL_DONE,
    DONE,
    LATER,
    LATER_MEANS,
    ONE_BY_ONE,
    SKIP,
    choices,
    chosen,
    plain,
    put_off,
    question,
    tasks,
)
from bot.reminders.profile import profile
from bot.wording import say_date
from storage import outbox, pushes, questions
from storage.pushes import NewPush
from storage.questions import QuestionRow

_OFFERED_FOR_ALL = (ALL_DONE, ONE_BY_ONE, LATER)
_WHOLE_LIST = (ALL_DONE, ONE_BY_ONE)


@dataclass(frozen=True, slots=True)
class Open:
    """An open question of a push: the stage it is at, what is still to be answered, and the rows that went out with it."""

    row: QuestionRow
    stage: str
    queue: tuple[Point, ...]
    rows: tuple[int, ...]

    @property
    def offered(self) -> tuple[str, ...]:
        """The choices it was last put with, and for a single task also "all done"."""
        return _OFFERED_FOR_ALL if self.stage == LIST else choices(self.queue[0])

    @property
    def accepted(self) -> tuple[str, ...]:
        """The choices with what else is understood in words: the list at any stage, skipping it at once."""
        more = (SKIP, DONE) if self.stage == LIST else _WHOLE_LIST if tasks(self.queue) else ()
        return (*self.offered, *more)


def answer(scene: Scene, text: str, origin: Origin, source: Source = agenda) -> Answer | None:
    """Take a text as the answer to an open question of a push; None where there is none or it is no answer to it."""
    for asked in _open(scene):
        until = put_off(text, scene.local_now, profile(scene.session, scene.member.id).morning_at)
        choice = chosen(text, asked.accepted)
        if choice is None and until is None:
            continue
        refuse_viewers(scene)
        if until is not None or choice == LATER:
            when = local(scene.now + LATER_MEANS, scene.zone) if until is None else until
            return _put_off(scene, asked, when)
        if choice is not None:
            return _answered(scene, asked, choice, origin, source)
    return None


def says_all_done(text: str) -> bool:
    """Whether a text says, without a question, that everything due is done."""
    return chosen(text, (ALL_DONE,)) is not None and not plain(text).isdecimal()


def all_done(scene: Scene, origin: Origin, source: Source = agenda) -> Answer:
    """Write that everything due is done, without a question: every task that stands now, one entry for each place and task."""
    refuse_viewers(scene)
    standing = source(_view(scene)).items
    points = tuple(doing.point_of(item) for item in standing if item.stands and doing.can_be_done(item.kind))
    if not points:
        return said("Nothing is due, so nothing was written.")
    written = doing.write(scene, points, origin, standing)
    return echo(scene, written, origin.message_id)


def _open(scene: Scene) -> list[Open]:
    """Open questions of pushes that this message may answer: the one that it hangs on, else those newer than any other question."""
    hung = _hangs_on(scene)
    if hung is not None:
        return [_opened(hung)] if "push" in hung.pending else []
    found: list[Open] = []
    for row in questions.open_questions(scene.session, scene.member.id):
        if "aside" in row.pending:
            continue
        if "push" not in row.pending:
            break
        found.append(_opened(row))
    return found


def _hangs_on(scene: Scene) -> QuestionRow | None:
    """The question of the bot's message that this one replies to, or whose button it is, if it is still open."""
    message = scene.message
    own = answered_by(scene) if message.pressed is None else outbox.row(scene.session, message.pressed)
    asked = None if own is None else own.body.get("question")
    row = None if asked is None else questions.question(scene.session, asked)
    return row if row is not None and row.how is None else None


def _opened(row: QuestionRow) -> Open:
    held: dict[str, Any] = row.pending["push"]
    return Open(row, held["stage"], tuple(Point.from_json(kept) for kept in held["queue"]), tuple(held["rows"]))


def _answered(scene: Scene, asked: Open, choice: str, origin: Origin, source: Source) -> Answer:
    if choice == ONE_BY_ONE:
        return _go_on(scene, replace(asked, stage="item"), said())
    whole = choice == ALL_DONE or asked.stage == LIST
    points = tuple(tasks(asked.queue)) if whole and choice != SKIP else asked.queue if whole else asked.queue[:1]
    rest = tuple(point for point in asked.queue if point not in points)
    if choice == SKIP:
        doing.skip(scene, tasks(points), origin)
        _settle(scene, points, "skipped")
        text = f"Skipped this once: {shorten('; '.join(point.text for point in points), 300)}."
        outcome = said(text, about=origin.message_id)
    else:
        outcome = _done(scene, points, choice, origin, source)
    return _go_on(scene, replace(asked, stage="item", queue=rest), outcome)


def _done(scene: Scene, points: Sequence[Point], choice: str, origin: Origin, source: Source) -> Answer:
    """Write what an answer says of some points, as the journal now stands: what was told meanwhile is not told twice."""
    if points[0].sort == "task":
        written = doing.write(scene, points, origin, source(_view(scene)).items)
    else:
        written = doing.write_seen(scene, points[0], choice, origin)
    _settle(scene, points, "answered")
    if not written.ids and not written.remarks:
        return said("That was written already, so nothing more was.")
    return echo(scene, written, scene.message.id)


def _go_on(scene: Scene, asked: Open, outcome: Answer) -> Answer:
    """Put the next point of the question; where there is none, close it."""
    if not asked.queue:
        _close(scene, asked, "answered")
        return outcome
    held = {
        "stage": asked.stage,
        "queue": [point.to_json() for point in asked.queue],
        "rows": list(asked.rows),
        "put_by": scene.message.id,  # buttons of what was put before are old from now on
    }
    questions.keep_pending(scene.session, asked.row.id, {"push": held})
    following = Reply(question(asked.queue), choices(asked.queue[0]))
    outcome = replace(outcome, question=asked.row.id)
    return outcome.followed(following) if outcome.reply.text else replace(outcome, reply=following)


def _put_off(scene: Scene, asked: Open, when: datetime) -> Answer:
    """Have it said again at a local time: the whole message, or of one that is gone through the point that is being asked."""
    until = moment_of(when.date(), when.time(), scene.zone)
    shown = f"{say_date(when.date(), scene.today)}, {when:%H:%M}" if when.date() != scene.today else f"{when:%H:%M}"
    if asked.stage == LIST or asked.queue[1:] == ():
        rows = pushes.by_ids(scene.session, asked.rows)
        pushes.snooze(scene.session, [row.id for row in rows if row.state == "sent"], until)
        _close(scene, asked, "put off")
        return said(f"Again at {shown}.")
    point, rest = asked.queue[0], asked.queue[1:]
    pushes.snooze(scene.session, [_row_of(scene, point)], until)
    return _go_on(scene, replace(asked, queue=rest), said(f"Again at {shown}."))


def _settle(scene: Scene, points: Sequence[Point], state: str) -> None:
    """Close the rows of points that have one of their own."""
    pushes.settle(scene.session, [point.push for point in points if point.push is not None], state)


def _row_of(scene: Scene, point: Point) -> int:
    """The push of one point: its own, or one that is made for it beside the list that it stood on."""
    if point.push is not None:
        return point.push
    slot = (point.on or scene.today).isoformat()
    wanted = NewPush(scene.collection.id, scene.member.id, MORNING, point.key, slot, scene.now)
    pushes.plan(scene.session, [wanted])
    row = pushes.find(scene.session, wanted)
    if row is None:
        raise LookupError(f"the push of {point.key} was not laid out")
    return row.id


def _close(scene: Scene, asked: Open, how: str) -> None:
    questions.settle(scene.session, asked.row.id, scene.message.id, how)
    if how == "answered":
        rows = [row.id for row in pushes.by_ids(scene.session, asked.rows) if row.state == "sent"]
        pushes.settle(scene.session, rows, "answered")


def _view(scene: Scene) -> View:
    return View.open(scene.session, scene.collection.id, scene.now.astimezone(UTC))
