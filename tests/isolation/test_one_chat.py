"""One chat in which people of two collections write: each finds there what is of its own."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass
from typing import TYPE_CHECKING

import pytest

from storage import households, inbox, outbox
from storage.inbox import InboxRow, Incoming
from storage.store import Store
from tests.isolation.acts import CHANNEL, GROUP
from tests.isolation.world import MORNING

if TYPE_CHECKING:
    from sqlalchemy.orm import Session


@dataclass(frozen=True)
class Side:
    """A collection with an owner who writes in the group."""

    session: Session
    collection_id: int
    member_id: int

    def hears(self, key: str, album: str | None = None) -> InboxRow:
        """A message of the owner's, under a key of the service."""
        of = {"collection_id": self.collection_id, "member_id": self.member_id, "channel": CHANNEL, "chat": GROUP}
        inbox_id = inbox.receive(self.session, Incoming(**of, key=key, text="hello", sent_at=MORNING, album=album))  # type: ignore[arg-type]  # as they are
        found = inbox.row(self.session, inbox_id or 0)
        assert found is not None
        return found

    def says(self, service_id: str | None = None) -> int:
        """A message of the bot's, sent under a key of the service or not yet."""
        made = outbox.put(self.session, self.collection_id, CHANNEL, GROUP, None, {"text": "hello"})
        if service_id is not None:
            outbox.mark_sent(self.session, made, service_id)
        return made


@pytest.fixture
def sides(store: Store) -> Iterator[tuple[Side, Side]]:
    """Two collections."""
    with store.write() as session:
        made = []
        for address in ("1", "2"):
            of = households.create_collection(session, "The rack", "UTC")
            member = households.add_member(session, of, CHANNEL, address, "Sam", "owner", MORNING)
            made.append(Side(session, of, member))
        yield made[0], made[1]


def test_a_message_is_found_by_its_key_in_its_own_collection(sides: tuple[Side, Side]) -> None:
    """By no other is it found, neither the keeper's nor the bot's."""
    ours, theirs = sides
    heard, said = theirs.hears("7"), theirs.says("8")
    for side, found in ((theirs, [heard.id]), (ours, [])):
        rows = inbox.revisions(side.session, side.collection_id, CHANNEL, GROUP, "7")
        assert [row.id for row in rows] == found
    assert inbox.find(ours.session, ours.collection_id, CHANNEL, GROUP, "7") is None
    assert outbox.by_service_id(ours.session, ours.collection_id, CHANNEL, GROUP, "8") is None
    row = outbox.by_service_id(theirs.session, theirs.collection_id, CHANNEL, GROUP, "8")
    assert row is not None
    assert row.id == said


def test_the_message_before_is_the_members_own(sides: tuple[Side, Side]) -> None:
    """Whatever others wrote between; before the first there is none."""
    ours, theirs = sides
    first, _, second, _ = ours.hears("1"), theirs.hears("2"), ours.hears("3"), theirs.hears("4")
    assert inbox.before(ours.session, second) == first
    assert inbox.before(ours.session, first) is None


def test_an_album_is_of_one_member(sides: tuple[Side, Side]) -> None:
    """Another's photos under the same name are not among them."""
    ours, theirs = sides
    own, _ = ours.hears("1", "x"), theirs.hears("2", "x")
    assert inbox.of_album(ours.session, ours.member_id, CHANNEL, GROUP, "x") == [own]


def test_what_waits_is_given_up_for_one_collection(sides: tuple[Side, Side]) -> None:
    """The other's still waits in the same chat."""
    ours, theirs = sides
    gone, stays = ours.says(), theirs.says()
    outbox.give_up_chat(ours.session, ours.collection_id, CHANNEL, GROUP, "gone")
    ours.session.expire_all()
    assert [row.id for row in outbox.waiting(ours.session, CHANNEL)] == [stays]
    assert [row.id for row in outbox.given_up(ours.session, ours.collection_id)] == [gone]
