"""The account and its devices: logging in and out, lost keys, and new devices of the keeper's."""

from __future__ import annotations

import asyncio
import logging
import stat
from pathlib import Path

import pytest

from bot.channels.matrix import channel
from bot.channels.matrix.credentials import FOLDER, is_set_up, load
from bot.channels.matrix.login import login, logout
from bot.errors import RacksideError
from bot.secret import Secret
from tests.matrix.at_work import bot_of, let_in, now_at
from tests.matrix.homeserver import Account, Cast, Homeserver, Story


def logged_in(data: Path, homeserver: Homeserver, account: Account) -> str:
    return asyncio.run(login(data, homeserver.url, account.user_id, Secret(account.password)))


def test_a_login_is_kept_for_its_owner_alone_and_a_logout_ends_it(homeserver: Homeserver, tmp_path: Path) -> None:
    """The folder and its files are closed to others; after a logout the device is unknown and its keys are gone."""
    account = homeserver.user("keeper-of-files")
    sentence = logged_in(tmp_path, homeserver, account)
    assert account.user_id in sentence
    assert account.password not in sentence
    assert is_set_up(tmp_path)
    folder = tmp_path / FOLDER
    assert stat.S_IMODE(folder.stat().st_mode) == 0o700
    assert {stat.S_IMODE(path.stat().st_mode) for path in folder.iterdir()} == {0o600}
    assert not any(account.password.encode() in path.read_bytes() for path in folder.iterdir())
    assert "Logged out" in asyncio.run(logout(tmp_path))
    assert [path.name for path in folder.iterdir()] == ["lock"]
    assert devices(homeserver, account) == 1
    with pytest.raises(RacksideError, match="not set up"):
        asyncio.run(logout(tmp_path))


def test_a_new_login_ends_the_device_of_the_one_before(homeserver: Homeserver, tmp_path: Path) -> None:
    """Each login makes a device, and leaves none behind."""
    account = homeserver.user("keeper-of-devices")
    first = logged_in(tmp_path, homeserver, account)
    assert logged_in(tmp_path, homeserver, account) != first
    assert devices(homeserver, account) == 2


def devices(homeserver: Homeserver, account: Account) -> int:
    """How many devices an account has, the one that the tests registered it with among them."""
    found = homeserver.ask("GET", "/_matrix/client/v3/devices", token=account.access_token)["devices"]
    assert isinstance(found, list)
    return len(found)


def test_a_login_that_fails_says_why_and_changes_nothing(homeserver: Homeserver, tmp_path: Path) -> None:
    """A wrong password, an address where nobody answers or that is none, and something that is no homeserver."""
    account = homeserver.user("keeper-of-errors")
    logged_in(tmp_path, homeserver, account)
    for url, password, words in (
        (homeserver.url, "wrong", "password"),
        ("http://127.0.0.1:9", account.password, "No homeserver answers"),
        ("ftp://example.org", account.password, "no web address"),
        (f"{homeserver.url}/nowhere", account.password, "127.0.0.1"),
    ):
        with pytest.raises(RacksideError, match=words) as fault:
            asyncio.run(login(tmp_path, url, account.user_id, Secret(password)))
        assert account.password not in str(fault.value)
    assert "Logged out" in asyncio.run(logout(tmp_path))


def test_a_logout_without_the_homeserver_forgets_and_says_what_is_left_to_do(
    homeserver: Homeserver, tmp_path: Path
) -> None:
    """The keys are gone from here; the device must be ended from another client."""
    logged_in(tmp_path, homeserver, homeserver.user("keeper-of-silence"))
    now_at(tmp_path, "http://127.0.0.1:9")
    assert "from another client" in asyncio.run(logout(tmp_path))
    assert not is_set_up(tmp_path)


@pytest.mark.parametrize("lost", ["crypto.db", pytest.param("pickle.key", marks=pytest.mark.slow)])
def test_lost_keys_need_a_new_login_which_reads_on(story: Story, tmp_path: Path, lost: str) -> None:
    """The bot says so and does not start; with a new device, what is said from then on is read and answered."""

    async def tale(cast: Cast) -> None:
        ana = await cast.person("ana")
        async with bot_of(cast, tmp_path / "data") as bot:
            room = await let_in(bot, ana, encrypted=True)
            await bot.stop()
            (tmp_path / "data" / FOLDER / lost).unlink()
            bot.start()
            with pytest.raises(RacksideError, match=r"keys .* are gone.*new device"):
                await bot.ends()
            device = (await bot.log_in()).partition("new device ")[2].partition(".")[0]
            bot.start()
            await ana.knows_device(bot.user_id, device)
            await ana.say(room, "fed Larches 2 crickets")
            await ana.hears(room, "Larches")

    story(tale)


def test_a_new_device_of_the_keepers_reads_the_next_answer(story: Story, tmp_path: Path) -> None:
    """Logged in while the bot is at work or away, it reads what the bot says from then on, and is understood."""

    async def tale(cast: Cast) -> None:
        ana = await cast.person("ana")
        async with bot_of(cast, tmp_path / "data") as bot:
            room = await let_in(bot, ana, encrypted=True)
            tablet = await cast.new_device(ana)
            await tablet.knows_device(bot.user_id)
            await tablet.say(room, "fed Larches 2 crickets")
            await tablet.hears(room, "Larches")
            await bot.stop()
            laptop = await cast.new_device(ana)
            await laptop.knows_device(bot.user_id)
            await laptop.say(room, "fed Larches 3 crickets")
            bot.start()
            await laptop.hears(room, "3 crickets")
            assert len(bot.entries()) == 2

    story(tale)


def test_one_process_serves_an_account(story: Story, tmp_path: Path) -> None:
    """A second one says that the account is in use, and the first goes on."""

    async def tale(cast: Cast) -> None:
        ana = await cast.person("ana")
        async with bot_of(cast, tmp_path / "data") as bot:
            room = await let_in(bot, ana)
            with pytest.raises(RacksideError, match="Another process"):
                await channel.serve(bot.desk, bot.data, asyncio.Event(), lambda: None, asyncio.Event())
            with pytest.raises(RacksideError, match="Another process"):
                await bot.log_in()
            await ana.say(room, "fed Larches 2 crickets")
            await ana.hears(room, "Larches")

    story(tale)


@pytest.mark.slow
def test_another_account_begins_anew(story: Story, tmp_path: Path) -> None:
    """How far the messages of one account were taken is not asked of another's homeserver."""

    async def tale(cast: Cast) -> None:
        ana = await cast.person("ana")
        async with bot_of(cast, tmp_path / "data") as bot:
            await let_in(bot, ana)
            await bot.stop()
            bot.account = cast.account("other")
            bot.user_id = bot.account.user_id
            await bot.log_in()
            bot.start()
            room = await ana.room_with(bot.user_id)
            await ana.say(room, "fed Larches 2 crickets")
            await ana.hears(room, "Larches")

    story(tale)


def test_a_login_ended_from_elsewhere_stops_the_bot_with_a_sentence(
    story: Story, homeserver: Homeserver, tmp_path: Path
) -> None:
    """It does not ask on for ever, and says what to do."""

    async def tale(cast: Cast) -> None:
        ana = await cast.person("ana")
        async with bot_of(cast, tmp_path / "data") as bot:
            room = await let_in(bot, ana)
            end_all = {"auth": {}}
            path = "/_matrix/client/v3/logout/all"
            await asyncio.to_thread(homeserver.ask, "POST", path, end_all, bot.account.access_token)
            with pytest.raises(RacksideError, match=r"ended from elsewhere.*rackside matrix login"):
                await bot.ends()
            await ana.say(room, "fed Larches 2 crickets")
            await bot.log_in()
            bot.start()
            await ana.hears(room, "Larches")

    story(tale)


def test_the_token_and_the_keys_key_are_in_no_log_and_no_other_file(
    story: Story, tmp_path: Path, caplog: pytest.LogCaptureFixture
) -> None:
    """At the level at which the bot logs; what the libraries write for their own developers is not switched on."""

    async def tale(cast: Cast) -> None:
        ana = await cast.person("ana")
        async with bot_of(cast, tmp_path / "data") as bot:
            kept = load(bot.data / FOLDER)
            room = await let_in(bot, ana, encrypted=True)
            await ana.say(room, "fed Larches 2 crickets")
            await ana.hears(room, "Larches")
            await bot.stop()
            written = [path.read_bytes() for path in bot.data.glob("*") if path.is_file()]
            for secret in (kept.token, kept.pickle_key, Secret(bot.account.password)):
                assert secret.reveal() not in repr(kept)
                assert secret.reveal() not in own_words(caplog)
                assert not any(secret.reveal().encode() in one for one in written)

    caplog.set_level(logging.INFO)
    story(tale)


def own_words(caplog: pytest.LogCaptureFixture) -> str:
    """All that was logged, by the libraries too."""
    return "\n".join(f"{record.getMessage()} {record.exc_text}" for record in caplog.records)
