"""The sweep: whoever's moment has come is told, each thing once.

It goes by members. What fell due since the last sweep is laid out as pushes and claimed, in one transaction; then the message is put
together, by the journal as it is now; then it goes to the outbox and the pushes are marked sent, in another. All that a member is to
hear at one sweep is one message, so after an outage everything missed comes as one.

A sweep that dies between the two leaves a claim that another takes over once the lease is out. One that only was slow finds its claim
gone and says nothing. The sweep itself remembers nothing.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from datetime import datetime, timedelta
from typing import TYPE_CHECKING
from uuid import uuid4
from zoneinfo import ZoneInfo

from bot.answers.view import View
from bot.conversation.posting import Where, post
from bot.conversation.reply import to_body
from bot.reminders import occasions
from bot.reminders.message import Composed, Sitting, compose
from bot.reminders.model import Agenda, Source
from bot.reminders.moments import same_wall_clock
from bot.reminders.occasions import Timed
from bot.reminders.profile import Profile, profile, profiles
from storage import households, pushes, questions
from storage.pushes import NewPush, PushRow
from storage.store import Store

if TYPE_CHECKING:
    from sqlalchemy.orm import Session

LEASE = timedelta(seconds=30)
"""How long a claim holds. Putting a message together takes a fraction of it."""

STEP = timedelta(minutes=5)
"""How far the last sweep may lie back before a sweep that has nothing to say is written down too."""

OPEN_FOR = timedelta(hours=20)
"""How long a question of a push may be answered."""

Channels = frozenset[str] | None


@dataclass(frozen=True, slots=True)
class _Due:
    """One member whose moment has come, with what was claimed, and the agenda if it was made for that."""

    profile: Profile
    holder: str
    rows: Sequence[PushRow]
    before: datetime
    agenda: Agenda | None


def sweep(
    store: Store, now: datetime, source: Source, channels: Channels = None, *, member_id: int | None = None
) -> int:
    """Say what is to be said by `now`, to members on these channels (None: on all) or to one; how many messages went out.

    `source` gives the agenda of a collection.
    """
    with store.read() as session:
        everyone = _everyone(session, channels, member_id)
    busy = [(one, plans) for one, plans in everyone if _is_busy(one, plans, now)]
    waiting = {one.member.id for one, _ in busy}
    _pass_by(store, [one for one, _ in everyone if one.member.id not in waiting], now)
    sent = 0
    for one, plans in busy:
        due = _claim(store, one, plans, now, source)
        sent += 0 if due is None else _send(store, due, now, source)
    return sent


def next_moment(session: Session, after: datetime, until: datetime, channels: Channels = None) -> datetime | None:
    """The first moment after `after` and up to `until` at which a sweep may have something to say; None for none."""
    everyone = _everyone(session, channels)
    wakes = [one.wakes_at for one, _ in everyone]
    found = [max(wake, after) for wake in wakes if wake is not None and wake <= until]
    start = after
    while start < min([until, *found]):
        # Day by day: what lies far ahead is only looked at when nothing comes before it.
        end = min(start + timedelta(days=1), until)
        first = [one.moment for one_, plans in everyone for one in occasions.candidates(one_, plans, start, end)[:1]]
        if first:
            return min([*first, *found])
        start = end
    return min(found, default=None)


def _everyone(
    session: Session, channels: Channels, member_id: int | None = None
) -> list[tuple[Profile, Sequence[Timed]]]:
    """Each member on these channels, or the one member, with the timed plans of the collection."""
    plans = occasions.timed_plans(session)
    found = profiles(session, channels) if member_id is None else [profile(session, member_id)]
    return [(one, plans.get(one.member.collection_id, ())) for one in found]


def _is_busy(one: Profile, plans: Sequence[Timed], now: datetime) -> bool:
    """Whether something may have to be said to a member now: there is a push to claim, or something may have fallen due."""
    if one.wakes_at is not None and one.wakes_at <= now:
        return True
    return bool(occasions.candidates(one, plans, _since(one, now), now))


def _since(profile: Profile, now: datetime) -> datetime:
    """From when on a member has still to be looked after. A member never swept is, from now on.

    Where the collection has gone to another zone since, it is from when the clock there showed what it showed here.
    """
    last = profile.swept
    if last is None:
        return now
    if last.zone == profile.zone.key:
        return last.until
    return min(last.until, same_wall_clock(last.until, ZoneInfo(last.zone), profile.zone))


def _pass_by(store: Store, idle: Sequence[Profile], now: datetime) -> None:
    """Write down that there was nothing to say to these members; not at every tick."""
    stale = [
        one for one in idle if one.swept is None or now - one.swept.until >= STEP or one.swept.zone != one.zone.key
    ]
    if stale:
        with store.write() as session:
            pushes.keep_swept(session, {one.member.id: one.zone.key for one in stale}, now)


def _claim(store: Store, one: Profile, plans: Sequence[Timed], now: datetime, source: Source) -> _Due | None:
    """Lay out what fell due for a member, and claim it with what waits; None where that is nothing.

    Another process may have done some of it since the profile was read: what is laid out already stays as it is. The agenda is
    read before the writing begins, so that whoever else has to write waits for no reckoning.
    """
    member, since, holder = one.member, _since(one, now), uuid4().hex
    found = occasions.candidates(one, plans, since, now)
    agenda, new = None, list[NewPush]()
    if found:
        with store.read() as session:
            agenda = source(View.open(session, member.collection_id, now))
            new = occasions.laid_out(one, found, agenda)
    with store.write() as session:
        households.hold(session, member.collection_id)
        pushes.plan(session, new)
        pushes.keep_swept(session, {member.id: one.zone.key}, now)
        rows = pushes.claim(session, member.id, holder, now, LEASE)
    return _Due(one, holder, rows, since, agenda) if rows else None


def _send(store: Store, due: _Due, now: datetime, source: Source) -> int:
    """Put the message of a member together, and let it go out unless the claim is lost; 1 if it went out."""
    with store.read() as session:
        agenda = due.agenda or source(View.open(session, due.profile.member.collection_id, now))
        composed = compose(Sitting(session, due.profile, now), agenda, due.rows, due.before)
    with store.write() as session:
        households.hold(session, due.profile.member.collection_id)
        held = {row.id for row in pushes.still_held(session, due.holder)}
        if held != {row.id for row in due.rows}:
            return 0
        pushes.settle(session, composed.answered, "answered")
        pushes.settle(session, composed.skipped, "skipped")
        if composed.empty:
            return 0
        _put(session, due, composed, now)
    return 1


def _put(session: Session, due: _Due, composed: Composed, now: datetime) -> None:
    """Put a message in the outbox, ask its question, and mark its pushes sent."""
    member = due.profile.member
    question_id = None
    if composed.points:
        _pass_over(session, member.id, now)
        pending = {"push": composed.pending(tuple(row.id for row in due.rows))}
        question_id = questions.ask(session, member.collection_id, member.id, None, pending, now)
    body = {**to_body(composed.reply), "about": None, "focus": [], "did": {}, "push": True, "question": question_id}
    body["to"] = member.address
    outbox_id = post(session, Where(member.collection_id, member.channel, member.home), body)
    gone = {*composed.answered, *composed.skipped}
    pushes.mark_sent(session, [row.id for row in due.rows if row.id not in gone], outbox_id, now)
    pushes.plan(session, composed.told, "answered")


def _pass_over(session: Session, member_id: int, now: datetime) -> None:
    """Close the questions of yesterday's pushes: what they asked about and still stands comes again in the morning list."""
    for row in questions.open_questions(session, member_id):
        if "push" in row.pending and now - row.asked_at > OPEN_FOR:
            questions.settle(session, row.id, None, "passed over")
