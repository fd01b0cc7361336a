"""`rackside run` and `rackside invite`."""

from __future__ import annotations

import asyncio
import json
import logging
import os
import sys
import threading
from argparse import Namespace
from collections.abc import Callable
from contextlib import suppress
from datetime import datetime
from functools import partial
from pathlib import Path
from types import TracebackType
from zoneinfo import ZoneInfo

from bot.admission import make_code
from bot.app import CONSOLE
from bot.backup.daily import copying, folder_of
from bot.backup.place import Place
from bot.channels.matrix import credentials as matrix
from bot.cli_folder import meant
from bot.desk import Desk, at_work
from bot.errors import RacksideError
from bot.heartbeat import beat
from bot.household import Household, opened
from bot.notices import tell_owners
from bot.secret import Redaction, Secret, secrets_in
from bot.service_settings import TelegramSettings, telegram_settings
from bot.serving import Service, serve, until_told_to_stop
from bot.settings import data_folder, load_settings
from storage import chats, households, invites

TELEGRAM, MATRIX = "telegram", "matrix"
NOTHING_TO_SERVE = (
    "no message service is set up. For Telegram put the bot's token into a file and its name into "
    "RACKSIDE_TELEGRAM_TOKEN_FILE; for Matrix use `rackside matrix login`."
)


class NothingToServe(RacksideError):
    """`rackside run` without a service."""

    def __init__(self) -> None:
        super().__init__(NOTHING_TO_SERVE)


def run(options: Namespace) -> int:
    """Serve every message service that is set up, until told to stop."""
    folder = data_folder(options.data, os.environ)
    telegram = telegram_settings(os.environ)
    settings = load_settings(folder, os.environ)
    keep_secrets(*_secrets(folder, telegram), *(() if settings.database is None else secrets_in(settings.database)))
    with opened(folder, settings) as household, at_work(household.app, folder) as desk:
        services = _services(desk, folder, telegram)
        if not services:
            raise NothingToServe
        for line in _first_code(household):
            print(line, flush=True)
        zone = ZoneInfo(household.collection.zone)
        place, copies = Place.of(folder, settings), folder_of(folder, settings.copies)
        with copying(place, copies, zone, household.app.clock, partial(tell_owners, household)):
            asyncio.run(_serve(household, services, partial(beat, folder, desk.name, os.environ)))
    return 0


def invite(options: Namespace) -> int:
    """Print a one-use code that lets one person in with a role, and the links that carry it."""
    with meant(options) as household:
        print_code(household, options.role, as_json=options.json)
    return 0


def print_code(household: Household, role: str, *, as_json: bool = False) -> None:
    """Print a new code for one person of this role in the household's collection, and the links that carry it."""
    code, until, links = _invite(household, role)
    if as_json:
        print(json.dumps({"code": code, "role": role, "expires_at": until.isoformat(), "links": links}))
        return
    zone = ZoneInfo(household.collection.zone)
    print(f"Code for one {role}, once, until {until.astimezone(zone):%a %-d %b, %H:%M}: {code}")
    print("To be sent to the bot in a private chat.")
    for channel, link in links.items():
        print(f"{channel.capitalize()}: {link}")


def keep_secrets(*secrets: Secret) -> None:
    """Log to standard error, and print what nobody caught, with every secret taken out."""
    handler = logging.StreamHandler()
    form = Redaction(logging.Formatter("%(asctime)s %(levelname)s %(name)s: %(message)s"), *secrets)
    handler.setFormatter(form)
    logging.basicConfig(level=logging.INFO, handlers=[handler], force=True)
    for chatty in ("alembic", "httpx", "httpcore", "apscheduler", "nio", "peewee", "aiohttp.access"):
        logging.getLogger(chatty).setLevel(logging.WARNING)
    # It warns of each tick that comes while a long sweep goes on, which is as it should be.
    logging.getLogger("apscheduler.scheduler").setLevel(logging.ERROR)
    sys.excepthook = partial(_print_redacted, form)
    threading.excepthook = lambda of: _print_redacted(form, of.exc_type, of.exc_value, of.exc_traceback)


def _print_redacted(
    form: logging.Formatter, kind: type[BaseException], fault: BaseException | None, trace: TracebackType | None
) -> None:
    held = BaseException() if fault is None else fault
    record = logging.LogRecord("rackside", logging.CRITICAL, "", 0, "stopped by a fault", None, (kind, held, trace))
    print(form.format(record), file=sys.stderr)


def _secrets(folder: Path, telegram: TelegramSettings | None) -> list[Secret]:
    """All that must not get into the log."""
    found = [] if telegram is None else [telegram.token]
    if telegram is not None and telegram.webhook is not None:
        found.append(telegram.webhook.secret)
    if matrix.is_set_up(folder):
        with suppress(RacksideError):  # the channel itself says what is missing, and the others are served all the same
            login = matrix.load(folder / MATRIX)
            found += [login.token, login.pickle_key]
    return found


def _services(desk: Desk, folder: Path, telegram: TelegramSettings | None) -> list[Service]:
    """The services that are set up, each with its channel."""
    found = []
    if telegram is not None:
        from bot.channels.telegram import serve as serve_telegram  # noqa: PLC0415 - only who serves it pays for its library

        found.append(Service(TELEGRAM, lambda bells: serve_telegram(desk, telegram, *bells.all, desk.app.clock.now)))
    if matrix.is_set_up(folder):
        from bot.channels.matrix.channel import serve as serve_matrix  # noqa: PLC0415 - as above

        found.append(Service(MATRIX, lambda bells: serve_matrix(desk, folder, *bells.all)))
    return found


async def _serve(household: Household, services: list[Service], sign: Callable[[], None]) -> None:
    async with until_told_to_stop() as stop:
        await serve(household.app, services, stop, sign)


def _first_code(household: Household) -> list[str]:
    """A code for the owner, where nobody is let in yet from any message service and no code is out."""
    now, kept = household.app.clock.now(), household.collection
    with household.app.store.write() as session:
        households.hold(session, kept.id)  # of several processes that start together one makes the code
        present = any(row.channel != CONSOLE for row in households.members(session, kept.id))
        if present or invites.open_invites(session, kept.id, now):
            return []
        code, _ = make_code(session, kept.id, "owner", now)
    return [
        f"Nobody is let in yet. To be the owner, send this to the bot in a private chat, within a day: {code}",
        *(f"{channel.capitalize()}: {link}" for channel, link in _links(household, code).items()),
    ]


def _invite(household: Household, role: str) -> tuple[str, datetime, dict[str, str]]:
    with household.app.store.write() as session:
        code, until = make_code(session, household.collection.id, role, household.app.clock.now())
    return code, until, _links(household, code)


def _links(household: Household, code: str) -> dict[str, str]:
    """Links that carry a code, by channel."""
    with household.app.store.read() as session:
        account = chats.account(session, TELEGRAM)
    if account is None or account.name is None:
        return {}
    from bot.labels import link  # noqa: PLC0415 - only where there is a link to make

    return {TELEGRAM: link(account.name, code)}
