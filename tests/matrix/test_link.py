"""The connection keeps what nio alone would lose."""

from __future__ import annotations

import asyncio
from pathlib import Path

import pytest

from bot.channels.matrix.credentials import FOLDER, load
from bot.channels.matrix.link import UNREACHABLE, Link, granted, opened
from bot.channels.matrix.login import login
from bot.channels.matrix.rooms import Doorman
from bot.channels.matrix.sending import Sender
from bot.conversation.posting import bare
from bot.conversation.reply import Reply
from bot.desk import Desk
from bot.household import Household
from bot.secret import Secret
from storage import outbox
from tests.matrix.homeserver import Cast, Homeserver, Story


async def connected(data: Path, homeserver: Homeserver, cast: Cast) -> Link:
    """A connection of a new account's, with its keys published."""
    account = cast.account("bot")
    await login(data, homeserver.url, account.user_id, Secret(account.password))
    link = opened(load(data / FOLDER), data / FOLDER)
    granted(await link.sync(0, full_state=True))
    await link.tend_keys()
    return link


@pytest.mark.slow
def test_a_room_key_that_could_not_be_handed_out_is_handed_out_before_anything_is_said(
    story: Story, homeserver: Homeserver, tmp_path: Path
) -> None:
    """The homeserver goes away as the key is shared: that is told to who sends; once it is back the room can read again."""

    async def tale(cast: Cast) -> None:
        ana = await cast.person("ana")
        link = await connected(tmp_path / "bot", homeserver, cast)
        try:
            room = await ana.makes_room(link.user_id, encrypted=True)
            granted(await link.join(room))
            await ana.knows_device(link.user_id)
            granted(await link.sync(0))
            await link.tend_keys()
            await asyncio.to_thread(homeserver.stop)
            for _ in range(2):
                with pytest.raises(UNREACHABLE):
                    async with asyncio.timeout(5):
                        await link.share_room_key(room)
            await asyncio.to_thread(homeserver.start)
            await link.share_room_key(room)
            content = {"msgtype": "m.text", "body": "Flint is due"}
            granted(await link.room_send(room, "m.room.message", content, "tx", ignore_unverified_devices=True))
            await ana.hears(room, "Flint is due")
        finally:
            await link.end()

    story(tale)


def test_one_time_keys_are_kept_before_the_homeserver_has_them(
    story: Story, homeserver: Homeserver, tmp_path: Path
) -> None:
    """A device opened anew after the keys went out, without having heard that they arrived, can be written to."""

    async def tale(cast: Cast) -> None:
        ana = await cast.person("ana")
        account = cast.account("bot")
        await login(tmp_path, homeserver.url, account.user_id, Secret(account.password))
        folder = tmp_path / FOLDER
        link = opened(load(folder), folder)
        link.olm.handle_response = lambda _answer: None  # killed before the answer
        await link.keys_upload()
        await link.end()
        link = opened(load(folder), folder)
        try:
            room = await ana.makes_room(link.user_id, encrypted=True)
            granted(await link.join(room))
            await ana.knows_device(link.user_id)
            await ana.say(room, "fed Larches")
            said = granted(await link.sync(0, full_state=True)).rooms.join[room].timeline.events
            assert said[-1].source["content"]["body"] == "fed Larches"
        finally:
            await link.end()

    story(tale)


def test_without_keys_nothing_is_said_in_an_encrypted_room(
    story: Story, homeserver: Homeserver, household: Household, tmp_path: Path
) -> None:
    """Left alone, the library would say it in plain: the message is given up instead, and the reason is kept."""

    async def tale(cast: Cast) -> None:
        ana = await cast.person("ana")
        link = await connected(tmp_path / "bot", homeserver, cast)
        try:
            room = await ana.makes_room(link.user_id, encrypted=True)
            granted(await link.join(room))
            granted(await link.sync(0))
            link.olm = None
            with household.app.store.write() as session:
                kept = household.collection.id
                outbox.put(session, kept, "matrix", room, None, bare(Reply("Flint is due")))
            desk, online = Desk(household.app, tmp_path), asyncio.Event()
            online.set()
            sending = asyncio.ensure_future(Sender(desk, link, Doorman(desk, link, 600), online, asyncio.Event()).run())
            await ana.hears_nothing(room, 1)
            sending.cancel()
            with household.app.store.read() as session:
                assert [row.error for row in outbox.given_up(session, kept)] == [
                    "the room is encrypted, and the bot has no keys"
                ]
        finally:
            await link.end()

    story(tale)
