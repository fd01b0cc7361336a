"""The bot's token and the webhook's secret are in nothing that a whole run writes, prints or logs, whatever goes wrong in it."""

from __future__ import annotations

import base64
import http.client
import json
import os
import signal
import socket
import sqlite3
import zlib
from collections.abc import Iterator
from pathlib import Path
from urllib.parse import quote

import pypdfium2
import pytest

from bot.admission import code_in
from bot.channels.telegram.client import make_bot
from bot.channels.telegram.photos import PhotoFetcher
from bot.channels.telegram.polling import Poller
from bot.channels.telegram.webhook import Receiver
from bot.desk import Desk
from bot.household import opened
from bot.secret import Secret
from bot.service_settings import TelegramSettings, Webhook
from bot.settings import Settings
from fixtures.demo import roster_path
from tests.cli.commands import rackside, set_up
from tests.cli.test_run import Running, running
from tests.patience import PATIENCE
from tests.telegram.bot_api import BotApi, Person, Serving
from tests.telegram.talking import picture

HOOK_SECRET = "hook-S3cret_0123456789-abcdefgh"  # noqa: S105 - nobody's
SECRETS = (BotApi.token, HOOK_SECRET)


def forms(secret: str) -> set[bytes]:
    """A secret as it may stand in a file: plain, without its number, quoted for a URL, in base64 at any offset and in hex."""
    tail = secret.partition(":")[2] or secret
    found = {
        secret.encode(),
        tail.encode(),
        quote(secret, safe="").encode(),
        quote(secret).encode(),
        secret.encode().hex().encode(),
    }
    for offset in range(3):
        coded = base64.b64encode(b"-" * offset + secret.encode())
        # The ends hang on what stands beside it; what lies between them does not.
        core = coded[4 if offset else 0 : -4]
        found |= {core, core.translate(bytes.maketrans(b"+/", b"-_"))}
    return found


FORMS = {form for secret in SECRETS for form in forms(secret)}


def holds(content: bytes) -> bool:
    """Whether a secret stands in these bytes in some form."""
    return any(form in content for form in FORMS)


def inflated(content: bytes) -> Iterator[bytes]:
    """The streams of a PDF, and its text."""
    for part in content.split(b"stream\r\n")[1:] + content.split(b"stream\n")[1:]:
        try:
            yield zlib.decompressobj().decompress(part)
        except zlib.error:
            try:
                yield zlib.decompress(base64.a85decode(part.partition(b"~>")[0].strip()))
            except (ValueError, zlib.error):
                continue
    document = pypdfium2.PdfDocument(content)
    for page in document:
        yield str(page.get_textpage().get_text_range()).encode()
    document.close()


def free_port() -> int:
    with socket.socket() as probe:
        probe.bind(("127.0.0.1", 0))
        return int(probe.getsockname()[1])


def put(path: Path, content: str) -> Path:
    """A file that its owner alone may read."""
    path.write_text(content + "\n", encoding="utf-8")
    path.chmod(0o600)
    return path


class Run:
    """All that a run writes: the data folder, a folder for what it prints, and a folder of secrets that is not searched."""

    def __init__(self, top: Path, api: BotApi) -> None:
        self.api, self.data, self.out = api, set_up(top / "data"), top / "out"
        self.out.mkdir()
        secrets = top / "secrets"
        secrets.mkdir(mode=0o700)
        self.settings = {
            "RACKSIDE_TELEGRAM_TOKEN_FILE": str(put(secrets / "token", api.token)),
            "RACKSIDE_TELEGRAM_API": api.address,
        }
        port = free_port()
        self.hook = ("127.0.0.1", port)
        self.webhook = {
            "RACKSIDE_TELEGRAM_WEBHOOK_URL": f"http://127.0.0.1:{port}/hook",
            "RACKSIDE_TELEGRAM_WEBHOOK_SECRET_FILE": str(put(secrets / "hook", HOOK_SECRET)),
            "RACKSIDE_TELEGRAM_WEBHOOK_LISTEN": f"127.0.0.1:{port}",
        }
        self.talkative = {**self.settings, "PYTHONASYNCIODEBUG": "1", "PYTHONDEVMODE": "1"}
        self.processes = 0

    def keep(self, name: str, *texts: str) -> str:
        """Write down what a process said; gives it."""
        self.processes += 1
        said = "\n".join(texts)
        (self.out / f"{self.processes:02} {name}").write_text(said, encoding="utf-8")
        return said

    def verb(self, *words: str, status: int = 0) -> str:
        """Run a command to its end."""
        done = rackside(self.data, *words, settings={**self.settings, **self.webhook})
        assert done.returncode == status, done.stdout + done.stderr
        return self.keep(words[0], done.stdout, done.stderr)

    def ended(self, run: Running, name: str, asked: signal.Signals = signal.SIGTERM) -> str:
        """End a serving process."""
        status, took = run.end(asked)
        said = self.keep(name, *run.said, *run.logged)
        assert (status, took < 5) == (0, True), said
        return said

    def answered(self, person: Person, text: str, words: str) -> None:
        """Say something, and wait until the bot says these words."""
        person.say(text)
        self.heard(person, words)

    def heard(self, person: Person, words: str) -> None:
        """Wait until the bot says these words."""
        self.api.wait(lambda: any(words in said for said in person.chat.texts), PATIENCE)

    def files(self) -> list[Path]:
        """All that was written."""
        return [path for folder in (self.data, self.out) for path in folder.rglob("*") if path.is_file()]


def polled(run: Run, ann: Person) -> str:
    """A run that fetches its messages, with all kinds of trouble; what it printed and logged."""
    api = run.api
    api.fail_next(500, method="getMe")
    with running(run.data, run.talkative) as process:
        process.wait_for("join-", process.said)
        run.answered(ann, code_in("".join(process.said)) or "", "Welcome")
        api.fail_next(500, method="getUpdates")
        api.drop_next(method="sendMessage")
        api.fail_next(500, method="sendMessage")
        run.answered(ann, "fed B 3 crickets", "fed 3 crickets")
        api.drop_next(method="getUpdates")
        api.inject(message={"message_id": "seven", "from": {"id": ann.id, "is_bot": False}, "chat": {"id": ann.id}})
        run.heard(ann, "could not read")
        api.fail_next(500, method="getFile")
        ann.send_photo(picture(), "fed D 1 cricket")
        run.heard(ann, "fed 1 cricket")
        process.wait_for("photo", process.logged)
        ann.send_photo(picture(64, 48), "fed D 4 crickets")
        api.wait(lambda: list((run.data / "photos").rglob("*.jpg")), PATIENCE)
        broken(run, ann, process)
        return run.ended(process, "polled")


def broken(run: Run, ann: Person, process: Running) -> None:
    """The worker meets a database that lacks a table, and goes on when it is there again."""
    with sqlite3.connect(run.data / "rackside.sqlite3", timeout=20) as base:
        base.execute("ALTER TABLE vocabulary RENAME TO elsewhere")
    ann.say("how many in B")
    process.wait_for("Traceback", process.logged)
    with sqlite3.connect(run.data / "rackside.sqlite3", timeout=20) as base:
        base.execute("ALTER TABLE elsewhere RENAME TO vocabulary")


def delivered(run: Run, ann: Person) -> str:
    """A run that has its messages delivered; what it printed and logged."""
    api = run.api
    api.fail_next(500, method="setWebhook")
    with running(run.data, {**run.talkative, **run.webhook}) as process:
        api.wait(lambda: api.webhook["url"], PATIENCE)
        assert posted(run.hook, b"{}", "wrong") == 403
        assert posted(run.hook, b"no JSON", HOOK_SECRET) == 400
        assert posted(run.hook, b'{"update_id": "x", "message": 7}', HOOK_SECRET) == 200
        api.fail_next(500, method="sendMessage")
        run.answered(ann, "fed D 2 roaches", "fed 2 roaches")
        return run.ended(process, "delivered", signal.SIGINT)


def posted(hook: tuple[str, int], body: bytes, secret: str) -> int:
    """The status by which the bot answers something posted to it."""
    line = http.client.HTTPConnection(*hook, timeout=10)
    try:
        line.request("POST", "/hook", body, {"X-Telegram-Bot-Api-Secret-Token": secret})
        return line.getresponse().status
    finally:
        line.close()


def refused(run: Run) -> str:
    """A run whose token the service takes no more, first at the start, then while it fetches; what it printed."""
    said = []
    for method in ("getMe", "getUpdates"):
        run.api.fail_next(401, method=method)
        with running(run.data, run.talkative) as process:
            assert process.process.wait(PATIENCE) == 2
        said.append(run.keep(f"refused {method}", *process.said, *process.logged))
    return "\n".join(said)


@pytest.mark.slow
def test_no_secret_is_written_anywhere(tmp_path: Path) -> None:
    """After runs by both ways, with refusals, faults and exceptions, and after every other verb, no file holds a secret."""
    with Serving() as api:
        run, ann = Run(tmp_path, api), api.user("Ann")
        assert "Traceback" in polled(run, ann)
        assert "could not be set" in delivered(run, ann)
        assert "refuses the bot's token" in refused(run)
        run.verb("doctor")
        assert json.loads(run.verb("invite", "--role", "viewer", "--json"))["links"]
        assert code_in(run.verb("invite"))
        run.verb("labels", "--pdf", str(run.out / "labels.pdf"))
        run.verb("roster", "export", str(run.out / "roster.toml"))
        season, whole = run.out / "season.jsonl", roster_path().with_name("season.jsonl")
        season.write_text("\n".join(whole.read_text(encoding="utf-8").splitlines()[:20]), encoding="utf-8")
        run.verb("replay", str(season), "--roster", str(roster_path()), "--keep", str(run.out / "kept"))
    run.verb("doctor", status=1)  # the service is gone
    with running(run.data, run.talkative) as process:
        process.wait_for("cannot be reached", process.logged)
        run.ended(process, "unreachable")
    files = run.files()
    names = {path.name for path in files}
    assert {"rackside.sqlite3", "labels.pdf", "roster.toml"} <= names
    assert any(path.suffix == ".jpg" for path in files)
    assert [path for path in files if holds(path.read_bytes())] == []
    assert not any(map(holds, inflated((run.out / "labels.pdf").read_bytes())))


def test_a_secret_would_be_found() -> None:
    """In the middle of other bytes, plain, quoted or coded, a secret is seen."""
    for secret in SECRETS:
        address = f"http://x/bot{quote(secret, safe='')}/getMe"
        assert holds(address.encode())
        for before in range(4):
            assert holds(base64.b64encode(b"x" * before + secret.encode() + b"and more"))
            assert holds(base64.urlsafe_b64encode(b"x" * before + secret.encode() + b"and more"))
    assert not holds(b"9" * 4000 + os.urandom(4000))


def test_no_repr_shows_a_secret(tmp_path: Path) -> None:
    """Settings, the house and the parts of the channel, written out as a log or a traceback would, show no secret."""
    webhook = Webhook("http://127.0.0.1:1/hook", Secret(HOOK_SECRET), "127.0.0.1", 1)
    settings = TelegramSettings(Secret(BotApi.token), "http://127.0.0.1:1", webhook)
    bot = make_bot(settings)
    with opened(set_up(tmp_path / "data"), Settings()) as household:
        desk = Desk(household.app, tmp_path)
        poller = Poller(bot, None)  # type: ignore[arg-type]  # only its repr is looked at
        parts = [settings, webhook, desk, bot, poller, Receiver(webhook, None), PhotoFetcher(desk, bot)]  # type: ignore[arg-type]
        shown = "\n".join(
            f"{part!r} {part!s} {vars(part) if hasattr(part, '__dict__') and part is not bot else ''}" for part in parts
        )
    assert not holds(shown.encode())
    assert "DiscreetBot" in shown
