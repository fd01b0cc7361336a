"""The bot as tests of the channel run it: a real store, the worker, and the channel, in a thread beside the test."""

from __future__ import annotations

import asyncio
import atexit
import shutil
import threading
from collections.abc import Iterator
from contextlib import contextmanager
from dataclasses import dataclass
from functools import cache
from pathlib import Path
from tempfile import TemporaryDirectory
from typing import Any

from bot.channels.port import House
from bot.channels.telegram import serve
from bot.desk import Desk
from bot.household import Household, opened
from bot.roster_file import load_roster
from bot.secret import Secret
from bot.service_settings import TelegramSettings, Webhook
from bot.serving import Bells, Worker
from bot.settings import Settings
from fixtures.demo import roster_path
from storage import households, inbox, outbox
from storage.inbox import InboxRow
from storage.outbox import OutboxRow
from tests.patience import PATIENCE
from tests.telegram.bot_api import BotApi, Chat, Person


@dataclass(frozen=True, slots=True)
class Home:
    """A household on which a bot can be served, with what tests do to it and see of it."""

    household: Household
    folder: Path

    @property
    def desk(self) -> Desk:
        """What a channel holds of it."""
        return Desk(self.household.app, self.folder)

    def admit(self, *people: Person, role: str = "keeper") -> None:
        """Let people in."""
        with self.household.app.store.write() as session:
            for person in people:
                now = self.household.app.clock.now()
                of = self.household.collection.id
                households.add_member(session, of, "telegram", str(person.id), person.name, role, now)

    def put(self, chat: Chat | str, text: str, **body: Any) -> int:  # noqa: ANN401 - parts of a reply, as JSON
        """Have something sent to a chat; its id in the outbox."""
        name = chat if isinstance(chat, str) else str(chat.id)
        token = f"token{abs(hash(text)) % 10**8}" if "choices" in body else None
        with self.household.app.store.write() as session:
            of = self.household.collection.id
            return outbox.put(session, of, "telegram", name, None, {"text": text, **body}, token=token)

    def outgoing(self, outbox_id: int) -> OutboxRow:
        """A message in the outbox."""
        with self.household.app.store.read() as session:
            found = outbox.row(session, outbox_id)
        assert found is not None
        return found

    def waiting(self) -> list[OutboxRow]:
        """What is still to be sent."""
        with self.household.app.store.read() as session:
            return outbox.waiting(session, "telegram")

    def received(self, chat: Chat | str, key: object) -> list[InboxRow]:
        """Every revision of a message in the inbox."""
        name = chat if isinstance(chat, str) else str(chat.id)
        with self.household.app.store.read() as session:
            return inbox.revisions(session, self.household.collection.id, "telegram", name, str(key))


@cache
def furnished() -> TemporaryDirectory[str]:
    """A data folder with the demo roster, made once for all tests of this process and copied for each."""
    kept, roster = TemporaryDirectory(), load_roster(roster_path())
    with opened(Path(kept.name) / "home", Settings(), zone=roster.zone, lasting=False) as made:
        made.bring_in(roster)
    atexit.register(kept.cleanup)
    return kept


@contextmanager
def home(folder: Path) -> Iterator[Home]:
    """A household with the demo roster, an empty journal, and the clock of this machine."""
    shutil.copytree(Path(furnished().name) / "home", folder)
    with opened(folder, Settings(), lasting=False) as made:
        yield Home(made, folder)


def settings_for(api: BotApi, webhook: Webhook | None = None, token: str | None = None) -> TelegramSettings:
    """Settings of a bot at the fake service."""
    return TelegramSettings(Secret(token or api.token), api.address, webhook)


@contextmanager
def served(
    of: Home, settings: TelegramSettings, house: House | None = None, *, working: bool = True
) -> Iterator[threading.Thread]:
    """Serve the bot beside the test, with the household's desk or another house on it; gives the thread in which it runs.

    Without `working` nothing that comes in is handled. What the channel raises is raised here.
    """
    started, faults = threading.Event(), list[BaseException]()
    handle: dict[str, Any] = {}

    async def run() -> None:
        loop, bells = asyncio.get_running_loop(), Bells(asyncio.Event(), asyncio.Event(), lambda: None)
        worker = Worker(of.household.app, lambda: loop.call_soon_threadsafe(bells.parcels.set))
        handle.update(loop=loop, stop=bells.stop)
        if working:
            worker.start()
        started.set()
        try:
            await serve(house or of.desk, settings, bells.stop, worker.wake, bells.parcels, of.desk.app.clock.now)
        finally:
            if working:
                await asyncio.to_thread(worker.end)

    def in_thread() -> None:
        try:
            asyncio.run(run())
        except BaseException as fault:  # noqa: BLE001 - handed to the test
            faults.append(fault)

    thread = threading.Thread(target=in_thread, name="bot")
    thread.start()
    started.wait(PATIENCE)
    try:
        yield thread
    finally:
        if thread.is_alive():
            handle["loop"].call_soon_threadsafe(handle["stop"].set)
        thread.join(PATIENCE)
    assert not thread.is_alive()
    if faults:
        raise faults[0]


@contextmanager
def bot_at(api: BotApi, folder: Path, *members: Person, webhook: Webhook | None = None) -> Iterator[Home]:
    """A household with these keepers, served; at the end the bot must have kept to the rules of the service."""
    with home(folder) as made:
        made.admit(*members)
        with served(made, settings_for(api, webhook)):
            yield made
        assert api.violations == []
