"""Writers at the same time, on one database: those of one collection take turns, those of different ones do not wait.

On SQLite every writer is alone. What must hold on both is tried on both; who waits for whom is tried on PostgreSQL.
"""

from __future__ import annotations

import subprocess
import sys
from collections.abc import Callable
from concurrent.futures import ThreadPoolExecutor
from concurrent.futures import TimeoutError as StillWaiting
from datetime import timedelta
from pathlib import Path
from subprocess import PIPE
from threading import Barrier
from typing import TYPE_CHECKING

import pytest

from bot.admission import Comer, admit
from bot.errors import Refusal
from storage import households, inbox, invites, journal, labels, outbox, roster, stays, vocabulary
from storage.engines import POSTGRESQL
from storage.faults import NameTaken
from storage.journal import NewEntry, Subject
from storage.store import Store
from tests import databases
from tests.patience import PATIENCE
from tests.storage.keeper import NOW, TODAY, ZONE, Keeper

if TYPE_CHECKING:
    from sqlalchemy.orm import Session

both = pytest.mark.both_databases
postgresql = pytest.mark.parametrize("database", [POSTGRESQL], indirect=True, scope="session")

LONG_ENOUGH = 0.5
"""Seconds in which whoever does not wait is done by far."""


def at_once(store: Store, *acts: Callable[[Session], object]) -> list[object]:
    """What each act gives, or the fault it ends with, where all begin at the same time in transactions of their own."""
    ready = Barrier(len(acts))

    def run(act: Callable[[Session], object]) -> object:
        try:
            ready.wait()
            with store.write() as session:
                return act(session)
        except (NameTaken, Refusal) as fault:
            return type(fault)

    with ThreadPoolExecutor(len(acts)) as pool:
        return list(pool.map(run, acts))


def come_in(session: Session, collection_id: int, key: str) -> int:
    """A message that waits in a collection, of its first member; its id."""
    member = households.members(session, collection_id)[0]
    taken = inbox.receive(
        session,
        inbox.Incoming(
            collection_id=collection_id,
            member_id=member.id,
            channel="console",
            chat=member.address,
            key=key,
            text="fed B",
            sent_at=NOW,
        ),
    )
    return taken or 0


def next_of(session: Session) -> int | None:
    found = inbox.next_waiting(session)
    return None if found is None else found.id


@pytest.fixture
def home(store: Store) -> int:
    """The id of a collection."""
    with store.write() as session:
        return Keeper(session).collection_id


@pytest.fixture
def shed(store: Store, home: int) -> int:
    """The id of another collection, with a member."""
    del home
    with store.write() as session:
        made = households.create_collection(session, "shed", "UTC")
        households.add_member(session, made, "console", "ben", "Ben", "owner", NOW)
        return made


@both
def test_of_several_places_of_one_name_one_is_added(store: Store, home: int) -> None:
    """The others are told that the name is taken."""
    for number in range(5):
        told = at_once(store, *[lambda session, n=number: roster.add_enclosure(session, home, f"tub 9{n}")] * 4)
        assert told.count(NameTaken) == 3


@both
def test_a_code_lets_one_of_several_in(store: Store, home: int) -> None:
    """The others are told that it was used."""
    for number in range(5):
        with store.write() as session:
            invites.invite(session, home, "keeper", f"join-{number}", NOW + timedelta(days=1))
        comers = [Comer("telegram", f"{number}{place}", "Racer") for place in range(4)]
        told = at_once(
            store, *[lambda session, c=comer, n=number: admit(session, c, f"join-{n}", NOW) for comer in comers]
        )
        assert told.count(Refusal) == 3


@both
def test_a_place_gets_one_label(store: Store, home: int) -> None:
    """Whoever prints it first."""
    for number in range(5):
        with store.write() as session:
            place = roster.add_enclosure(session, home, f"pot {number}")
        codes = at_once(
            store,
            *[
                lambda session, c=f"{number}-{one}", p=place: labels.label_of(session, home, p, lambda: c)
                for one in range(4)
            ],
        )
        assert len(set(codes)) == 1


@both
def test_a_phrase_is_forgotten_once(store: Store, home: int) -> None:
    """The second finds nothing to forget."""
    for number in range(5):
        with store.write() as session:
            vocabulary.teach(session, home, f"word {number}", "fed")
        told = at_once(store, *[lambda session, n=number: vocabulary.forget(session, home, f"word {n}")] * 4)
        assert sorted(map(bool, told)) == [False, False, False, True]


@both
def test_what_the_bot_says_is_collected_once(store: Store, home: int) -> None:
    """By one of two terminals."""
    for number in range(5):
        with store.write() as session:
            outbox.put(session, home, "console", "owner", None, {"text": f"reply {number}"})
        told = at_once(store, *[lambda session: [row.id for row in outbox.collect(session, "console", "owner")]] * 4)
        assert sum(map(bool, told)) == 1


@both
def test_where_animals_live_fits_what_is_told_however_many_tell_at_once(store: Store) -> None:
    """Each of four moves the same group to another place; the stays are those that the journal gives when read anew."""
    with store.write() as session:
        keeper = Keeper(session)
        places = [roster.add_enclosure(session, keeper.collection_id, f"pot {number}") for number in range(4)]

    def move(session: Session, place: int) -> None:
        new = NewEntry("move", "log", TODAY, None, None, ZONE, {"to_enclosure_id": place}, (Subject(keeper.dwarfs),))
        journal.append(session, keeper.collection_id, keeper.member_id, None, NOW, [new])

    for _ in range(5):
        at_once(store, *[lambda session, to=place: move(session, to) for place in places])
    with store.write() as session:
        found = [(one.enclosure_id, one.entry_id) for one in stays.stays(session, keeper.dwarfs)]
        stays.rebuild(session, keeper.collection_id)
        assert [(one.enclosure_id, one.entry_id) for one in stays.stays(session, keeper.dwarfs)] == found


@postgresql
def test_writers_of_one_collection_wait_for_each_other(store: Store, home: int, shed: int) -> None:
    """While one writes in a collection a second waits to its end; in another collection nobody waits."""
    with ThreadPoolExecutor(1) as pool:
        with store.write() as session:
            households.hold(session, home)

            def wait(collection: int) -> None:
                with store.write() as other:
                    households.hold(other, collection)

            pool.submit(wait, shed).result(PATIENCE)
            second = pool.submit(wait, home)
            with pytest.raises(StillWaiting):
                second.result(LONG_ENOUGH)
        second.result(PATIENCE)


@postgresql
def test_a_message_of_another_collection_does_not_wait(store: Store, home: int, shed: int) -> None:
    """While the first message of a collection is in hand, the second of it is left alone and that of another is given out."""
    with store.write() as session:
        first, second = come_in(session, home, "1"), come_in(session, home, "2")
        other = come_in(session, shed, "3")
    with store.write() as one, store.write() as two, store.write() as three:
        assert next_of(one) == first
        assert next_of(two) == other
        assert next_of(three) is None
        inbox.mark_done(one, first)
    with store.write() as session:
        assert next_of(session) == second


@postgresql
def test_a_message_that_failed_is_not_overtaken(store: Store, home: int) -> None:
    """It waits to be tried again, and the second of its collection waits for it."""
    with store.write() as session:
        first = come_in(session, home, "1")
        come_in(session, home, "2")

    def fail() -> None:
        with store.write() as session:
            assert next_of(session) == first
            raise RuntimeError

    with pytest.raises(RuntimeError):
        fail()
    with store.write() as session:
        inbox.mark_failed(session, first, "of no matter")
    with store.write() as session:
        assert next_of(session) == first


@postgresql
def test_messages_come_in_while_their_collection_is_written_in(store: Store, home: int) -> None:
    """A service is not kept waiting by a long answer."""
    with ThreadPoolExecutor(1) as pool, store.write() as session:
        come_in(session, home, "1")
        households.hold(session, home)

        def take() -> int:
            with store.write() as other:
                return come_in(other, home, "2")

        assert pool.submit(take).result(PATIENCE)


@postgresql
@pytest.mark.slow
def test_four_first_starts_at_once_make_one_collection(tmp_path: Path) -> None:
    """Of the tables and of the collection there is one each, whoever made them."""
    where = databases.empty(tmp_path / "data")
    program = (
        "import sys; from bot.app import build; from storage.store import Store\n"
        "store = Store.open(sys.argv[1]); print('ready', flush=True); sys.stdin.readline()\n"
        "build(store).prepare('UTC'); store.close()"
    )
    command = [sys.executable, "-c", program, str(where)]
    started = [subprocess.Popen(command, stdin=PIPE, stdout=PIPE, stderr=PIPE, text=True) for _ in range(4)]
    for process in started:
        assert process.stdout is not None
        assert process.stdout.readline() == "ready\n"
    for process in started:
        assert process.stdin is not None
        process.stdin.write("\n")
        process.stdin.flush()
    assert [process.communicate(timeout=60) for process in started] == [("", "")] * 4
    store = Store.open(where)
    with store.read() as session:
        assert [row.name for row in households.collections(session)] == ["My collection"]
        assert len(households.members(session, 1)) == 1
    store.close()
