"""The whole conversation over a real homeserver, in plain and in encrypted rooms."""

from __future__ import annotations

from pathlib import Path

import pytest

from bot.conversation.posting import bare
from bot.conversation.reply import Attachment, Reply
from storage import outbox, photos
from tests.matrix.at_work import Bot, bot_of, let_in
from tests.matrix.homeserver import Cast, Story
from tests.matrix.homeserver.attachments import picture
from tests.patience import PATIENCE

both_kinds_of_room = pytest.mark.parametrize("encrypted", [False, True], ids=["plain", "encrypted"])


def post(bot: Bot, room: str, reply: Reply, **more: object) -> None:
    """Have the bot say something unasked."""
    with bot.household.app.store.write() as session:
        outbox.put(session, bot.household.collection.id, "matrix", room, None, {**bare(reply), **more})


@both_kinds_of_room
def test_a_message_becomes_an_entry_and_is_confirmed_without_ringing(
    story: Story, tmp_path: Path, *, encrypted: bool
) -> None:
    """What is said is written once and confirmed by a notice with HTML, encrypted where the room is, and marked as read."""

    async def tale(cast: Cast) -> None:
        ana = await cast.person("ana")
        async with bot_of(cast, tmp_path / "data") as bot:
            room = await let_in(bot, ana, encrypted=encrypted)
            said = await ana.say(room, "fed Marigolds 3 crickets")
            answer = await ana.hears(room, "Marigolds")
            assert (answer.msgtype, answer.encrypted, answer.mentions) == ("m.notice", encrypted, ())
            assert answer.formatted_body.replace("<br>", "\n") == answer.body
            await ana.sees_read(room, bot.user_id, said)
            assert [entry.kind for entry in bot.entries()] == ["feeding"]

    story(tale)


@both_kinds_of_room
def test_an_edit_amends_and_a_redaction_takes_back(story: Story, tmp_path: Path, *, encrypted: bool) -> None:
    """The entry of an edited message is corrected; with the message it goes, and the bot says what it took back."""

    async def tale(cast: Cast) -> None:
        ana = await cast.person("ana")
        async with bot_of(cast, tmp_path / "data") as bot:
            room = await let_in(bot, ana, encrypted=encrypted)
            said = await ana.say(room, "fed Marigolds 3 crickets")
            await ana.hears(room, "3 crickets")
            for count in (4, 5):
                await ana.edit(room, said, f"fed Marigolds {count} crickets")
                await ana.hears(room, f"{count} crickets")
            assert [entry.words for entry in bot.entries()] == ["fed Marigolds 5 crickets"]
            await ana.redact(room, await ana.react(room, said, "👍"))
            await ana.redact(room, said)
            answer = await ana.hears(room, "Marigolds")
            assert "back" in answer.body
            assert bot.entries() == []

    story(tale)


@both_kinds_of_room
def test_a_reaction_answers_a_question(story: Story, tmp_path: Path, *, encrypted: bool) -> None:
    """Choices are listed with numbers and offered as reactions; tapping one answers, once, and a number in words does too."""

    async def tale(cast: Cast) -> None:
        ana = await cast.person("ana")
        async with bot_of(cast, tmp_path / "data") as bot:
            room = await let_in(bot, ana, encrypted=encrypted)
            await ana.say(room, "fed sand tray 3 crickets")
            question = await ana.hears(room, "Which one")
            assert question.body.splitlines()[1:] == ["1. sand tray 1", "2. sand tray 2"]
            signs = [await ana.hears(room, lambda event: event.reacts_to == question.event_id) for _ in range(2)]
            assert [one.key for one in signs] == ["1️⃣", "2️⃣"]
            await ana.react(room, question.event_id, "2️⃣")
            await ana.hears(room, "sand tray 2: fed 3 crickets")
            await ana.react(room, question.event_id, "①")
            await ana.hears(room, "nothing was written")
            await ana.say(room, "temp 26 in sand tray")
            await ana.hears(room, "Which one")
            await ana.say(room, "1")
            await ana.hears(room, "sand tray 1")
            assert [entry.kind for entry in bot.entries()] == ["feeding", "reading"]

    story(tale)


@pytest.mark.parametrize("encrypted", [pytest.param(False, marks=pytest.mark.slow), True], ids=["plain", "encrypted"])
def test_what_comes_unasked_rings_the_members_telephone(story: Story, tmp_path: Path, *, encrypted: bool) -> None:
    """A reminder is a text that mentions the member."""

    async def tale(cast: Cast) -> None:
        ana = await cast.person("ana")
        async with bot_of(cast, tmp_path / "data") as bot:
            room = await let_in(bot, ana, encrypted=encrypted)
            post(bot, room, Reply("Flint <is> due"), push=True, to=ana.user_id)
            heard = await ana.hears(room, "due")
            assert (heard.msgtype, heard.mentions) == ("m.text", (ana.user_id,))
            assert (heard.body, heard.formatted_body) == ("Flint <is> due", "Flint &lt;is&gt; due")

    story(tale)


@both_kinds_of_room
def test_photos_go_both_ways(story: Story, tmp_path: Path, *, encrypted: bool) -> None:
    """A photo that a member sends is kept as it was; one that the bot sends arrives so, with its words as a caption."""

    async def tale(cast: Cast) -> None:
        ana = await cast.person("ana")
        async with bot_of(cast, tmp_path / "data") as bot:
            room = await let_in(bot, ana, encrypted=encrypted)
            await ana.send_photo(room, picture("olive"), caption="Flint moulted")
            await ana.hears(room, "Flint")
            await ana.until(lambda: picture("olive") in kept_files(bot), PATIENCE, lambda: "the photo being kept")
            (bot.data / "drawn.jpg").write_bytes(picture("saddlebrown"))
            post(bot, room, Reply("Flint, yesterday", files=(Attachment("drawn.jpg", name="flint.jpg"),)))
            shown = await ana.hears(room, "Flint, yesterday")
            assert (shown.msgtype, shown.content["filename"], "file" in shown.content) == (
                "m.image",
                "flint.jpg",
                encrypted,
            )
            assert await ana.fetch(shown) == picture("saddlebrown")

    story(tale)


@both_kinds_of_room
def test_a_hand_over_sheet_arrives_as_a_file(story: Story, tmp_path: Path, *, encrypted: bool) -> None:
    """The PDF as it lies in the data folder, called after whom it is of, with its words as a caption."""

    async def tale(cast: Cast) -> None:
        ana = await cast.person("ana")
        async with bot_of(cast, tmp_path / "data") as bot:
            room = await let_in(bot, ana, encrypted=encrypted)
            await ana.say(room, "sheet for Flint")
            shown = await ana.hears(room, "Hand-over sheet: Flint")
            assert (shown.msgtype, shown.content["info"]["mimetype"]) == ("m.file", "application/pdf")
            assert shown.content["filename"].startswith("sheet Flint ")
            [kept] = (bot.data / "pictures").glob("*.pdf")
            assert await ana.fetch(shown) == kept.read_bytes()

    story(tale)


def test_once_a_room_is_encrypted_the_bot_says_nothing_there_in_plain(story: Story, tmp_path: Path) -> None:
    """From the moment it is turned on."""

    async def tale(cast: Cast) -> None:
        ana = await cast.person("ana")
        async with bot_of(cast, tmp_path / "data") as bot:
            room = await let_in(bot, ana)
            await ana.turn_on_encryption(room)
            await ana.knows_device(bot.user_id)
            await ana.say(room, "fed Larches 2 crickets")
            assert (await ana.hears(room, "Larches")).encrypted

    story(tale)


def test_what_is_told_elsewhere_is_known_here_and_a_lost_file_holds_nothing_up(story: Story, tmp_path: Path) -> None:
    """An entry from the terminal shows in an answer; a message whose file is gone is given up, and the next is sent."""

    async def tale(cast: Cast) -> None:
        ana = await cast.person("ana")
        async with bot_of(cast, tmp_path / "data") as bot:
            room = await let_in(bot, ana)
            bot.household.app.receive("owner", "fed Rushes 7 crickets")
            post(bot, room, Reply("Flint, yesterday", files=(Attachment("lost.jpg"),)))
            await ana.say(room, "when did Rushes last eat")
            assert "7 crickets" in (await ana.hears(room, "Rushes")).body
            with bot.household.app.store.read() as session:
                (lost,) = outbox.given_up(session, bot.household.collection.id)
            assert "lost.jpg cannot be read" in str(lost.error)

    story(tale)


def test_what_is_no_photo_is_wanted_no_more(story: Story, tmp_path: Path) -> None:
    """Bytes that are no picture are given up at once, whatever the sender calls them, and the sender is told."""

    async def tale(cast: Cast) -> None:
        ana = await cast.person("ana")
        async with bot_of(cast, tmp_path / "data") as bot:
            room = await let_in(bot, ana)
            await ana.send_photo(room, b"MZ this is a program", caption="Flint moulted")
            await ana.hears(room, "could not be fetched")
            with bot.household.app.store.read() as session:
                assert photos.wanted(session, "matrix", bot.household.app.clock.now()) == []
            assert kept_files(bot) == []

    story(tale)


def test_typing_is_seen_while_an_answer_takes_long(story: Story, tmp_path: Path) -> None:
    """After a second of work the bot types, and no longer once it has answered."""

    async def tale(cast: Cast) -> None:
        ana = await cast.person("ana")
        async with bot_of(cast, tmp_path / "data") as bot:
            room = await let_in(bot, ana)
            with bot.busy():
                await ana.say(room, "fed Larches 2 crickets")
                await ana.until(lambda: ana.typing.get(room) == (bot.user_id,), PATIENCE, lambda: "the bot typing")
            await ana.hears(room, "Larches")
            await ana.until(lambda: not ana.typing.get(room), PATIENCE, lambda: "the bot being done")

    story(tale)


def kept_files(bot: Bot) -> list[bytes]:
    """The photos that the bot has kept."""
    return [path.read_bytes() for path in (bot.data / "photos").rglob("*") if path.is_file()]
