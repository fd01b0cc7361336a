"""Several processes on one database, killed and stopped at any moment: each thing is done once, and in order."""

from __future__ import annotations

import os
import random
import signal
import subprocess
import sys
import time
from collections import Counter, defaultdict
from pathlib import Path
from typing import TYPE_CHECKING

import pytest
from sqlalchemy import text

from storage import chats, pushes
from storage.pushes import NewPush
from tests import databases
from tests.patience import PATIENCE
from tests.storage.contender import CHANNEL, MEMBERS, MESSAGES
from tests.storage.keeper import NOW, Keeper

if TYPE_CHECKING:
    from collections.abc import Iterator

    from storage.store import Store

ROOT = Path(__file__).parents[2]
PROCESSES, HARASSED, PUSHES = 3, 12.0, 12

Process = subprocess.Popen[bytes]


class Crowd:
    """The processes: `kills` of them so far, and where they say what they do."""

    def __init__(self, where: str | Path, folder: Path) -> None:
        self.log, self.kills, self.stops = folder / "said", 0, 0
        self._where, self._chance = str(where), random.Random(7)  # noqa: S311 - the same moments each time
        self._started = 0
        self.running = [self.start() for _ in range(PROCESSES)]

    def start(self) -> Process:
        self._started += 1
        name = f"holder {self._started}"
        command = [sys.executable, "-m", "tests.storage.contender", self._where, name, str(self.log), name]
        return subprocess.Popen(command, cwd=ROOT)

    def harass(self) -> None:
        """Kill one, or stop one for longer than its leases last."""
        place = self._chance.randrange(PROCESSES)
        victim = self.running[place]
        assert victim.poll() is None, "it ended by itself; what it said is in the output"
        if self._chance.random() < 0.6:
            victim.kill()
            victim.wait()
            self.kills += 1
            self.running[place] = self.start()
        else:
            victim.send_signal(signal.SIGSTOP)
            time.sleep(1.0)
            victim.send_signal(signal.SIGCONT)
            self.stops += 1
        time.sleep(self._chance.uniform(0.2, 0.9))

    def end(self) -> None:
        for process in self.running:
            process.send_signal(signal.SIGCONT)
            process.kill()
            process.wait()

    def said(self) -> Iterator[list[str]]:
        """What they said, in order: the words of each line after its moment."""
        lines = [line.split() for line in self.log.read_text(encoding="utf-8").splitlines()]
        return (words[1:] for words in sorted(lines, key=lambda words: int(words[0])))


def furnish(store: Store) -> None:
    """A collection for each member, with pushes that wait."""
    with store.write() as session:
        for number in range(1, MEMBERS + 1):
            keeper = Keeper(session) if number == 1 else another(session, number)
            assert keeper.member_id == keeper.collection_id == number
            new = [NewPush(number, number, "plan", str(one), "2026-03-03", NOW) for one in range(PUSHES)]
            pushes.plan(session, new)
        chats.keep_account(session, CHANNEL, "4711", "rack_bot")


def another(session: object, number: int) -> Keeper:
    """One more keeper, under another address."""
    keeper = Keeper.__new__(Keeper)
    from storage import households  # noqa: PLC0415 - here alone

    keeper.session = session  # type: ignore[assignment]  # as above
    keeper.collection_id = households.create_collection(keeper.session, f"room {number}", "Europe/Lisbon")
    keeper.member_id = households.add_member(
        keeper.session, keeper.collection_id, "console", f"a{number}", "Ann", "owner", NOW
    )
    return keeper


def column(store: Store, query: str) -> list[str]:
    """The first column of a query."""
    with store.read() as session:
        return [str(value) for value in session.execute(text(query)).scalars()]


def settled(store: Store) -> bool:
    """Whether all was fed, and nothing waits."""
    if column(store, "SELECT position FROM accounts") != [str(MESSAGES)]:
        return False
    waits = ["inbox WHERE state = 'waiting'", "outbox WHERE NOT sent AND channel = 'telegram'"]
    waits.append("pushes WHERE state <> 'sent'")
    return not any(column(store, f"SELECT id FROM {one} LIMIT 1") for one in waits)  # noqa: S608 - the words above


@pytest.mark.slow
@pytest.mark.both_databases
def test_whoever_dies_or_sleeps_each_thing_is_done_once(directory: Path, store: Store, tmp_path: Path) -> None:
    """What is fed by a lease comes once and without a gap; each message has one entry and one reply, each push goes out once.

    Each chat is sent its replies in order, and for each kill or stop one of them again at most.
    """
    furnish(store)
    crowd = Crowd(databases.of(directory), tmp_path)
    try:
        began = time.monotonic()
        while time.monotonic() < began + HARASSED:
            crowd.harass()
        while not settled(store) and time.monotonic() < began + HARASSED + PATIENCE:
            time.sleep(0.2)
    finally:
        crowd.end()
    report(store, crowd)
    check_inbox(store)
    check_outbox(crowd)
    check_pushes(store)
    assert not [words for words in crowd.said() if words[0] == "twice"]
    assert crowd.kills >= 3


def check_inbox(store: Store) -> None:
    """Every number, once and in order, done, with one entry and one reply."""
    numbers = [int(key) for key in column(store, "SELECT key FROM inbox ORDER BY id")]
    assert numbers == list(range(1, MESSAGES + 1))
    done = column(store, "SELECT id FROM inbox WHERE state = 'done'")
    assert len(done) == MESSAGES
    for table, of in (("entries", "message_id"), ("outbox", "inbox_id")):
        found = column(store, f"SELECT {of} FROM {table} WHERE {of} IS NOT NULL")  # noqa: S608 - the words above
        assert Counter(found) == Counter(done)
    by_collection = column(
        store, "SELECT i.id FROM entries e JOIN inbox i ON i.id = e.message_id WHERE e.collection_id = 1 ORDER BY e.id"
    )
    assert by_collection == sorted(by_collection, key=int)


def check_outbox(crowd: Crowd) -> None:
    """Each chat in its order; what was sent twice was in the hands of one that was killed or stopped between sending and saying so."""
    by_chat: dict[str, list[int]] = defaultdict(list)
    for word, *more in crowd.said():
        if word == "sent":
            by_chat[more[0]].append(int(more[1]))
    again = 0
    for sent in by_chat.values():
        again += len(sent) - len(set(sent))
        first = list(dict.fromkeys(sent))
        assert first == sorted(first)
    assert again <= crowd.kills + crowd.stops


def check_pushes(store: Store) -> None:
    """Each went out once."""
    sent = column(store, "SELECT body FROM outbox WHERE channel = 'matrix'")
    assert len(sent) == len(set(sent))
    total = MEMBERS * PUSHES
    assert len(column(store, "SELECT id FROM pushes WHERE state = 'sent'")) == total == len(sent)


def report(store: Store, crowd: Crowd) -> None:
    """The counts, for whoever reads the output of the test (`pytest -s`)."""
    words = Counter(line[0] for line in crowd.said())
    sent = [line[2] for line in crowd.said() if line[0] == "sent"]
    done = len(column(store, "SELECT id FROM inbox WHERE state = 'done'"))
    print(  # noqa: T201 - a measurement
        f"\n{os.environ.get('PYTEST_CURRENT_TEST', '')}: {done} messages, {crowd.kills} kills, {crowd.stops} stops, "
        f"{words['late']} late, {len(sent)} sent, {len(sent) - len(set(sent))} sent again, {words['twice']} doubled"
    )
