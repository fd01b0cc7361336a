"""What a member was told and need not hear again so soon: cautions, and sizes that passed a limit.

Kept as pushes that are answered, whether it was said in a morning list or in the reply to a message.
"""

from __future__ import annotations

from collections.abc import Iterable
from datetime import date, datetime, timedelta
from typing import TYPE_CHECKING

from bot.care.cautions import QUIET, caution_about
from bot.reminders.model import MORNING, Caution
from bot.wording import join_names
from storage import pushes
from storage.households import MemberRow
from storage.pushes import NewPush

if TYPE_CHECKING:
    from sqlalchemy.orm import Session


def remark(member: MemberRow, key: str, day: date, now: datetime) -> NewPush:
    """A remark to a member about a thing (`key`) of a local day, as it is kept."""
    return NewPush(member.collection_id, member.id, MORNING, key, day.isoformat(), now)


def keep(session: Session, told: Iterable[NewPush]) -> None:
    """Keep that these were said."""
    pushes.plan(session, told, "answered")


def was_told(session: Session, like: NewPush) -> bool:
    """Whether a remark was made before, about the same thing of the same day."""
    return pushes.find(session, like) is not None


def fresh_cautions(
    session: Session, member: MemberRow, cautions: Iterable[Caution], day: date, now: datetime
) -> tuple[list[str], list[NewPush]]:
    """The cautions that a member has not heard for a week, a line for each kind with all it is about, and how they are kept."""
    since = (day - QUIET + timedelta(days=1)).isoformat()
    names: dict[str, list[str]] = {}
    told = []
    for caution in cautions:
        kept = remark(member, caution.key, day, now)
        if not pushes.slots(session, kept, since):
            names.setdefault(caution.text, []).append(caution.ward)
            told.append(kept)
    return [caution_about(join_names(wards), line) for line, wards in names.items()], told
