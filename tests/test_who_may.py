"""Who may: everything that can come in, from everybody who can send it. Strangers leave no trace, viewers write nothing."""

from __future__ import annotations

from collections.abc import Callable
from typing import Any

import pytest

from bot.channels.port import DOCUMENT, OTHER, PHOTO, STICKER, UNREADABLE, VOICE, Carried, Press
from storage import households
from storage.tables import APPEND_ONLY, Base
from tests.front import ANA, CHANNEL, Front

GROUP = {"chat": "-5", "private": False}
VIEWER, REMOVED, STRANGER = "300", "400", "666"
WORDS = "fed Marigolds 3 crickets"

Make = Callable[[Front, str, dict[str, Any]], Carried | Press]


def _carried(text: str = WORDS, **more: Any) -> Make:  # noqa: ANN401 - handed on as it is
    return lambda front, address, where: front.message(text, address, **(more | where))


def _tapped(front: Front, address: str, where: dict[str, Any]) -> Press:
    (asked,) = front.hear(front.message("misted the sand tray", **where))
    return front.press(asked, 0, address)


def _edited(front: Front, address: str, where: dict[str, Any]) -> Carried:
    front.hear(first := front.message(WORDS, **where))
    return front.message("fed Marigolds 9 crickets", address, key=first.key, edits=first.key, revision=9, **where)


def _deleted(front: Front, address: str, where: dict[str, Any]) -> Carried:
    front.hear(first := front.message(WORDS, **where))
    return front.message("", address, deletes=first.key, **where)


def _replied(front: Front, address: str, where: dict[str, Any]) -> Carried:
    (echo,) = front.hear(front.message(WORDS, **where))
    return front.message("it was 4", address, reply_to=f"b{echo.id}", **where)


WRITING: dict[str, Make] = {
    "words": _carried(),
    "a moult": _carried("Marigolds moulted"),
    "set-up": _carried("add tub 9"),
    "a plan": _carried("remind me to feed Marigolds tomorrow at 9:00"),
    "a photo": _carried(carries=PHOTO, photo={"id": "x"}),
    "an edit": _edited,
    "a deletion": _deleted,
    "a reply": _replied,
    "a tap": _tapped,
}
ASKING: dict[str, Make] = {
    "a question": _carried("when did Marigolds last eat"),
    "/start": _carried("/start"),
    "/help": _carried("/help"),
    "/settings": _carried("/settings"),
    "/due": _carried("/due"),
    "/undo": _carried("/undo"),
    "/cancel": _carried("/cancel"),
    "a document": _carried("", carries=DOCUMENT),
    "a voice": _carried("", carries=VOICE),
    "a sticker": _carried("", carries=STICKER),
    "another thing": _carried("", carries=OTHER),
    "nothing readable": _carried("", carries=UNREADABLE),
}
EVERYTHING = WRITING | ASKING


@pytest.fixture
def house(front: Front) -> Front:
    """Beside Ana (owner) and Ben (keeper) there are a viewer, and somebody who was a member."""
    front.let_in(VIEWER, "Vera", "viewer")
    removed = front.let_in(REMOVED, "Rob", "keeper")
    with front.desk.app.store.write() as session:
        households.leave(session, removed, front.clock.now())
    return front


def contents(front: Front, *tables: str) -> dict[str, list[object]]:
    """Every row of these tables."""
    with front.desk.app.store.read() as session:
        rows = {table: session.connection().exec_driver_sql(f"SELECT * FROM {table}").all() for table in tables}  # noqa: S608 - names of our own tables
    return {table: [tuple(row) for row in found] for table, found in rows.items()}


@pytest.mark.parametrize("what", EVERYTHING)
@pytest.mark.parametrize("where", ["in private", "in a shared group"])
@pytest.mark.parametrize("address", [STRANGER, REMOVED], ids=["stranger", "removed member"])
def test_nobody_else_leaves_a_trace(house: Front, what: str, where: str, address: str) -> None:
    """Whatever they send, no table changes but the one that says when they were told; nothing waits, and one line is said."""
    item = EVERYTHING[what](house, address, GROUP if where == "in a shared group" else {})
    tables = [table for table in Base.metadata.tables if table != "turned_away"]
    before = contents(house, *tables)
    (taken,) = house.take(item)
    house.desk.app.work()
    assert taken.inbox_id is None
    assert taken.line
    assert taken.line.startswith("I do not know you yet")
    assert contents(house, *tables) == before
    assert house.out() == []


@pytest.mark.parametrize("what", EVERYTHING)
def test_a_viewer_writes_nothing(house: Front, what: str) -> None:
    """Nothing is added to the journal or the roster, and there is an answer."""
    item = EVERYTHING[what](house, VIEWER, {"chat": VIEWER} if what != "a tap" else {})
    before = contents(house, *APPEND_ONLY, "enclosures", "occupants")
    taken = house.take(item)
    house.desk.app.work()
    assert contents(house, *APPEND_ONLY, "enclosures", "occupants") == before
    assert house.out() or taken[0].line


@pytest.mark.parametrize("what", WRITING)
@pytest.mark.parametrize("role", ["owner", "keeper"])
def test_owners_and_keepers_write(house: Front, what: str, role: str) -> None:
    """What is told is written, in the name of who told it."""
    with house.desk.app.store.write() as session:
        ana = households.member_by_address(session, CHANNEL, ANA)
        assert ana is not None
        households.set_role(session, ana.id, role)
    item = WRITING[what](house, ANA, {})
    before = contents(house, *APPEND_ONLY, "enclosures")
    parcels = house.hear(item)
    assert contents(house, *APPEND_ONLY, "enclosures") != before
    assert len(parcels) == 1
    assert not any("not" in word for word in parcels[0].reply.text.split()[:3])


@pytest.mark.parametrize("what", ASKING)
@pytest.mark.parametrize("role", ["owner", "keeper", "viewer"])
def test_members_are_answered(house: Front, what: str, role: str) -> None:
    """Each gets one answer in the chat in which it was asked, without an apology."""
    with house.desk.app.store.write() as session:
        ana = households.member_by_address(session, CHANNEL, ANA)
        assert ana is not None
        households.set_role(session, ana.id, role)
    (parcel,) = house.hear(ASKING[what](house, ANA, {}))
    assert parcel.chat == ANA
    assert parcel.reply.text.strip()
    assert "went wrong" not in parcel.reply.text
