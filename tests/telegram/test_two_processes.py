"""Two processes of the bot on one database, killed and stopped in turn while people write, edit and press."""

from __future__ import annotations

import random
import re
import signal
import time
from collections import Counter
from collections.abc import Iterator
from contextlib import contextmanager
from dataclasses import dataclass, field
from pathlib import Path

import pytest
from sqlalchemy import text

from bot.desk import AMONG_MACHINES
from bot.household import Household, opened
from bot.roster_file import load_roster
from fixtures.demo import roster_path
from storage import households, outbox
from tests import databases
from tests.patience import PATIENCE, STOP_GRACE
from tests.telegram.bot_api import BotApi, Person, Said, Shown, process
from tests.telegram.pair import Pair, pair

COLLECTIONS, WRITERS, MESSAGES, EDITS, KILLS, ROUNDS = 3, 3, 120, 15, 8, 2
UNCLEAR, CHOICE = "fed the scorpion 2 crickets", "sand tray 2"
INTAKE, SENDING = "telegram intake", "telegram sending"
SETTLES_WITHIN = 100.0
"""Seconds: a process that stands still in the middle of sending may hold what it claimed for a minute (`HELD_FOR`)."""


@dataclass
class Presser:
    """Somebody who asks for a question again and again, and presses one of its choices."""

    person: Person
    rounds: int = 0
    pressed: set[int] = field(default_factory=set)

    def tend(self) -> None:
        """Do what is next: ask for a question, or press a button of the one that came."""
        questions = [one for one in self.person.chat.from_bot if one.buttons and one.id not in self.pressed]
        if questions:
            self.pressed |= {one.id for one in questions}
            self.person.press(questions[-1], CHOICE)
        elif self.rounds == len(self.answered) < ROUNDS:
            self.rounds += 1
            self.person.say(UNCLEAR)

    @property
    def answered(self) -> list[Shown]:
        """The questions that show what was chosen."""
        return [one for one in self.person.chat.from_bot if one.edited and CHOICE in one.text]


@dataclass
class Town:
    """Three collections on one bot: those who write, those who press, and what was said by whom."""

    household: Household
    writers: list[Person] = field(default_factory=list)
    pressers: list[Presser] = field(default_factory=list)
    said: dict[int, list[tuple[int, Said]]] = field(default_factory=dict)
    edited: set[int] = field(default_factory=set)

    def settle_in(self, api: BotApi) -> None:
        """Found the collections, and let everybody in."""
        app, roster = self.household.app, load_roster(roster_path())
        for name in ["room 2", "room 3"][: COLLECTIONS - 1]:
            app.add_collection(name)
        with app.store.read() as session:
            kept = households.collections(session)
        for collection in kept:
            Household(app, collection.name).bring_in(roster)
            people = [api.user(f"{collection.name} {number}") for number in range(WRITERS + 1)]
            with app.store.write() as session:
                for person in people:
                    households.add_member(
                        session, collection.id, "telegram", str(person.id), person.name, "keeper", app.clock.now()
                    )
            self.writers += people[:-1]
            self.pressers.append(Presser(people[-1]))

    def write(self, number: int, chance: random.Random) -> None:
        """Somebody writes the message of that number, or changes an earlier one of theirs as well."""
        person = self.writers[number % len(self.writers)]
        mine = self.said.setdefault(person.id, [])
        if mine and len(self.edited) < EDITS and chance.random() < 0.25:
            earlier, said = mine[-1]
            if earlier not in self.edited:
                person.edit(said, f"note Marigolds: mark {earlier} changed")
                self.edited.add(earlier)
        mine.append((number, person.say(f"note Marigolds: mark {number}")))

    def column(self, query: str) -> list[str]:
        """The first column of a query."""
        with self.household.app.store.read() as session:
            return [str(value) for value in session.execute(text(query)).scalars()]

    def is_settled(self) -> bool:
        """Whether all that was said is in, handled and answered."""
        for presser in self.pressers:
            presser.tend()
        waits = ("inbox WHERE state = 'waiting'", "outbox WHERE NOT sent AND NOT given_up")
        answered = all(len(presser.answered) >= ROUNDS for presser in self.pressers)
        notes = len(self.column("SELECT id FROM entries WHERE kind = 'note'"))
        done = notes >= MESSAGES + len(self.edited) and answered
        return done and not any(self.column(f"SELECT id FROM {one}") for one in waits)  # noqa: S608 - the words above

    def repeated(self) -> list[int]:
        """How many replies came again, in each chat. Raises where one is missing or not in order."""
        again = []
        for person in self.writers:
            told = [
                int(found[1]) for reply in person.chat.texts if (found := re.search(r"mark (\d+)(?! changed)\b", reply))
            ]
            first = list(dict.fromkeys(told))
            assert first == [number for number, _ in self.said[person.id]]
            again.append(len(told) - len(first))
        return again

    def check_journal(self) -> None:
        """Each message has one entry, in the order in which it was said; each change one that takes its place; each press one."""
        for place in ("IS NULL", "IS NOT NULL"):
            by = self.column(f"SELECT message_id FROM entries WHERE message_id > 0 AND supersedes {place}")  # noqa: S608 - the words above
            assert [number for number, count in Counter(by).items() if count > 1] == []
        notes = self.column("SELECT words FROM entries WHERE kind = 'note' AND supersedes IS NULL ORDER BY id")
        marks = [int(found[1]) for note in notes if (found := re.search(r"mark (\d+)", note))]
        assert sorted(marks) == list(range(MESSAGES))
        for mine in self.said.values():
            own = [number for number, _ in mine]
            assert [mark for mark in marks if mark in own] == own
        changed = self.column("SELECT id FROM entries WHERE kind = 'note' AND supersedes IS NOT NULL")
        assert len(changed) == len(self.edited)
        assert len(self.column("SELECT id FROM entries WHERE kind = 'feeding'")) == COLLECTIONS * ROUNDS


@contextmanager
def town(api: BotApi, folder: Path) -> Iterator[Town]:
    """The collections in a database of their own."""
    with opened(folder, databases.settings(folder), zone="Europe/Lisbon") as household:
        made = Town(household)
        made.settle_in(api)
        yield made


@pytest.mark.slow
@pytest.mark.both_databases
def test_killed_in_turn_two_processes_lose_and_double_nothing(tmp_path: Path) -> None:
    """120 messages of nine people in three collections, changes and presses, and eight `kill -9`.

    Each has its entries once and in order, and no reply is lost. Of those sent right before a kill some come twice: the service has no
    way to tell that it has a message already.
    """
    chance = random.Random(20260303)  # noqa: S311 - the same moments each time
    with process(tmp_path) as api, town(api, tmp_path / "home") as people:
        with pair(api, tmp_path / "home") as two:
            for number in range(MESSAGES):
                people.write(number, chance)
                for presser in people.pressers:
                    presser.tend()
                if two.kills < KILLS * (number + 1) // MESSAGES and two.wait(lambda: two.up == 2, PATIENCE):
                    time.sleep(chance.uniform(0, 0.8))
                    two.kill(two.kills % 2)
            assert two.wait(people.is_settled, SETTLES_WITHIN), two.log.read_text()[-3000:]
            two.end()
        people.check_journal()
        told(api, two, people)
        assert max(people.repeated()) <= two.kills  # each may catch a chat between sending and writing that down
        assert two.kills == KILLS
        assert api.violations == []


@pytest.mark.slow
@pytest.mark.both_databases
def test_a_poller_that_sleeps_through_its_lease_harms_nothing(tmp_path: Path, database: str) -> None:
    """Whoever polls is stopped (SIGSTOP) for longer than its lease; the other takes over, and is not disturbed when it wakes up.

    On one machine leases are long, so there it is the sleeper who goes on.
    """
    chance = random.Random(7)  # noqa: S311 - as above
    with process(tmp_path) as api, town(api, tmp_path / "home") as people:
        with pair(api, tmp_path / "home") as two:
            sleeper = two.place_of(INTAKE)
            for number in range(MESSAGES):
                people.write(number, chance)
                if number == MESSAGES // 3:
                    two.processes[sleeper].send_signal(signal.SIGSTOP)
                    stopped, before = time.monotonic(), two.holder(INTAKE)
                if number == 2 * MESSAGES // 3:
                    if database == "postgresql":
                        take_over(two, before)
                        assert time.monotonic() - stopped < 30.0
                        assert two.wait(lambda: not api.pending, PATIENCE)
                    two.processes[sleeper].send_signal(signal.SIGCONT)
            assert two.wait(people.is_settled, SETTLES_WITHIN), two.log.read_text()[-3000:]
            two.end()
        people.check_journal()
        told(api, two, people)
        assert max(people.repeated()) <= 1
        assert api.violations == []


def take_over(two: Pair, before: str | None) -> None:
    """Wait until another polls."""
    assert two.wait(lambda: two.holder(INTAKE) not in {before, None}, 2 * AMONG_MACHINES.total_seconds())


@pytest.mark.slow
@pytest.mark.both_databases
def test_a_clean_stop_hands_over_at_once(tmp_path: Path) -> None:
    """The other polls and sends within a few seconds, and what waits for a service that neither serves is left alone."""
    with process(tmp_path) as api, town(api, tmp_path / "home") as people:
        with people.household.app.store.write() as session:
            outbox.put(session, people.household.collection.id, "matrix", "!room:host", None, {"text": "water"})
        with pair(api, tmp_path / "home") as two:
            first = two.place_of(INTAKE)
            two.processes[first].send_signal(signal.SIGTERM)
            assert two.processes[first].wait(STOP_GRACE) == 0
            began, (ann, *_) = time.monotonic(), people.writers
            ann.say("note Marigolds: mark 0")
            assert two.wait(lambda: ann.chat.texts, PATIENCE), two.log.read_text()[-3000:]
            assert time.monotonic() - began < 10.0
            two.processes[1 - first].send_signal(signal.SIGTERM)
            assert two.processes[1 - first].wait(STOP_GRACE) == 0
        assert people.column("SELECT chat FROM outbox WHERE NOT sent AND claimed_by IS NULL") == ["!room:host"]
        assert api.violations == []


@pytest.mark.slow
@pytest.mark.both_databases
def test_two_that_begin_together_begin_one_collection(tmp_path: Path) -> None:
    """On a database without a table in it: one makes them, one collection is begun, and one code is given out."""
    folder = tmp_path / "home"
    databases.empty(folder)
    with process(tmp_path) as api, pair(api, folder) as two:
        with two.store.read() as session:
            assert [kept.name for kept in households.collections(session)] == ["My collection"]
        two.end()
        assert two.log.read_text().count("Nobody is let in yet") == 1
        assert "Traceback" not in two.log.read_text()


def told(api: BotApi, two: Pair, people: Town) -> None:
    """The counts, for whoever reads the output of the test (`pytest -s`)."""
    conflicts = sum(request["status"] == 409 for request in api.requests)
    print(  # noqa: T201 - a measurement
        f"\n{MESSAGES} messages, {len(people.edited)} changes, {COLLECTIONS * ROUNDS} presses, {two.kills} kills: "
        f"0 lost, 0 doubled, {sum(people.repeated())} replies repeated, {conflicts} conflicts (409)"
    )
