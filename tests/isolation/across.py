"""The functions of storage that look over all collections by design, or at none: why, and what of a collection they hand out."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass
from datetime import timedelta
from typing import TYPE_CHECKING

from storage import (
    chats,
    households,
    inbox,
    inserting,
    invites,
    labels,
    leases,
    moving_in,
    outbox,
    photos,
    pushes,
    watch,
)
from storage.chats import AccountRow, BlockedRow
from storage.households import CollectionRow, MemberRow
from storage.inbox import InboxRow
from storage.invites import InviteRow
from storage.labels import LabelRow
from storage.outbox import OutboxRow
from storage.photos import PhotoRow
from storage.preferences import PreferenceRow
from storage.pushes import PushRow, SweepRow, TimedPlan
from storage.tables import Push
from storage.watch import Watched
from tests.isolation.acts import CHANNEL, GROUP, label_code
from tests.isolation.queries import Asked

if TYPE_CHECKING:
    from sqlalchemy.orm import Session

    from tests.isolation.kept import Kept

HOUR = timedelta(hours=1)
DOOR = "whoever comes in is known by a code or an address alone; what is found is held against the collection of who sent it"
ROUND = "one worker, one sender and one sweep serve all collections; what each is told is put together for it alone"
SERVICE = "of a message service, its chats, or a process: nothing that was said in a collection"
OPERATOR = "for whoever runs the program and has the whole database before them"


@dataclass(frozen=True)
class Across:
    """Why it looks over all, how it is asked, of which sorts of rows the answer may hold some, and where talk may use it.

    `talk` are the modules of the conversation, the answers and the reminders that call it: each sees to it that nothing is shown.
    """

    why: str
    ask: Asked
    hands_out: tuple[type, ...] = ()
    talk: tuple[str, ...] = ()


def _token(session: Session, kept: Kept) -> str:
    """The token of its last message with buttons."""
    rows = [outbox.row(session, one) for one in kept.ids["outbox"]]
    return next(row.token for row in reversed(rows) if row is not None and row.token is not None)


ACROSS: Mapping[str, Across] = {
    "chats.account": Across(SERVICE, lambda s, _k: chats.account(s, CHANNEL), (AccountRow,)),
    "chats.block": Across(SERVICE, lambda s, k: chats.block(s, CHANNEL, GROUP, k.now)),
    "chats.blocked": Across(OPERATOR, lambda s, _k: chats.blocked(s), (BlockedRow,)),
    "chats.current": Across(SERVICE, lambda s, _k: chats.current(s, CHANNEL, GROUP)),
    "chats.is_blocked": Across(SERVICE, lambda s, _k: chats.is_blocked(s, CHANNEL, GROUP)),
    "chats.keep_account": Across(SERVICE, lambda s, _k: chats.keep_account(s, CHANNEL, "9", "bot")),
    "chats.keep_position": Across(SERVICE, lambda s, _k: chats.keep_position(s, CHANNEL, "9")),
    "chats.may_tell_stranger": Across(SERVICE, lambda s, k: chats.may_tell_stranger(s, CHANNEL, "9", k.now, HOUR)),
    "chats.move": Across(SERVICE, lambda s, _k: chats.move(s, CHANNEL, "-9", "-10")),
    "chats.unblock": Across(SERVICE, lambda s, _k: chats.unblock(s, CHANNEL, GROUP)),
    "households.collections": Across(OPERATOR, lambda s, _k: households.collections(s), (CollectionRow,)),
    "households.hold_all": Across(OPERATOR, lambda s, _k: households.hold_all(s)),
    "inbox.next_waiting": Across(ROUND, lambda s, _k: inbox.next_waiting(s), (InboxRow,)),
    "inserting.insert_into": Across(SERVICE, lambda s, _k: inserting.insert_into(s, Push) is not None),
    "invites.by_code": Across(DOOR, lambda s, k: invites.by_code(s, k.code), (InviteRow,)),
    "invites.hold": Across(DOOR, lambda s, k: invites.hold(s, k.code), (InviteRow,)),
    "labels.by_code": Across(
        DOOR,
        lambda s, k: labels.by_code(s, label_code(k.who.number, "tub 4")),
        (LabelRow,),
        ("conversation/labels.py",),
    ),
    "leases.holder_of": Across(SERVICE, lambda s, k: leases.holder_of(s, "poll", k.now)),
    "leases.holds": Across(SERVICE, lambda s, _k: leases.holds(s, "poll", "me")),
    "leases.moment": Across(SERVICE, lambda s, k: leases.moment(s, k.now)),
    "leases.release": Across(SERVICE, lambda s, _k: leases.release(s, "poll", "me")),
    "leases.release_all": Across(SERVICE, lambda s, _k: leases.release_all(s, "me")),
    "leases.take": Across(SERVICE, lambda s, k: leases.take(s, "poll", "me", k.now, k.now + HOUR)),
    "moving_in.home_of": Across(OPERATOR, lambda s, k: moving_in.home_of(s, households.uid(s, k.collection_id))),
    "outbox.by_token": Across(DOOR, lambda s, k: outbox.by_token(s, _token(s, k)), (OutboxRow,)),
    "outbox.claim": Across(ROUND, lambda s, k: outbox.claim(s, CHANNEL, "me", k.now + 99 * HOUR, HOUR), (OutboxRow,)),
    "outbox.claimable": Across(ROUND, lambda s, k: outbox.claimable(s, CHANNEL, k.now + 99 * HOUR)),
    "outbox.collect": Across(ROUND, lambda s, k: outbox.collect(s, CHANNEL, k.who.address("viewer")), (OutboxRow,)),
    "outbox.next_due": Across(ROUND, lambda s, k: outbox.next_due(s, CHANNEL, k.now)),
    "outbox.release": Across(ROUND, lambda s, _k: outbox.release(s, "me")),
    "outbox.waiting": Across(ROUND, lambda s, _k: outbox.waiting(s), (OutboxRow,)),
    "photos.kept": Across("the same file may be of several", lambda s, _k: photos.kept(s)),
    "photos.wanted": Across(ROUND, lambda s, k: photos.wanted(s, CHANNEL, k.now), (PhotoRow,)),
    "pushes.still_held": Across(ROUND, lambda s, _k: pushes.still_held(s, "me"), (PushRow,), ("reminders/sweep.py",)),
    "pushes.timed_plans": Across(ROUND, lambda s, _k: pushes.timed_plans(s), (TimedPlan,), ("reminders/occasions.py",)),
    "watch.watched": Across(
        ROUND,
        lambda s, _k: watch.watched(s),
        (Watched, CollectionRow, MemberRow, PreferenceRow, SweepRow),
        ("reminders/profile.py",),
    ),
}
"""Each with an answer that holds something, where there is anything to be held."""

OF_THE_WHOLE: Mapping[str, str] = {
    "storage.copying": OPERATOR,
    "storage.engines": "opens a database; it reads no row",
    "storage.store": "opens a database and hands out sessions; it reads no row",
    "storage.snapshots": OPERATOR,
    "storage.schema": "makes the tables; it reads no row of a collection",
}
"""Modules that take a database, or a connection to it, as a whole."""
