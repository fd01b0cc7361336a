"""The parts put together: the inbox and its worker, crashes, strangers, clocks and zones."""

from __future__ import annotations

from collections.abc import Iterator
from datetime import UTC, datetime, timedelta, timezone
from pathlib import Path

import pytest

from bot.app import App, SetClock, SystemClock, build, machine_zone
from storage import households, inbox, journal, outbox
from storage.faults import StorageFault
from storage.store import Store
from tests import databases
from tests.conversation.room import Room, fed, log, open_room


@pytest.fixture
def room(tmp_path: Path) -> Iterator[Room]:
    opened = open_room(tmp_path / "data")
    yield opened
    opened.app.store.close()


def test_first_use_makes_a_collection_with_an_owner(tmp_path: Path) -> None:
    """An empty database gets one collection in the zone given, owned from the terminal; later calls change nothing."""
    room = open_room(tmp_path)
    room.app.prepare("Asia/Tokyo")
    with room.app.store.read() as session:
        assert [row.zone for row in households.collections(session)] == ["Europe/Lisbon"]
        assert [(row.address, row.role) for row in households.members(session, 1)] == [("owner", "owner")]


def test_a_message_is_committed_before_it_is_handled(room: Room) -> None:
    """What is received waits in the inbox, whatever happens next, and the worker takes it up later."""
    room.told.meanings["fed B"] = log(fed("group B"))
    room.app.receive("owner", "fed B")
    assert room.entries() == []
    assert room.app.work() == 1
    assert len(room.entries()) == 1
    assert room.app.work() == 0


def test_the_same_message_twice_is_one_message(room: Room) -> None:
    """A service that delivers a message again makes no second entry and no second reply."""
    room.told.meanings["fed B"] = log(fed("group B"))
    assert len(room.app.say("owner", "fed B", key="m1")) == 1
    assert room.app.say("owner", "fed B", key="m1") == []
    assert len(room.entries()) == 1


def test_messages_are_handled_in_the_order_they_came(room: Room) -> None:
    """Several waiting messages are handled first to last, and answered in that order."""
    for number in (1, 2, 3):
        room.told.meanings[f"fed B {number}"] = log(fed("group B", quantity=[number, number]))
        room.app.receive("owner", f"fed B {number}")
    room.app.work()
    assert [line[3]["quantity"][0] for line in room.lines()] == [1, 2, 3]
    assert [reply.entries[0]["quantity"][0] for reply in room.app.collect("console", "owner")] == [1, 2, 3]


def test_a_day_is_meant_from_when_the_message_was_sent(room: Room) -> None:
    """A message that arrives late is dated by when it was sent, not by when it was handled."""
    sent = datetime(2026, 3, 1, 12, tzinfo=UTC)
    room.told.meanings["fed B"] = log(fed("group B", on=sent.date()))
    room.app.say("owner", "fed B", sent_at=sent)
    assert room.entries()[0].told_at == sent


def test_a_turn_that_raises_leaves_nothing_half_done(room: Room, monkeypatch: pytest.MonkeyPatch) -> None:
    """If the worker dies between the entries and the reply, neither is there, the message waits, and it is done once later."""
    room.told.meanings["fed B"] = log(fed("group B"))
    room.app.receive("owner", "fed B", key="m1")

    def die(*_arguments: object, **_more: object) -> int:
        raise KeyboardInterrupt

    monkeypatch.setattr(outbox, "put", die)
    with pytest.raises(KeyboardInterrupt):
        room.app.work()
    monkeypatch.undo()
    with room.app.store.read() as session:
        row = inbox.find(session, 1, "console", "owner", "m1")
        assert row is not None
        assert row.state == "waiting"
        assert journal.entries_of_message(session, row.id) == []
    room.app.work()
    assert len(room.entries()) == 1


def test_a_message_that_keeps_raising_is_set_aside(room: Room) -> None:
    """After three tries the message is set aside with its text as it came, the keeper is told, and the next one goes on."""
    room.told.fails = True
    room.app.receive("owner", "fed \x00 B", key="m1")
    room.app.receive("owner", "fed D", key="m2")
    room.told.meanings["fed D"] = log(fed("group D"))
    room.told.meanings["fed   B"] = log(fed("group B"))
    calls = []

    def fall_over_on_first(text: str, *_rest: object) -> object:
        calls.append(text)
        if len(calls) <= 3:
            raise RuntimeError("fell over")
        return room.told.meanings[text]

    room.told.read = fall_over_on_first  # type: ignore[method-assign, assignment]
    room.app.work()
    replies = room.app.collect("console", "owner")
    assert "Something went wrong" in replies[0].text
    assert "fed" in replies[0].text
    assert replies[1].text.startswith("Written: group D")
    with room.app.store.read() as session:
        row = inbox.find(session, 1, "console", "owner", "m1")
    assert row is not None
    assert (row.text, row.state, row.tries) == ("fed \x00 B", "aside", 3)
    assert "RuntimeError" in (row.error or "")
    assert len(room.entries()) == 1


def test_a_fault_of_the_database_itself_is_not_swallowed(room: Room, monkeypatch: pytest.MonkeyPatch) -> None:
    """Without a message at hand there is nobody to tell, so the error goes up instead of spinning."""

    def broken(_session: object) -> None:
        raise RuntimeError("no inbox")

    monkeypatch.setattr(inbox, "next_waiting", broken)
    with pytest.raises(RuntimeError, match="no inbox"):
        room.app.work()


def test_a_disk_that_fails_costs_a_message_none_of_its_tries(room: Room, monkeypatch: pytest.MonkeyPatch) -> None:
    """A full disk is no fault of the message: it goes on waiting, untried, and is handled once there is room."""
    room.told.meanings["fed B"] = log(fed("group B"))
    room.app.receive("owner", "fed B", key="m1")

    def full(*_arguments: object, **_more: object) -> int:
        raise StorageFault("The disk is full.")

    monkeypatch.setattr(outbox, "put", full)
    with pytest.raises(StorageFault, match="disk is full"):
        room.app.work()
    monkeypatch.undo()
    with room.app.store.read() as session:
        row = inbox.find(session, 1, "console", "owner", "m1")
    assert row is not None
    assert (row.state, row.tries) == ("waiting", 0)
    room.app.work()
    assert len(room.entries()) == 1


def test_a_stranger_is_refused_and_nothing_is_kept(room: Room) -> None:
    """Somebody who is no member gets a polite sentence, and not even the text is stored."""
    with room.app.store.read() as session:
        before = inbox.row(session, 10_000)
    replies = room.app.say("mallory", "fed B", key="x")
    assert "I do not know you" in replies[0].text
    with room.app.store.read() as session:
        assert inbox.find(session, 1, "console", "mallory", "x") is before is None


def test_two_collections_never_see_each_other(room: Room) -> None:
    """A name on one roster means nothing to a member of another collection."""
    with room.app.store.write() as session:
        other = households.create_collection(session, "Next door", "Europe/Paris")
        households.add_member(session, other, "console", "nina", "Nina", "owner", room.clock.now())
    room.told.meanings["fed B"] = log(fed("group B"))
    assert "no group B on the roster" in room.app.say("nina", "fed B")[0].text


def test_the_system_clock_says_utc() -> None:
    """The one clock that reads the machine's time gives aware moments in UTC."""
    assert SystemClock().now().utcoffset() == timedelta(0)


def test_a_set_clock_stands_until_it_is_moved() -> None:
    """A clock for replays gives the moment it was set to, in UTC, and goes on only when told to."""
    clock = SetClock(datetime(2026, 3, 3, 19, 5, tzinfo=timezone(timedelta(hours=1))))
    assert clock.now() == datetime(2026, 3, 3, 18, 5, tzinfo=UTC)
    clock.pass_time(timedelta(days=1))
    assert clock.now().day == 4


def test_the_zone_of_the_machine_is_a_zone_that_exists(monkeypatch: pytest.MonkeyPatch) -> None:
    """TZ goes first if it names a zone, then where /etc/localtime points, then UTC."""
    monkeypatch.setenv("TZ", ":Asia/Tokyo")
    assert machine_zone() == "Asia/Tokyo"
    monkeypatch.setenv("TZ", "nowhere/at all")
    monkeypatch.setattr("os.path.realpath", lambda _path: "/usr/share/zoneinfo/Europe/Oslo")
    assert machine_zone() == "Europe/Oslo"
    monkeypatch.setattr("os.path.realpath", lambda _path: "/etc/localtime")
    assert machine_zone() == "UTC"


def test_the_parts_are_put_together_with_the_machines_clock(tmp_path: Path) -> None:
    """Without a clock of its own the bot uses the machine's."""
    store = Store.open(databases.of(tmp_path))
    made = build(store, language=open_room(tmp_path / "other").told)
    assert isinstance(made, App)
    assert isinstance(made.clock, SystemClock)
