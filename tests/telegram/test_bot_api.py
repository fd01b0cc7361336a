"""The fake Bot API speaks with a real `telegram.Bot`, method by method, and its answers are what the API says."""

from __future__ import annotations

import asyncio
import re
from datetime import UTC, datetime

import pytest
from telegram import (
    Bot,
    BotCommand,
    BotCommandScopeChat,
    InlineKeyboardButton,
    InlineKeyboardMarkup,
    ReplyParameters,
    Update,
)
from telegram.error import BadRequest, Conflict, InvalidToken

from tests.telegram.bot_api import BotApi, Button
from tests.telegram.bot_api.schema import PUBLISHED, fault
from tests.telegram.bot_api.server import METHODS
from tests.telegram.talking import ask, picture, talk

YES_OR_NO = InlineKeyboardMarkup(
    [[InlineKeyboardButton("yes", callback_data="y")], [InlineKeyboardButton("no", callback_data="n")]]
)


def test_every_method_answers_a_real_bot(bot_api: BotApi) -> None:
    """A telegram.Bot can use each method, and neither its requests nor the answers break a rule of the API."""
    ann = bot_api.user("Ann")
    group = bot_api.group("Rack", ann)
    ann.start()

    async def words(bot: Bot) -> None:
        me = await bot.get_me()
        assert me.username == bot_api.username
        assert me.can_read_all_group_messages is False
        assert len(await bot.get_updates(allowed_updates=Update.ALL_TYPES)) == 3
        assert await bot.set_webhook("http://127.0.0.1:9/hook", secret_token="s-1")  # noqa: S106 - made up here
        assert (await bot.get_webhook_info()).url == "http://127.0.0.1:9/hook"
        assert await bot.delete_webhook(drop_pending_updates=True)
        sent = await bot.send_message(ann.id, "fed B?", reply_markup=YES_OR_NO)
        await bot.edit_message_text("fed B.", ann.id, sent.message_id, reply_markup=YES_OR_NO)
        await bot.edit_message_reply_markup(ann.id, sent.message_id)
        ann.press(ann.chat.from_bot[0], Button("yes", "y", None))
        (update,) = await bot.get_updates()
        assert await bot.answer_callback_query(update.callback_query.id, "old")
        assert await bot.send_chat_action(ann.id, "typing")
        photo = await bot.send_photo(ann.id, picture(), caption="B today")
        await bot.send_document(ann.id, b"a,b\n", filename="journal.csv")
        file = await bot.get_file(photo.photo[-1].file_id)
        assert await file.download_as_bytearray() == bot_api.file(photo.photo[-1].file_id)
        due = [BotCommand("due", "what is due")]
        assert await bot.set_my_commands(due, scope=BotCommandScopeChat(ann.id))
        assert await bot.get_my_commands(scope=BotCommandScopeChat(ann.id)) == tuple(due)
        assert await bot.get_my_commands() == ()
        assert await bot.delete_my_commands(scope=BotCommandScopeChat(ann.id))
        assert await bot.get_my_commands(scope=BotCommandScopeChat(ann.id)) == ()
        assert (await bot.get_chat(group.id)).title == "Rack"
        assert (await bot.get_chat(ann.id)).first_name == "Ann"
        assert await bot.leave_chat(group.id)

    talk(bot_api, words)
    assert {request["method"] for request in bot_api.requests} - {"download"} == set(METHODS)
    assert bot_api.violations == []


def test_an_answer_that_the_api_does_not_know_is_found(bot_api: BotApi) -> None:
    """The fake holds its own answers and updates against the API: a date that is no number is recorded."""
    ann = bot_api.user("Ann")
    bot_api.call("setting", fixed="soon")
    ask(bot_api, "sendMessage", chat_id=ann.id, text="fed B")
    ann.say("fed B")
    rules = [(violation["rule"], violation["method"]) for violation in bot_api.violations]
    assert rules == [("answer of the fake", "sendMessage"), ("answer of the fake", "")]


def test_only_a_higher_offset_confirms(bot_api: BotApi) -> None:
    """An update comes again until an offset above it was asked for; a limit and a negative offset are kept."""
    ann = bot_api.user("Ann")
    first, second, third = (ann.say(text).update for text in ("one", "two", "three"))

    async def ids(bot: Bot, **how: int) -> list[int]:
        return [update.update_id for update in await bot.get_updates(**how)]

    async def words(bot: Bot) -> None:
        assert await ids(bot, limit=2) == [first, second]
        assert await ids(bot, offset=first) == [first, second, third]
        assert await ids(bot, offset=first + 1) == [second, third]
        assert await ids(bot) == [second, third]
        assert await ids(bot, offset=-1) == [third]
        assert await ids(bot) == [third]
        assert await ids(bot, offset=third + 1) == []

    talk(bot_api, words)


def test_a_poll_waits_for_news_and_ends_an_older_poll(bot_api: BotApi) -> None:
    """A long poll comes back with the first update; a second poll beside it ends the first with a conflict."""
    ann = bot_api.user("Ann")

    async def words(bot: Bot) -> None:
        older = asyncio.create_task(bot.get_updates(timeout=5))
        await bot_api.eventually(lambda: bot_api.requested("getUpdates"))
        async with Bot(bot_api.token, base_url=bot_api.base_url) as second:
            newer = asyncio.create_task(second.get_updates(timeout=5))
            with pytest.raises(Conflict, match="terminated by other getUpdates request"):
                await older
            ann.say("fed B")
            (update,) = await newer
            assert update.message.text == "fed B"

    talk(bot_api, words)


def test_kinds_of_updates_wanted_are_remembered(bot_api: BotApi) -> None:
    """Kinds named once hold for later polls that name none, and what was not wanted never comes."""
    ann = bot_api.user("Ann")

    async def words(bot: Bot) -> None:
        await bot.get_updates(allowed_updates=["message"])
        ann.edit(ann.say("fed B"), "fed C")
        assert [update.message.text for update in await bot.get_updates()] == ["fed B"]

    talk(bot_api, words)


def test_ids_that_began_anew_are_not_reached_by_an_old_offset(bot_api: BotApi) -> None:
    """After a quiet week an offset from before confirms nothing: the same update comes until the offset fits."""
    ann = bot_api.user("Ann")
    old = ann.say("before").update
    assert bot_api.restart_ids() < old
    new = ann.say("after").update

    async def words(bot: Bot) -> None:
        for _ in range(2):
            assert [update.update_id for update in await bot.get_updates(offset=old + 1)] == [new]
        assert await bot.get_updates(offset=new + 1) == ()

    talk(bot_api, words)


def test_a_text_is_read_as_html(bot_api: BotApi) -> None:
    """Tags become entities counted in UTF-16 units, character references become characters, the ends are trimmed."""
    ann = bot_api.user("Ann")
    html = " <b>🕷 B</b> &lt;3 <a href='https://example.org/'>sheet</a> <blockquote expandable><i>x</i></blockquote> "

    async def words(bot: Bot) -> None:
        sent = await bot.send_message(ann.id, html, parse_mode="HTML")
        assert sent.text == "🕷 B <3 sheet x"
        assert [(one.type, one.offset, one.length) for one in sent.entities] == [
            ("bold", 0, 4),
            ("text_link", 8, 5),
            ("expandable_blockquote", 14, 1),
            ("italic", 14, 1),
        ]

    talk(bot_api, words)
    assert ann.chat.from_bot[0].bold == ["🕷 B"]


def test_an_edit_changes_what_the_chat_shows(bot_api: BotApi) -> None:
    """An edit replaces text and buttons; the same content again, a stranger's message or one that is gone are refused."""
    ann = bot_api.user("Ann")
    said = ann.say("hi")

    async def words(bot: Bot) -> None:
        sent = await bot.send_message(ann.id, "fed B?", reply_markup=YES_OR_NO)
        assert ann.chat.from_bot[0].labels == ["yes", "no"]
        await bot.edit_message_text("fed B.", ann.id, sent.message_id)
        with pytest.raises(BadRequest, match=r"[Mm]essage is not modified"):
            await bot.edit_message_text("fed B.", ann.id, sent.message_id)
        with pytest.raises(BadRequest, match=r"[Mm]essage is not modified"):
            await bot.edit_message_reply_markup(ann.id, sent.message_id)
        with pytest.raises(BadRequest, match=r"[Mm]essage can't be edited"):
            await bot.edit_message_text("x", ann.id, said.id)
        with pytest.raises(BadRequest, match=r"[Mm]essage to edit not found"):
            await bot.edit_message_text("x", ann.id, sent.message_id + 1)

    talk(bot_api, words)
    (shown,) = ann.chat.from_bot
    assert (shown.text, shown.buttons, shown.edited) == ("fed B.", [], True)
    assert bot_api.violations == []


def test_a_press_reaches_the_bot_and_its_answer_the_person(bot_api: BotApi) -> None:
    """A pressed button sends its data with the message; the answer is seen; too old a press cannot be answered."""
    ann = bot_api.user("Ann")
    bo = bot_api.user("Bo")

    async def words(bot: Bot) -> None:
        await bot.send_message(ann.id, "fed B?", reply_markup=YES_OR_NO)
        press = ann.press(ann.chat.from_bot[0], "no")
        stranger = bo.press(ann.chat.from_bot[0], "yes")
        first, second = (update.callback_query for update in await bot.get_updates())
        assert (first.data, first.from_user.id, first.message.text) == ("n", ann.id, "fed B?")
        assert (second.data, second.from_user.id) == ("y", bo.id)
        assert press.answer is None
        await first.answer("not fed", show_alert=True)
        assert press.answer == {"text": "not fed", "alert": True}
        bot_api.expire_queries()
        with pytest.raises(BadRequest, match=r"[Qq]uery is too old"):
            await second.answer()
        assert stranger.answer is None
        with pytest.raises(BadRequest, match=r"[Qq]uery is too old"):
            await bot.answer_callback_query("1")

    talk(bot_api, words)
    assert bot_api.violations == []


def test_an_answer_names_the_message_it_hangs_on(bot_api: BotApi) -> None:
    """A reply carries the message; one that is gone is refused, unless the bot would send without it."""
    ann = bot_api.user("Ann")
    said, gone = ann.say("fed B"), ann.say("oops")
    ann.delete(gone)

    async def words(bot: Bot) -> None:
        sent = await bot.send_message(ann.id, "yes", reply_parameters=ReplyParameters(said.id))
        assert sent.reply_to_message.text == "fed B"
        with pytest.raises(BadRequest, match=r"[Mm]essage to be replied not found"):
            await bot.send_message(ann.id, "yes", reply_parameters=ReplyParameters(gone.id))
        lone = await bot.send_message(
            ann.id, "so", reply_parameters=ReplyParameters(gone.id, allow_sending_without_reply=True)
        )
        assert lone.reply_to_message is None

    talk(bot_api, words)
    assert [message.reply_to for message in ann.chat.from_bot] == [said.id, None]


def test_photos_and_documents_go_both_ways(bot_api: BotApi) -> None:
    """What a person sends can be downloaded and sent on by its id; what the bot sends is shown; ids must fit the kind."""
    ann = bot_api.user("Ann")
    ann.send_photo(picture(1600, 1200), "B today")
    ann.send_document(b"notes", "notes.txt")

    async def words(bot: Bot) -> None:
        photo, document = (update.message for update in await bot.get_updates())
        assert (photo.caption, [size.width for size in photo.photo]) == ("B today", [90, 320, 800, 1280])
        file = await bot.get_file(photo.photo[-1].file_id)
        assert bytes(await file.download_as_bytearray()).startswith(b"\xff\xd8")
        assert await (await bot.get_file(document.document.file_id)).download_as_bytearray() == b"notes"
        again = await bot.send_photo(ann.id, photo.photo[0].file_id)
        assert again.photo[-1].file_unique_id == photo.photo[-1].file_unique_id
        sent = await bot.send_document(ann.id, b"%PDF-", filename="labels.pdf", caption="labels")
        assert (sent.document.file_name, sent.document.mime_type) == ("labels.pdf", "application/pdf")
        await bot.send_document(ann.id, sent.document.file_id)
        with pytest.raises(BadRequest, match=r"(?i)type document as photo"):
            await bot.send_photo(ann.id, sent.document.file_id)
        with pytest.raises(BadRequest, match=r"(?i)image_process_failed"):
            await bot.send_photo(ann.id, b"not a picture")
        with pytest.raises(BadRequest, match=r"[Ww]rong file identifier"):
            await bot.send_photo(ann.id, "AgACnothing")
        with pytest.raises(BadRequest, match=r"[Ii]nvalid file_id"):
            await bot.get_file("nothing")

    talk(bot_api, words)
    assert [bool(message.photo) for message in ann.chat.from_bot] == [True, False, False]
    assert bot_api.file(ann.chat.from_bot[-1].document["file_id"]) == b"%PDF-"
    assert bot_api.violations == []


def test_a_token_must_be_the_bots(bot_api: BotApi) -> None:
    """Another token is unauthorised, a malformed one not found; files are as closed as methods."""
    other = "123456:" + "A" * 35
    assert ask(bot_api, "getMe", token=other) == {"ok": False, "error_code": 401, "description": "Unauthorized"}
    assert ask(bot_api, "getMe", token="nonsense") == {"ok": False, "error_code": 404, "description": "Not Found"}  # noqa: S106 - no token
    with pytest.raises(InvalidToken):
        talk(bot_api, lambda bot: bot.get_me(), token=other)


def test_dates_show_a_moment_that_the_test_sets(bot_api: BotApi) -> None:
    """With the clock set, messages carry that moment."""
    ann = bot_api.user("Ann")
    moment = datetime(2026, 3, 3, 19, 5, tzinfo=UTC)
    bot_api.clock(moment)
    ann.say("fed B")
    (update,) = talk(bot_api, lambda bot: bot.get_updates())
    assert update.message.date == moment


def test_the_schema_says_whence_it_comes() -> None:
    """The schema names version, source and licence, covers each method of the fake, and knows no field besides."""
    assert re.fullmatch(r"Telegram Bot API 10\.\d+ of \d{4}-\d\d-\d\d, from aiogram-[\d.]+", PUBLISHED["source"])
    assert PUBLISHED["licence"].startswith("MIT")
    assert set(PUBLISHED["methods"]) == set(METHODS)
    assert fault({"update_id": 1}, "Update") is None
    assert "mesage" in str(fault({"update_id": 1, "mesage": {}}, "Update"))
