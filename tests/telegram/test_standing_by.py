"""Two bots on one database: one asks for messages and one sends, the other stands by."""

from __future__ import annotations

import http.client
import socket
import time
from collections.abc import Sequence
from contextlib import ExitStack
from dataclasses import dataclass, field
from pathlib import Path

import pytest
from sqlalchemy import update

from bot.channels.port import Carried, Press, Superseded, Taken
from bot.channels.telegram.channel import INTAKE
from bot.channels.telegram.webhook import SECRET
from bot.desk import Desk
from bot.secret import Secret
from bot.service_settings import Webhook
from storage.tables import Lease
from tests.telegram.bot_api import BotApi
from tests.telegram.served import home, served, settings_for


def polls(api: BotApi) -> int:
    """How often messages were asked for."""
    return len(api.requested("getUpdates"))


def conflicts(api: BotApi) -> int:
    """How often the service said that somebody else asks."""
    return sum(request["status"] == 409 for request in api.requests)


@pytest.mark.slow
def test_of_two_bots_one_polls_and_the_other_takes_over_when_it_stops(bot_api: BotApi, tmp_path: Path) -> None:
    """Whichever it is, each message is answered once, and the service never sees two at a time."""
    ann = bot_api.user("Ann")
    with home(tmp_path / "home") as kept:
        kept.admit(ann)
        with served(kept, settings_for(bot_api)):
            with served(kept, settings_for(bot_api)):
                ann.say("fed Flint 3 crickets")
                bot_api.wait(lambda: len(ann.chat.texts) == 1)
            ann.say("fed Quartz 2 crickets")
            bot_api.wait(lambda: len(ann.chat.texts) == 2)
        assert kept.waiting() == []
    assert ["Flint" in ann.chat.texts[0], "Quartz" in ann.chat.texts[1]] == [True, True]
    assert conflicts(bot_api) == 0
    assert bot_api.violations == []


@pytest.mark.slow
def test_who_stands_by_asks_for_nothing(bot_api: BotApi, tmp_path: Path) -> None:
    """While another process polls, and sends, this one does neither."""
    ann = bot_api.user("Ann")
    with home(tmp_path / "home") as kept:
        kept.admit(ann)
        other = kept.desk
        assert other.hold(INTAKE)
        assert other.hold("telegram sending")
        kept.put(ann.chat, "water")
        with served(kept, settings_for(bot_api)):
            ann.say("fed Flint 3 crickets")
            time.sleep(2.5)
            assert polls(bot_api) == 0
            assert ann.chat.texts == []
            other.let_go(INTAKE)
            other.let_go("telegram sending")
            bot_api.wait(lambda: len(ann.chat.texts) == 2)
    assert bot_api.violations == []


@dataclass(frozen=True, slots=True)
class Overtaken(Desk):
    """The desk of a process that sleeps while it takes in its first batch: meanwhile another gets the duty."""

    refused: list[str] = field(default_factory=list)

    def take(self, channel: str, items: Sequence[Carried | Press], position: str | None = None) -> list[Taken]:
        if not self.refused:
            with self.app.store.write() as session:
                session.execute(update(Lease).where(Lease.name == INTAKE).values(holder="another"))
        try:
            return Desk.take(self, channel, items, position)
        except Superseded as fault:
            self.refused.append(str(fault))
            raise


@pytest.mark.slow
def test_an_overtaken_poller_neither_writes_nor_confirms(bot_api: BotApi, tmp_path: Path) -> None:
    """What it had fetched is still with the service, for the other; later, on duty again, it takes the same and answers once."""
    ann = bot_api.user("Ann")
    said = ann.say("fed Flint 3 crickets")
    with home(tmp_path / "home") as kept:
        kept.admit(ann)
        sleeper = Overtaken(kept.household.app, kept.folder)
        with served(kept, settings_for(bot_api), sleeper):
            bot_api.wait(lambda: sleeper.refused)
            time.sleep(1.5)
            assert kept.received(ann.chat, said.id) == []
            assert len(bot_api.pending) == 1
            Desk(kept.household.app, kept.folder, name="another").let_go(INTAKE)
            bot_api.wait(lambda: ann.chat.texts)
            bot_api.wait(lambda: not bot_api.pending)
        assert len(kept.received(ann.chat, said.id)) == 1
        assert len(ann.chat.texts) == 1
        assert len(sleeper.refused) == 1
    assert bot_api.violations == []


def free_port() -> int:
    with socket.socket() as probe:
        probe.bind(("127.0.0.1", 0))
        return int(probe.getsockname()[1])


def deliver(hook: Webhook, sender: int, number: int, text: str) -> int:
    """Bring a message to a webhook, as the service does; the status of the answer."""
    person = f'{{"id": {sender}, "is_bot": false, "first_name": "Ann"}}'
    chat = f'{{"id": {sender}, "type": "private"}}'
    body = f'{{"message_id": {number}, "date": 1770000000, "chat": {chat}, "from": {person}, "text": "{text}"}}'
    line = http.client.HTTPConnection(hook.host, hook.port, timeout=5)
    try:
        secret = {SECRET: hook.secret.reveal()}
        line.request("POST", "/hook", f'{{"update_id": {number}, "message": {body}}}', secret)
        return line.getresponse().status
    finally:
        line.close()


@pytest.mark.parametrize("first", [0, 1])
def test_by_webhook_both_listen(bot_api: BotApi, tmp_path: Path, first: int) -> None:
    """A message may be brought to either, or to both: it is taken once, and one of the two answers."""
    ann = bot_api.user("Ann")
    hooks = [
        Webhook(f"http://127.0.0.1:{port}/hook", Secret("open_up"), "127.0.0.1", port)
        for port in (free_port(), free_port())
    ]
    with home(tmp_path / "home") as kept:
        kept.admit(ann)
        with served(kept, settings_for(bot_api, hooks[0])), served(kept, settings_for(bot_api, hooks[1])):
            bot_api.wait(lambda: len(bot_api.requested("setWebhook")) == 2)
            assert deliver(hooks[first], ann.id, 41, "fed Flint 3 crickets") == 200
            assert deliver(hooks[1 - first], ann.id, 41, "fed Flint 3 crickets") == 200
            assert deliver(hooks[1 - first], ann.id, 42, "fed Quartz 2 crickets") == 200
            bot_api.wait(lambda: len(ann.chat.texts) == 2)
        assert [len(kept.received(ann.chat, number)) for number in (41, 42)] == [1, 1]
    assert polls(bot_api) == 0
    assert bot_api.violations == []


@pytest.mark.slow
def test_the_limits_hold_over_both(bot_api: BotApi, tmp_path: Path) -> None:
    """120 messages wait for 40 chats; the sender is stopped in the midst of them. None is refused, lost, doubled or out of order."""
    people = [bot_api.user(f"P{number}") for number in range(40)]
    bot_api.limits()
    with home(tmp_path / "home") as kept, ExitStack() as first:
        kept.admit(*people)
        for number in range(3):
            for person in people:
                kept.put(person.chat, f"{number}")
        first.enter_context(served(kept, settings_for(bot_api)))
        with served(kept, settings_for(bot_api)):
            bot_api.wait(lambda: len(bot_api.requested("sendMessage")) > 30)
            first.close()
            bot_api.wait(lambda: not kept.waiting())
    sent = [request for request in bot_api.requests if request["method"] == "sendMessage"]
    assert [request["status"] for request in sent] == [200] * 120
    assert [person.chat.texts for person in people] == [["0", "1", "2"]] * 40
    assert bot_api.violations == []
