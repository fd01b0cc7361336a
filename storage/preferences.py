"""What each member wants to hear unasked, and when."""

from __future__ import annotations

from dataclasses import dataclass
from typing import TYPE_CHECKING

from storage.tables import Preference

if TYPE_CHECKING:
    from datetime import time

    from sqlalchemy.orm import Session


@dataclass(frozen=True, slots=True)
class PreferenceRow:
    """Times of the member's local day and the purposes received; None: as the house does it."""

    morning_at: time | None = None
    look_in_at: time | None = None
    quiet_from: time | None = None
    quiet_until: time | None = None
    receives: tuple[str, ...] | None = None


def preference(session: Session, member_id: int) -> PreferenceRow:
    """What a member has set; all None where nothing was."""
    return preference_row(session.get(Preference, member_id))


def preference_row(stored: Preference | None) -> PreferenceRow:
    """What a stored row says; all None for no row."""
    if stored is None:
        return PreferenceRow()
    receives = None if stored.receives is None else tuple(stored.receives)
    return PreferenceRow(stored.morning_at, stored.look_in_at, stored.quiet_from, stored.quiet_until, receives)


def prefer(session: Session, member_id: int, wanted: PreferenceRow) -> None:
    """Set all of what a member wants."""
    receives = None if wanted.receives is None else list(wanted.receives)
    session.merge(
        Preference(
            member_id=member_id,
            morning_at=wanted.morning_at,
            look_in_at=wanted.look_in_at,
            quiet_from=wanted.quiet_from,
            quiet_until=wanted.quiet_until,
            receives=receives,
        )
    )
    session.flush()
