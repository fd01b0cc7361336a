"""What one turn of talk knows: who speaks, when, in which collection, and who lives where."""

from __future__ import annotations

from dataclasses import dataclass, replace
from datetime import UTC, date, datetime
from pathlib import Path
from typing import TYPE_CHECKING, Protocol
from zoneinfo import ZoneInfo

from bot.conversation.names import Names
from bot.language.meaning import Context, Meaning
from bot.language.roster import Roster
from storage import roster
from storage.households import CollectionRow, MemberRow
from storage.inbox import InboxRow
from storage.roster import Cause
from storage.vocabulary import vocabulary

if TYPE_CHECKING:
    from sqlalchemy.orm import Session


class Language(Protocol):
    """What a turn needs of a reader of messages; the package `bot.language` is one."""

    def read(self, text: str, now: datetime, roster: Roster, context: Context | None = None) -> Meaning:
        """What a message means, `now` being the keeper's local clock."""

    def complete(self, pending: Meaning, text: str, now: datetime, roster: Roster) -> Meaning | None:
        """The pending Meaning with the answer worked in; None if the text does not answer its question."""


@dataclass(frozen=True, slots=True)
class Scene:
    """One message being dealt with: its inbox row, its sender, and the collection as it stands in this transaction.

    `folder` is the data folder, for what an answer puts there; None where there is none.
    """

    session: Session
    language: Language
    collection: CollectionRow
    member: MemberRow
    message: InboxRow
    names: Names
    folder: Path | None = None

    @property
    def now(self) -> datetime:
        """When the message was sent, aware, in UTC: its words count from then, however late it came."""
        return self.message.sent_at.astimezone(UTC)

    @property
    def zone(self) -> ZoneInfo:
        """The time zone of the collection."""
        return ZoneInfo(self.collection.zone)

    @property
    def local_now(self) -> datetime:
        """The keeper's clock when the message was sent, without zone."""
        return self.now.astimezone(self.zone).replace(tzinfo=None)

    @property
    def today(self) -> date:
        """The keeper's date when the message was sent."""
        return self.local_now.date()

    @property
    def cause(self) -> Cause:
        """Who changes the roster by this message, and with which words."""
        return Cause(self.member.id, self.message.id, self.now, self.message.text)

    @property
    def roster(self) -> Roster:
        """The roster as the reader of messages takes it, with the words that the keeper has taught."""
        return self.names.roster(self.collection.zone, vocabulary(self.session, self.collection.id))

    def refreshed(self) -> Scene:
        """The scene with the roster as it is now, after a change in this turn."""
        return replace(self, names=load_names(self.session, self.collection.id))


def load_names(session: Session, collection_id: int) -> Names:
    """The names of a collection, of those no longer kept too."""
    return Names(roster.load(session, collection_id, include_closed=True))
