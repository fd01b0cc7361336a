"""`rackside invite`: a code for one person, for people and for scripts."""

from __future__ import annotations

import json
from datetime import UTC, datetime, timedelta
from pathlib import Path
from urllib.parse import parse_qs, urlsplit

import pytest

from bot.admission import code_in
from bot.household import opened
from bot.settings import Settings
from storage import chats, invites
from storage.invites import InviteRow
from tests.cli.commands import rackside, set_up


@pytest.fixture
def folder(tmp_path: Path) -> Path:
    return set_up(tmp_path / "data")


def invite_of(folder: Path, code: str) -> InviteRow:
    with opened(folder, Settings()) as household, household.app.store.read() as session:
        found = invites.by_code(session, code)
    assert found is not None
    return found


@pytest.mark.parametrize("role", ["owner", "keeper", "viewer"])
def test_a_code_is_printed_with_its_role_and_time(folder: Path, role: str) -> None:
    """In words, in the collection's own time, and the code lets in with that role."""
    done = rackside(folder, "invite", "--role", role)
    assert (done.returncode, done.stderr) == (0, "")
    assert done.stdout.startswith(f"Code for one {role}, once, until ")
    code = code_in(done.stdout)
    assert code is not None
    assert invite_of(folder, code).role == role


def test_without_a_role_it_is_a_keepers(folder: Path) -> None:
    """Each call makes another code."""
    codes = [code_in(rackside(folder, "invite").stdout) for _ in range(2)]
    assert len(set(codes)) == 2
    assert [invite_of(folder, code or "").role for code in codes] == ["keeper", "keeper"]


def test_for_scripts_it_is_json(folder: Path) -> None:
    """One object: the code, the role, when it ends (aware, a day from now), and links."""
    done = rackside(folder, "invite", "--role", "viewer", "--json")
    said = json.loads(done.stdout)
    assert set(said) == {"code", "role", "expires_at", "links"}
    assert said["role"] == "viewer"
    assert code_in(said["code"]) == said["code"]
    left = datetime.fromisoformat(said["expires_at"]) - datetime.now(UTC)
    assert timedelta(hours=23) < left <= timedelta(hours=24)
    assert invite_of(folder, said["code"]).expires_at == datetime.fromisoformat(said["expires_at"])


def test_a_link_carries_the_code_once_the_bot_is_known(folder: Path) -> None:
    """Before the bot ever ran there is no link; afterwards one opens the chat with the code."""
    assert json.loads(rackside(folder, "invite", "--json").stdout)["links"] == {}
    with opened(folder, Settings()) as household, household.app.store.write() as session:
        chats.keep_account(session, "telegram", "4711", "rack_side_bot")
    said = json.loads(rackside(folder, "invite", "--json").stdout)
    link = urlsplit(said["links"]["telegram"])
    assert link.path == "/rack_side_bot"
    assert parse_qs(link.query) == {"start": [said["code"]]}
    assert "Telegram: https://" in rackside(folder, "invite").stdout


def test_a_role_that_there_is_not_is_refused(folder: Path) -> None:
    """With the list of those there are, and status 2."""
    done = rackside(folder, "invite", "--role", "king")
    assert done.returncode == 2
    assert "viewer" in done.stderr
