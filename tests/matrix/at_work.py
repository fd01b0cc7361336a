"""The whole bot at work for the tests: the real house on a real database, served on Matrix in this process, by nothing mocked."""

from __future__ import annotations

import asyncio
from collections.abc import AsyncIterator, Iterator
from contextlib import ExitStack, asynccontextmanager, contextmanager
from dataclasses import dataclass, replace
from pathlib import Path
from threading import Event
from typing import Self

from bot.admission import make_code
from bot.app import App
from bot.channels.matrix import channel, credentials
from bot.channels.matrix.channel import PATIENT, Patience
from bot.channels.matrix.login import login
from bot.desk import Desk
from bot.household import Household, opened
from bot.roster_file import load_roster
from bot.secret import Secret
from bot.serving import Service, serve
from bot.settings import Settings
from fixtures.demo import roster_path
from storage import inbox, journal, outbox
from storage.journal import EntryRow
from tests.matrix.homeserver import Account, Cast, Person


@dataclass(frozen=True, slots=True)
class PatientApp(App):
    """The bot, which handles messages only while the gate is open."""

    gate: Event

    def work_once(self) -> bool:
        """Handle the next message, once the gate is open."""
        self.gate.wait()
        return App.work_once(self)


class Bot:
    """A bot with the demo collection, logged in on an account; `data` is its folder. It can be stopped and started again."""

    def __init__(self, data: Path, account: Account, url: str, patience: Patience = PATIENT) -> None:
        self._patience = patience
        self.data = data
        self.account = account
        self.user_id = account.user_id
        self._url = url
        self._open = ExitStack()
        self._stop = asyncio.Event()
        self._serving: asyncio.Task[None] | None = None
        roster = load_roster(roster_path())
        self.household: Household = self._open.enter_context(opened(data, Settings(), zone=roster.zone, lasting=False))
        self.household.bring_in(roster)
        app, gate = self.household.app, Event()
        gate.set()
        self._app = PatientApp(app.store, app.clock, app.language, gate)
        self.desk = Desk(app, data)

    async def __aenter__(self) -> Self:
        await self.log_in()
        self.start()
        return self

    async def __aexit__(self, *_error: object) -> None:
        await self.stop()
        self._open.close()

    async def log_in(self) -> str:
        """Log the account in on a new device; the sentence that says so."""
        return await login(self.data, self._url, self.user_id, Secret(self.account.password))

    def start(self) -> None:
        """Serve, in the background, until stopped."""
        self._stop = asyncio.Event()
        service = Service(
            "matrix", lambda bells: channel.serve(self.desk, self.data, *bells.all, patience=self._patience)
        )
        self._serving = asyncio.create_task(serve(self._app, [service], self._stop))

    async def stop(self) -> None:
        """Stop serving; the error with which it stopped by itself comes out here."""
        self._stop.set()
        serving, self._serving = self._serving, None
        if serving is not None:
            await serving

    async def ends(self) -> None:
        """Wait until it stops serving by itself; the error comes out here."""
        serving, self._serving = self._serving, None
        assert serving is not None
        await serving

    def code(self, role: str = "owner") -> str:
        """A one-use code that lets somebody in."""
        app = self.household.app
        with app.store.write() as session:
            return make_code(session, self.household.collection.id, role, app.clock.now())[0]

    def entries(self, kind: str = "") -> list[EntryRow]:
        """The entries that hold now, in the order in which they were made; of one kind, if named."""
        with self.household.app.store.read() as session:
            kept = journal.between(session, self.household.collection.id, None, None)
        return [entry for entry in kept if kind in {"", entry.kind}]

    @contextmanager
    def busy(self) -> Iterator[None]:
        """While this lasts, nothing is handled: messages come in and wait."""
        self._app.gate.clear()
        yield
        self._app.gate.set()

    def taken(self) -> int:
        """How many messages of others wait to be handled."""
        with self.household.app.store.read() as session:
            return int(inbox.next_waiting(session) is not None)

    def waiting(self) -> int:
        """How many of its messages are not sent yet."""
        with self.household.app.store.read() as session:
            return len(outbox.waiting(session, "matrix"))


@asynccontextmanager
async def bot_of(cast: Cast, data: Path, patience: Patience = PATIENT) -> AsyncIterator[Bot]:
    """A bot at work, on an account of its own."""
    async with Bot(data, cast.account("bot"), cast.homeserver.url, patience) as bot:
        yield bot


async def let_in(bot: Bot, person: Person, role: str = "owner", *, encrypted: bool = False) -> str:
    """Have a person let in by a code, said in a room with the bot; gives the room."""
    code = bot.code(role)
    room = await person.room_with(bot.user_id, encrypted=encrypted)
    await person.say(room, code)
    await person.hears(room, "Welcome")
    return room


def now_at(data: Path, url: str) -> None:
    """From now on the homeserver of the account that is logged in on a data folder is looked for at another address."""
    folder = data / credentials.FOLDER
    credentials.keep_account(folder, replace(credentials.load(folder), homeserver=url))
