"""Where the bot goes, whom it listens to, and what is none of its business."""

from __future__ import annotations

import asyncio
from pathlib import Path

import pytest

from bot.channels.matrix.channel import Patience
from tests.matrix.at_work import Bot, bot_of, let_in
from tests.matrix.homeserver import Cast, Person, Story
from tests.patience import PATIENCE


async def refused(person: Person, room: str, bot: Bot) -> None:
    """Wait until the bot has refused to come into a room."""
    await person.until(
        lambda: bot.user_id not in person.nio.rooms[room].users, 10, lambda: "the bot's refusal of the invitation"
    )


def test_strangers_invitations_are_refused_and_members_followed(story: Story, tmp_path: Path) -> None:
    """Once no code is out, only who is let in may bring the bot into a room; refusing one does not block the next."""

    async def tale(cast: Cast) -> None:
        ana, sly = await cast.people("ana", "sly")
        async with bot_of(cast, tmp_path / "data") as bot:
            await let_in(bot, ana)
            room = await sly.makes_room(bot.user_id)
            await refused(sly, room, bot)
            other = await ana.room_with(bot.user_id)
            await ana.say(other, "fed Larches 2 crickets")
            await ana.hears(other, "Larches")
            again = await sly.makes_room(bot.user_id)
            await refused(sly, again, bot)

    story(tale)


def test_a_code_may_come_with_the_invitation(story: Story, tmp_path: Path) -> None:
    """Its reason lets the stranger in before the door is opened, and the bot says so once it is in."""

    async def tale(cast: Cast) -> None:
        ana, ben = await cast.people("ana", "ben")
        async with bot_of(cast, tmp_path / "data") as bot:
            await let_in(bot, ana)
            code = bot.code("keeper")
            room = await ben.makes_room()
            asked = {"user_id": bot.user_id, "reason": f"this is {code}"}
            path = f"/_matrix/client/v3/rooms/{room}/invite"
            await asyncio.to_thread(cast.homeserver.ask, "POST", path, asked, ben.account.access_token)
            await ben.sees_joined(room, bot.user_id)
            await ben.hears(room, "Welcome")

    story(tale)


@pytest.mark.slow
def test_without_a_valid_code_the_bot_leaves_a_strangers_room(story: Story, tmp_path: Path) -> None:
    """While a code is out anybody may have it in; who does not know the code is told no more than that, and it goes."""

    async def tale(cast: Cast) -> None:
        ana, sly = await cast.people("ana", "sly")
        async with bot_of(cast, tmp_path / "data", Patience(stay=1, rounds=0.25)) as bot:
            code = bot.code()
            room = await sly.room_with(bot.user_id)
            await sly.say(room, f"{code[:-1]}~")
            await sly.hears(room, "do not know you")
            await sly.until(lambda: bot.user_id not in sly.members(room), PATIENCE, lambda: "the bot leaving")
            kept = await let_in(bot, ana)
            await asyncio.sleep(2)
            await ana.say(kept, "fed Larches 2 crickets")
            await ana.hears(kept, "Larches")

    story(tale)


@pytest.mark.slow
def test_what_was_said_before_the_bot_came_is_not_its_business(story: Story, tmp_path: Path) -> None:
    """Of an old room it hears what is said from its coming in."""

    async def tale(cast: Cast) -> None:
        ana, ben = await cast.people("ana", "ben")
        async with bot_of(cast, tmp_path / "data") as bot:
            await let_in(bot, ana)
            room = await cast.room(ana, ben)
            for count in range(60):
                await ana.say(room, f"{bot.user_id}: fed Larches {count + 1} crickets")
            await ana.invite(room, bot.user_id)
            await ana.sees_joined(room, bot.user_id)
            said = await ana.say(room, f"{bot.user_id}: fed Rushes 2 crickets")
            answer = await ana.hears(room, "Rushes")
            assert answer.reply_to == said
            assert [entry.words for entry in bot.entries()] == ["fed Rushes 2 crickets"]

    story(tale)


def test_in_a_larger_room_the_bot_speaks_to_members_who_speak_to_it(story: Story, tmp_path: Path) -> None:
    """By name or in reply; a stranger there is told once that nothing was kept, and other bots' notices are left alone."""

    async def tale(cast: Cast) -> None:
        ana, sly = await cast.people("ana", "sly")
        async with bot_of(cast, tmp_path / "data") as bot:
            await let_in(bot, ana)
            room = await cast.room(ana, sly)
            await ana.invite(room, bot.user_id)
            await ana.sees_joined(room, bot.user_id)
            await sly.sees_joined(room, bot.user_id)
            await ana.say(room, f"{bot.user_id}: fed Larches 2 crickets", msgtype="m.notice")
            await sly.say(room, "hello everybody")
            await sly.say(room, "fed Rushes 3 crickets", mentions=[bot.user_id])
            first = await ana.hears(room, lambda event: event.sender == bot.user_id and bool(event.body))
            assert "do not know you" in first.body
            await ana.say(room, "bot, fed Rushes 4 crickets", mentions=[bot.user_id])
            answer = await ana.hears(room, "Rushes: fed 4")
            await ana.say(room, "no, 5 crickets", reply_to=answer.event_id)
            await ana.hears(room, "fed 5 crickets")
            assert len(bot.entries()) == 1

    story(tale)
