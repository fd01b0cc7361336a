"""One of several processes on one database: takes what is to be done, does it, and may be killed or stopped anywhere.

It feeds the inbox (one process at a time, by a lease), handles what waits there, sends what is in the outbox, and sends pushes.
Leases are short and the dawdling is long, so that they run out in its hands all the time.

Usage: python -m tests.storage.contender DATABASE HOLDER LOG SEED
"""

from __future__ import annotations

import random
import sys
import time
from dataclasses import dataclass
from datetime import UTC, datetime, timedelta
from typing import TYPE_CHECKING, TextIO

from storage import chats, inbox, journal, leases, outbox, pushes
from storage.inbox import Incoming
from storage.journal import NewEntry
from storage.store import Store
from tests.storage.keeper import NOW, TODAY, ZONE

if TYPE_CHECKING:
    from collections.abc import Callable

DUTY, CHANNEL, CHATS, MEMBERS = "feeding", "telegram", 5, 3
MESSAGES, AT_ONCE = 120, 6
LEASE, DAWDLE, KEPT = timedelta(seconds=0.4), 0.6, timedelta(seconds=1.5)


@dataclass
class Contender:
    """The process: its store, its name, where it says what it does, and its dice."""

    store: Store
    name: str
    log: TextIO
    dice: random.Random

    def feed(self) -> None:
        """Count on in the inbox: see how far it is, dawdle, and write the next numbers if this is still ours to do."""
        with self.store.write() as session:
            now = leases.moment(session, datetime.now(UTC))
            if not leases.take(session, DUTY, self.name, now, now + LEASE):
                return
        with self.store.read() as session:
            account = chats.account(session, CHANNEL)
        done = int(account.position or 0) if account else 0
        self.dawdle()
        with self.store.write() as session:
            if not leases.holds(session, DUTY, self.name):
                self.say("late", done)
                return
            last = min(done + AT_ONCE, MESSAGES)
            for number in range(done + 1, last + 1):
                if inbox.receive(session, incoming(number)) is None:
                    self.say("twice", number)
            chats.keep_position(session, CHANNEL, str(last))

    def handle(self) -> None:
        """Write an entry and a reply for what waits."""
        with self.store.write() as session:
            message = inbox.next_waiting(session)
            if message is None:
                return
            self.dawdle(0.02)
            new = NewEntry("note", "log", TODAY, None, None, ZONE, {}, (), message.text)
            journal.append(session, message.collection_id, message.member_id, message.id, NOW, [new], [None])
            outbox.put(
                session, message.collection_id, message.channel, message.chat, message.id, {"text": message.text}
            )
            inbox.mark_done(session, message.id)

    def send(self) -> None:
        """Send what may be sent: to say so is to send it."""
        with self.store.write() as session:
            rows = outbox.claim(session, CHANNEL, self.name, datetime.now(UTC), KEPT)
        for row in rows:
            self.dawdle(0.2)
            with self.store.read() as session:
                if not outbox.is_held(session, row.id, self.name, datetime.now(UTC) + KEPT / 4):
                    continue
            self.say("sent", row.chat, row.id)
            with self.store.write() as session:
                outbox.mark_sent(session, row.id, str(row.id))

    def push(self) -> None:
        """Send the pushes of a member, if after some dawdling they are still ours."""
        member, holder = self.dice.randrange(1, MEMBERS + 1), f"{self.name} {self.dice.random()}"
        with self.store.write() as session:
            claimed = pushes.claim(session, member, holder, datetime.now(UTC), LEASE)[:3]
        if not claimed:
            return
        self.dawdle()
        with self.store.write() as session:
            for row in pushes.still_held(session, holder):
                text = f"push {row.id}"
                said = outbox.put(session, row.collection_id, "matrix", str(member), None, {"text": text})
                pushes.mark_sent(session, [row.id], said, NOW)

    def dawdle(self, longest: float = DAWDLE) -> None:
        time.sleep(self.dice.uniform(0, longest))

    def say(self, *words: object) -> None:
        """One line, in one piece, among those of the others."""
        self.log.write(" ".join(map(str, (time.monotonic_ns(), *words))) + "\n")


def incoming(number: int) -> Incoming:
    """The message of that number, of a member of one collection or another."""
    of = 1 + number % MEMBERS
    return Incoming(
        collection_id=of,
        member_id=of,
        channel=CHANNEL,
        chat=f"{of}-{number % CHATS}",
        key=str(number),
        text=f"words {number}",
        sent_at=NOW,
    )


def main() -> None:
    """Do this and that for ever."""
    where, name, log, seed = sys.argv[1:]
    with open(log, "a", buffering=1, encoding="utf-8") as lines:  # noqa: PTH123 - a plain file that all append to
        one = Contender(Store.open(where), name, lines, random.Random(seed))  # noqa: S311 - the same each time
        acts: list[Callable[[], None]] = [one.feed, one.push, *[one.handle, one.send] * 3]
        while True:
            one.dice.choice(acts)()


if __name__ == "__main__":
    main()
