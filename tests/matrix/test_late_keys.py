"""Messages that come before their keys, and those whose keys never come."""

from __future__ import annotations

import asyncio
import json
from dataclasses import dataclass
from pathlib import Path
from typing import Any

import pytest
from nio import ToDeviceMessage

from bot.channels.matrix.channel import Patience
from bot.channels.matrix.credentials import FOLDER, UNREAD
from tests.matrix.at_work import Bot, bot_of, let_in
from tests.matrix.homeserver import Cast, Person, Story
from tests.patience import PATIENCE


@dataclass(frozen=True, slots=True)
class KeptBack:
    """The key to what a person says in a room from now on, which the bot's device was not given."""

    person: Person
    device: Any
    content: dict[str, str]

    async def hand_over(self) -> None:
        """Give the key to the bot's device after all."""
        olm = self.person.nio.olm
        session = olm.session_store.get(self.device.curve25519)
        sealed = olm._olm_encrypt(session, self.device, "m.room_key", self.content)  # noqa: SLF001 - no other way to be late
        await self.person.nio.to_device(
            ToDeviceMessage("m.room.encrypted", self.device.user_id, self.device.device_id, sealed)
        )


async def keep_key_back(person: Person, room: str, bot: Bot) -> KeptBack:
    """From now on what the person says in the room is sent without its key to the bot."""
    (device,) = (one for one in person.nio.device_store.active_user_devices(bot.user_id))
    person.nio.blacklist_device(device)
    await person.nio.share_group_session(room, ignore_unverified_devices=True)
    session = person.nio.olm.outbound_group_sessions[room]
    content = {
        "algorithm": "m.megolm.v1.aes-sha2",
        "room_id": room,
        "session_id": session.id,
        "session_key": session.session_key,
    }
    return KeptBack(person, device, content)


def put_by(bot: Bot) -> list[dict[str, Any]]:
    """What is kept until its key comes."""
    path = bot.data / FOLDER / UNREAD
    kept: list[dict[str, Any]] = json.loads(path.read_text(encoding="utf-8")) if path.exists() else []
    return kept


def test_a_key_that_comes_a_little_late_is_waited_for(story: Story, tmp_path: Path) -> None:
    """The message is taken when it can be read, also after a restart, and nobody is bothered."""

    async def tale(cast: Cast) -> None:
        ana = await cast.person("ana")
        async with bot_of(cast, tmp_path / "data") as bot:
            room = await let_in(bot, ana, encrypted=True)
            key = await keep_key_back(ana, room, bot)
            said = await ana.say(room, "fed Larches 2 crickets")
            await ana.until(lambda: bool(put_by(bot)), PATIENCE, lambda: "the message being put by")
            await bot.stop()
            await key.hand_over()
            bot.start()
            answer = await ana.hears(room, lambda event: event.sender == bot.user_id and bool(event.body))
            assert "Larches: fed 2" in answer.body
            await ana.sees_read(room, bot.user_id, said)
            await ana.until(lambda: not put_by(bot), PATIENCE, lambda: "the message being forgotten")

    story(tale)


@pytest.mark.slow
def test_without_a_key_the_member_is_told_once_and_it_may_still_come(story: Story, tmp_path: Path) -> None:
    """Told that a message could not be read; should the key come after all, the message is taken as if it were new."""

    async def tale(cast: Cast) -> None:
        ana = await cast.person("ana")
        async with bot_of(cast, tmp_path / "data", Patience(key=0.5)) as bot:
            room = await let_in(bot, ana, encrypted=True)
            key = await keep_key_back(ana, room, bot)
            await ana.say(room, "fed Larches 2 crickets")
            await ana.hears(room, "read")
            await ana.hears_nothing(room, 1.5)
            assert bot.entries() == []
            await key.hand_over()
            await ana.hears(room, "Larches: fed 2")
            assert len(bot.entries()) == 1

    story(tale)


@pytest.mark.slow
def test_what_strangers_say_is_not_put_by(story: Story, tmp_path: Path) -> None:
    """Nothing is kept of them, readable or not."""

    async def tale(cast: Cast) -> None:
        ana, sly = await cast.people("ana", "sly")
        async with bot_of(cast, tmp_path / "data", Patience(key=0.5)) as bot:
            await let_in(bot, ana)
            room = await ana.room_with(bot.user_id, encrypted=True)
            await ana.invite(room, sly.user_id)
            await sly.sees_invitation(room)
            await sly.join(room)
            await sly.knows_device(bot.user_id)
            await keep_key_back(sly, room, bot)
            await sly.say(room, "fed Larches 2 crickets")
            await ana.hears(room, lambda event: event.sender == sly.user_id and event.kind == "m.room.message")
            await asyncio.sleep(1)
            assert put_by(bot) == []
            assert not [event for event in ana.all_in(room) if event.sender == bot.user_id and event.body]

    story(tale)
