"""The bot, the homeserver or the network away for a while: nothing is lost, nothing comes twice, and all in order."""

from __future__ import annotations

import asyncio
import re
from pathlib import Path

import pytest
from sqlalchemy import text

from bot.conversation.posting import bare
from bot.conversation.reply import Reply
from storage import outbox
from tests.matrix.at_work import Bot, bot_of, let_in
from tests.matrix.homeserver import Cast, Homeserver, Person, Story
from tests.patience import PATIENCE

ANSWER = re.compile(r"Larches: fed (\d+)")


async def counts(person: Person, room: str, number: int, timeout: float = 60) -> list[int]:  # noqa: ASYNC109 - passed on to Person.hears
    """The numbers of crickets in the next so many confirmations, in the order in which they come."""
    heard = [await person.hears(room, lambda event: bool(ANSWER.search(event.body)), timeout) for _ in range(number)]
    return [int(found[1]) for event in heard if (found := ANSWER.search(event.body))]


def fed(bot: Bot) -> list[str]:
    """What feedings say, in the order in which they were made."""
    return [entry.words for entry in sorted(bot.entries("feeding"), key=lambda entry: entry.id)]


@pytest.mark.slow
def test_sixty_messages_said_while_the_bot_is_away_are_answered_once_and_in_order(story: Story, tmp_path: Path) -> None:
    """In a plain room and in an encrypted one. More than a sync holds: the gap is filled before anything counts as taken.

    Later restarts bring nothing again.
    """

    async def tale(cast: Cast) -> None:
        ana = await cast.person("ana")
        async with bot_of(cast, tmp_path / "data") as bot:
            plain = await let_in(bot, ana)
            secret = await ana.room_with(bot.user_id, encrypted=True)
            await bot.stop()
            for number in range(1, 61):
                await ana.say(plain, f"fed Larches {number} crickets")
                await ana.say(secret, f"fed Larches {number} crickets")
            bot.start()
            for room in (plain, secret):
                assert await counts(ana, room, 60) == list(range(1, 61))
            await bot.stop()
            bot.start()
            for room in (plain, secret):
                await ana.say(room, "fed Larches 61 crickets")
                assert await counts(ana, room, 1) == [61]
            assert sorted(fed(bot)) == sorted(2 * [f"fed Larches {number} crickets" for number in range(1, 62)])

    story(tale)


@pytest.mark.slow
def test_the_homeserver_may_be_away_and_come_back(story: Story, homeserver: Homeserver, tmp_path: Path) -> None:
    """Killed with an answer on its way, restarted, or not there yet when the bot starts: each message is answered once."""

    async def tale(cast: Cast) -> None:
        ana = await cast.person("ana")
        async with bot_of(cast, tmp_path / "data") as bot:
            room = await let_in(bot, ana, encrypted=True)
            with bot.busy():
                await ana.say(room, "fed Larches 1 crickets")
                await ana.until(lambda: bot.taken() == 1, PATIENCE, lambda: "the message being taken in")
                await asyncio.to_thread(homeserver.kill)
            await asyncio.sleep(1.5)
            await asyncio.to_thread(homeserver.start)
            assert await counts(ana, room, 1) == [1]
            await asyncio.to_thread(homeserver.restart)
            await ana.say(room, "fed Larches 2 crickets")
            assert await counts(ana, room, 1) == [2]
            await bot.stop()
            await ana.say(room, "fed Larches 3 crickets")
            await asyncio.to_thread(homeserver.stop)
            bot.start()
            await asyncio.sleep(0.5)
            await asyncio.to_thread(homeserver.start)
            assert await counts(ana, room, 1) == [3]
            assert len(fed(bot)) == 3

    story(tale)


@pytest.mark.slow
def test_a_homeserver_that_wants_fewer_messages_gets_them_all_more_slowly(
    story: Story, homeserver: Homeserver, tmp_path: Path
) -> None:
    """Told to wait, the bot waits as long as it is told; every answer comes, once and in order, and none counts as a failure."""

    async def tale(cast: Cast) -> None:
        ana = await cast.person("ana")
        async with bot_of(cast, tmp_path / "data") as bot:
            room = await let_in(bot, ana)
            await asyncio.to_thread(homeserver.limit, bot.account, 2, 2)
            try:
                for number in range(1, 7):
                    await ana.say(room, f"fed Larches {number} crickets")
                assert await counts(ana, room, 6) == list(range(1, 7))
            finally:
                await asyncio.to_thread(homeserver.lift_limit, bot.account)
            refusals = homeserver.log.read_text(encoding="utf-8").count(" 429 ")
            assert refusals > 0
            assert all(row.tries == 0 for row in sent(bot))

    story(tale)


@pytest.mark.slow
def test_a_parcel_that_was_sent_before_is_no_second_message(story: Story, tmp_path: Path) -> None:
    """Offered again, as after a kill between sending and saying so, it is known to the homeserver, also after a restart.

    What was said before the restart can still be answered with a reaction, and taken back.
    """

    async def tale(cast: Cast) -> None:
        ana = await cast.person("ana")
        async with bot_of(cast, tmp_path / "data") as bot:
            room = await let_in(bot, ana, encrypted=True)
            said = await ana.say(room, "fed sand tray 3 crickets")
            await ana.hears(room, lambda event: event.key == "2️⃣")
            (asked,) = [row for row in sent(bot) if row.body.get("choices")]
            await bot.stop()
            forget_sent(bot, asked.id)
            bot.start()
            await ana.until(lambda: bot.waiting() == 0, PATIENCE, lambda: "the parcel being sent again")
            await ana.hears_nothing(room, 1)
            assert [row.service_id for row in sent(bot) if row.id == asked.id] == [asked.service_id]
            await ana.react(room, str(asked.service_id), "2️⃣")
            await ana.hears(room, "sand tray 2: fed 3 crickets")
            await bot.stop()
            bot.start()
            await ana.redact(room, said)
            await ana.hears(room, "sand tray 2")
            assert bot.entries() == []

    story(tale)


def test_a_room_that_the_bot_was_thrown_out_of_takes_nothing_until_it_is_back(story: Story, tmp_path: Path) -> None:
    """What waits for it waits, other rooms go on, and with a new invitation it is sent."""

    async def tale(cast: Cast) -> None:
        ana = await cast.person("ana")
        async with bot_of(cast, tmp_path / "data") as bot:
            room = await let_in(bot, ana)
            other = await ana.room_with(bot.user_id)
            await ana.nio.room_kick(room, bot.user_id)
            await ana.until(lambda: bot.user_id not in ana.members(room), PATIENCE, lambda: "the bot being out")
            with bot.household.app.store.write() as session:
                outbox.put(session, bot.household.collection.id, "matrix", room, None, bare(Reply("Flint is due")))
            await ana.say(other, "fed Larches 1 crickets")
            assert await counts(ana, other, 1) == [1]
            assert bot.waiting() == 1
            await ana.invite(room, bot.user_id)
            await ana.hears(room, "Flint is due")

    story(tale)


def sent(bot: Bot) -> list[outbox.OutboxRow]:
    """The messages that went out."""
    with bot.household.app.store.read() as session:
        rows = [outbox.row(session, number) for number in range(1, 100)]
    return [row for row in rows if row is not None and row.sent]


def forget_sent(bot: Bot, outbox_id: int) -> None:
    """Have a message sent again, as if the bot had been killed before it could say that it was sent."""
    with bot.household.app.store.write() as session:
        session.execute(
            text("UPDATE outbox SET sent = 0, service_id = NULL, lease_until = NULL WHERE id = :id"), {"id": outbox_id}
        )
