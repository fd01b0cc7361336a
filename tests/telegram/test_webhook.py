"""Updates delivered to a webhook: taken only with the secret, and confirmed only when they are kept."""

from __future__ import annotations

import http.client
import json
import socket
from collections.abc import Iterator
from contextlib import contextmanager
from pathlib import Path

import pytest

from bot.channels.telegram import TokenRefused
from bot.channels.telegram.updates import ALLOWED
from bot.channels.telegram.webhook import LARGEST, SECRET
from bot.secret import Secret
from bot.service_settings import Webhook
from tests.patience import PATIENCE
from tests.telegram.bot_api import BotApi, Person
from tests.telegram.served import Home, bot_at, home, served, settings_for
from tests.telegram.test_incoming import Faltering

SHOWN = "a-good_secret"


@pytest.fixture
def webhook() -> Webhook:
    """A webhook at a free port of this machine."""
    with socket.socket() as probe:
        probe.bind(("127.0.0.1", 0))
        port = probe.getsockname()[1]
    return Webhook(f"http://127.0.0.1:{port}/hook/rackside", Secret(SHOWN), "127.0.0.1", port)


def post(webhook: Webhook, body: bytes, secret: str | None = SHOWN, path: str = "/hook/rackside") -> int:
    """The status by which something posted to the bot is answered."""
    line = http.client.HTTPConnection(webhook.host, webhook.port, timeout=5)
    try:
        line.request("POST", path, body, {} if secret is None else {SECRET: secret})
        return line.getresponse().status
    finally:
        line.close()


def update(person: Person, text: str) -> bytes:
    """An update by which somebody says something."""
    sender = {"id": person.id, "is_bot": False, "first_name": person.name}
    chat = {"id": person.id, "type": "private"}
    message = {"message_id": 900, "date": 1_770_000_000, "chat": chat, "from": sender, "text": text}
    return json.dumps({"update_id": 5, "message": message}).encode()


@contextmanager
def hooked(api: BotApi, folder: Path, webhook: Webhook, *members: Person) -> Iterator[Home]:
    """A bot whose webhook is set."""
    with bot_at(api, folder, *members, webhook=webhook) as kept:
        api.wait(lambda: api.webhook["url"])
        yield kept


def test_what_is_delivered_is_answered(bot_api: BotApi, tmp_path: Path, webhook: Webhook) -> None:
    """With a webhook the service brings the messages; they are answered as ever, and nobody polls."""
    ann = bot_api.user("Ann")
    with hooked(bot_api, tmp_path / "home", webhook, ann):
        assert bot_api.webhook == {"url": webhook.url, "secret": SHOWN}
        ann.say("fed Flint 3 crickets")
        ann.say("fed Quartz 2 crickets")
        bot_api.wait(lambda: len(ann.chat.texts) == 2)
        assert ["Flint" in ann.chat.texts[0], "Quartz" in ann.chat.texts[1]] == [True, True]
        assert bot_api.pending == []
    assert bot_api.requested("getUpdates") == []
    (wish,) = bot_api.requested("setWebhook")
    assert wish["allowed_updates"] == list(ALLOWED)
    assert wish["max_connections"] == 1


@pytest.mark.parametrize("secret", [None, "", "wrong", SHOWN[:-1], "gr\u00fcn"])
def test_without_the_secret_nothing_is_taken(
    bot_api: BotApi, tmp_path: Path, webhook: Webhook, secret: str | None
) -> None:
    """Whoever does not show the secret is turned away, and nothing is written."""
    ann = bot_api.user("Ann")
    with hooked(bot_api, tmp_path / "home", webhook, ann) as kept:
        assert post(webhook, update(ann, "fed Flint 3 crickets"), secret) == 403
        assert kept.received(ann.chat, 900) == []
        assert post(webhook, update(ann, "fed Flint 3 crickets")) == 200
        assert len(kept.received(ann.chat, 900)) == 1


def test_what_is_no_update_is_refused(bot_api: BotApi, tmp_path: Path, webhook: Webhook) -> None:
    """Bytes that are no JSON, too many of them, and other addresses are refused; JSON of another shape harms nothing."""
    with hooked(bot_api, tmp_path / "home", webhook):
        assert post(webhook, b"{") == 400
        assert post(webhook, b"\xff\xfe") == 400
        assert post(webhook, b"1" * (LARGEST + 1)) == 413
        assert post(webhook, b"{}", path="/") == 404
        assert post(webhook, b"[1]") == 200
        assert post(webhook, b'{"update_id": 1, "message": 7}') == 200


def test_what_cannot_be_kept_comes_again(bot_api: BotApi, tmp_path: Path, webhook: Webhook) -> None:
    """Where the house cannot take an update the service is told so, and brings it again; it comes in once."""
    ann = bot_api.user("Ann")
    with home(tmp_path / "home") as kept:
        kept.admit(ann)
        faltering = Faltering(kept.household.app, kept.folder, ["disk full", "disk full"])
        with served(kept, settings_for(bot_api, webhook), faltering):
            said = ann.say("fed Flint 3 crickets")
            bot_api.wait(lambda: ann.chat.texts)
            assert len(kept.received(ann.chat, said.id)) == 1
            assert not faltering.failures


def test_the_webhook_is_announced_until_the_service_knows(bot_api: BotApi, tmp_path: Path, webhook: Webhook) -> None:
    """An error of the service at the start is tried again; a token that it refuses ends the channel."""
    bot_api.fail_next(502, method="setWebhook")
    with hooked(bot_api, tmp_path / "home", webhook):
        assert len(bot_api.requested("setWebhook")) == 2
    bot_api.fail_next(401, method="setWebhook")
    with (
        home(tmp_path / "other") as kept,
        pytest.raises(TokenRefused),
        served(kept, settings_for(bot_api, webhook)) as bot,
    ):
        bot.join(PATIENCE)


def test_a_port_that_is_taken_ends_the_channel(bot_api: BotApi, tmp_path: Path, webhook: Webhook) -> None:
    """Where the port cannot be listened on, the channel ends with that error before it announces anything."""
    with socket.socket() as other:
        other.bind((webhook.host, webhook.port))
        other.listen()
        with (
            home(tmp_path / "home") as kept,
            pytest.raises(OSError, match="address already in use"),
            served(kept, settings_for(bot_api, webhook)) as bot,
        ):
            bot.join(PATIENCE)
    assert bot_api.requested("setWebhook") == []
