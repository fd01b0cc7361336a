"""`rackside doctor`: each thing out of order has a line that begins with LOOK and status 1; all in order is status 0."""

from __future__ import annotations

import shutil
from collections import namedtuple
from collections.abc import Iterator
from contextlib import contextmanager
from datetime import UTC, datetime, timedelta
from pathlib import Path
from typing import TYPE_CHECKING

import pytest

from bot import cli_doctor
from bot.desk import Desk
from bot.household import Household, opened
from bot.settings import Settings
from storage import chats, households, inbox, outbox, photos
from tests.cli.commands import DEAD, TOKEN, rackside, set_up, telegram, token_file
from tests.telegram.bot_api import Serving

if TYPE_CHECKING:
    from sqlalchemy.orm import Session

pytestmark = pytest.mark.slow

NOW = datetime(2026, 3, 3, 19, 5, tzinfo=UTC)


@pytest.fixture
def folder(tmp_path: Path) -> Path:
    """A data folder where Ana is a member on Telegram and a message of hers was dealt with."""
    made = set_up(tmp_path / "data")
    with writing(made) as (household, session):
        households.add_member(session, 1, "telegram", "100", "Ana", "owner", NOW)
        session.commit()
        household.app.receive("100", "fed B 3 crickets", channel="telegram", key="1")
        household.app.work()
        household.app.collect("telegram", "100")
    return made


@contextmanager
def writing(folder: Path) -> Iterator[tuple[Household, Session]]:
    with opened(folder, Settings()) as household, household.app.store.write() as session:
        yield household, session


def looks(folder: Path, settings: dict[str, str] | None = None) -> list[str]:
    """What the doctor finds out of order; its status says whether there is any."""
    done = rackside(folder, "doctor", settings=settings)
    assert done.stderr == ""
    lines = done.stdout.splitlines()
    assert len(lines) >= 8
    assert all(line.startswith(("ok    ", "LOOK  ")) for line in lines)
    found = [line.removeprefix("LOOK  ") for line in lines if line.startswith("LOOK")]
    assert done.returncode == (1 if found else 0)
    return found


def test_all_in_order_is_status_0(folder: Path) -> None:
    """A folder, database, members and mail as they ought to be; services that are not set up are no disorder."""
    assert looks(folder) == []


def test_a_new_folder_is_in_order(tmp_path: Path) -> None:
    """The doctor makes what is missing, as every command does, and finds nothing wrong with it."""
    assert looks(tmp_path / "new") == []


def test_a_data_folder_open_to_others_is_named(folder: Path) -> None:
    """With what to do."""
    folder.chmod(0o755)
    (line,) = looks(folder)
    assert str(folder) in line
    assert "chmod 700" in line


def test_a_blocked_chat_is_named_with_its_member(folder: Path) -> None:
    """Whose it is, since when in the collection's own time, and what ends it."""
    with writing(folder) as (_, session):
        chats.block(session, "telegram", "100", NOW)
        chats.block(session, "telegram", "-77", NOW)
    mine, others = looks(folder)
    assert mine.startswith("Ana on telegram takes nothing from the bot since 3 Mar 2026, 19:05")
    assert "until something is written to it" in mine
    assert "nobody here" in others


def test_a_message_set_aside_is_shown(folder: Path) -> None:
    """How many there are, and the last one's words."""
    with writing(folder) as (_, session):
        found = inbox.find(session, 1, "telegram", "100", "1")
        assert found is not None
        inbox.set_aside(session, found.id)
    (line,) = looks(folder)
    assert line.startswith("1 message ")
    assert "fed B 3 crickets" in line


def test_a_message_given_up_is_shown_with_the_reason(folder: Path) -> None:
    """Why the service would not take it."""
    with writing(folder) as (_, session):
        for number in (1, 2):
            made = outbox.put(session, 1, "telegram", "100", None, {"text": "hello"})
            outbox.give_up(session, made, f"Bad Request {number}")
    (line,) = looks(folder)
    assert line.startswith("2 messages ")
    assert "Bad Request 2" in line


def test_a_message_that_cannot_get_out_is_shown(folder: Path) -> None:
    """One that failed is a disorder; one that only waits is none."""
    with writing(folder) as (_, session):
        outbox.put(session, 1, "telegram", "100", None, {"text": "hello"})
        made = outbox.put(session, 1, "telegram", "100", None, {"text": "hello"})
    assert looks(folder) == []
    with writing(folder) as (_, session):
        outbox.put_off(session, made, NOW, "no answer")
    (line,) = looks(folder)
    assert line.startswith("2 messages wait ")
    assert "no answer" in line


def test_a_missing_photo_is_counted(folder: Path) -> None:
    """A photo that is kept and there is in order, one whose file is gone is not."""
    with writing(folder) as (household, session):
        photos.want(session, 1, 1, "telegram", {"file_id": "x"})
        session.commit()
        desk = Desk(household.app, folder)
        (photo,) = desk.wanted_photos("telegram")
        desk.keep_photo(photo, b"a picture", "image/jpeg")
    assert looks(folder) == []
    shutil.rmtree(folder / "photos")
    (line,) = looks(folder)
    assert "1 file is missing" in line


def test_a_full_disk_is_named(folder: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    """Under 200 MB free the disk is called nearly full."""
    usage = namedtuple("usage", "total used free")  # noqa: PYI024 - as shutil's own
    monkeypatch.setattr(shutil, "disk_usage", lambda _path: usage(10**12, 10**12, 199_000_000))
    with opened(folder, Settings()) as household:
        wrong = [finding.text for finding in cli_doctor.look(household, folder) if not finding.good]
    assert wrong == ["199 MB free on its disk"]


def test_a_damaged_database_is_a_sentence(folder: Path) -> None:
    """Not status 0, and no traceback."""
    path = folder / "rackside.sqlite3"
    content = bytearray(path.read_bytes())
    content[4096 * 3 :] = b"\xa5" * (len(content) - 4096 * 3)
    path.write_bytes(content)
    done = rackside(folder, "doctor")
    assert done.returncode in {1, 2}
    assert "Traceback" not in done.stderr
    assert "damaged" in done.stderr or "LOOK" in done.stdout


def test_a_token_file_that_others_may_read_is_named(folder: Path, tmp_path: Path) -> None:
    """With what to do, and without what is in it."""
    with Serving() as api:
        settings = telegram(tmp_path, api.address)
        path = token_file(tmp_path, 0o644)
        path.write_text(api.token)
        (line,) = looks(folder, settings)
    assert line == f"{path} may be read by others; use chmod 600"


def test_a_bot_that_the_service_knows_is_in_order(folder: Path, tmp_path: Path) -> None:
    """The token is tried, and the bot's name on the service is said."""
    with Serving() as api:
        settings = telegram(tmp_path, api.address)
        (tmp_path / "token").write_text(api.token)
        done = rackside(folder, "doctor", settings=settings)
    assert done.returncode == 0
    assert "Telegram knows the bot as @" in done.stdout
    assert api.token not in done.stdout + done.stderr


def test_a_token_that_the_service_does_not_know_is_said(folder: Path, tmp_path: Path) -> None:
    """Without showing it."""
    with Serving() as api:
        done = rackside(folder, "doctor", settings=telegram(tmp_path, api.address))
    assert done.returncode == 1
    assert "LOOK  Telegram: " in done.stdout
    assert TOKEN not in done.stdout + done.stderr


def test_a_service_that_cannot_be_reached_is_said(folder: Path, tmp_path: Path) -> None:
    """With its address, and without the token."""
    (line,) = looks(folder, telegram(tmp_path))
    assert line.startswith("Telegram: ")
    assert DEAD in line
    assert TOKEN not in line


def test_a_wrong_setting_is_one_of_the_findings(folder: Path) -> None:
    """It does not keep the doctor from looking at the rest."""
    (line,) = looks(folder, {"RACKSIDE_TELEGRAM_TOKEN": "s3same-open"})
    assert "RACKSIDE_TELEGRAM_TOKEN" in line
    assert "s3same-open" not in line


def test_members_are_counted_with_their_services(folder: Path) -> None:
    """Those who left are not among them."""
    done = rackside(folder, "doctor")
    assert "2 members on telegram" in done.stdout
    with writing(folder) as (household, session):
        ana = households.member_by_address(session, "telegram", "100")
        assert ana is not None
        households.leave(session, ana.id, household.app.clock.now() - timedelta(days=1))
    assert "1 member, at the terminal alone" in rackside(folder, "doctor").stdout
