"""What people do reaches the bot as the service tells it: writing, groups and their privacy, topics, moving, blocking."""

from __future__ import annotations

from typing import TYPE_CHECKING, Any

import pytest
from telegram.error import BadRequest, ChatMigrated, Forbidden

from tests.telegram.bot_api import BotApi, Shown
from tests.telegram.talking import ask, picture, talk

if TYPE_CHECKING:
    from telegram import Bot


def told(api: BotApi) -> list[dict[str, Any]]:
    """Updates that wait for the bot, without ids."""
    return [{kind: update[kind] for kind in update if kind != "update_id"} for update in api.pending]


def test_what_people_write_comes_with_its_entities(bot_api: BotApi) -> None:
    """Commands, mentions and addresses in a text or caption are marked, in UTF-16 units."""
    ann = bot_api.user("Ann")
    ann.start("code-1")
    ann.say(f"🕷 /due@{bot_api.username} @ann_b https://example.org/a")
    marked = [
        [(entity["type"], entity["offset"], entity["length"]) for entity in update["message"]["entities"]]
        for update in bot_api.pending
    ]
    assert bot_api.pending[0]["message"]["text"] == "/start code-1"
    assert marked == [[("bot_command", 0, 6)], [("bot_command", 3, 22), ("mention", 26, 6), ("url", 33, 21)]]


def test_edits_and_replies_and_forwards_reach_the_bot(bot_api: BotApi) -> None:
    """An edit comes as the edited message, a reply carries what it answers, a forward says from whom."""
    ann, bo = bot_api.user("Ann"), bot_api.user("Bo")
    said = ann.say("fed B")
    ann.edit(said, "fed C /due")
    first = ann.say("and D", reply_to=said)
    ann.say("and E", reply_to=first)
    ann.say("old news", forwarded_from=bo)
    ann.say("older", forwarded_from="Somebody")
    _, edit, reply, second, forward, hidden = told(bot_api)
    assert edit["edited_message"]["text"] == "fed C /due"
    assert edit["edited_message"]["entities"] == [{"type": "bot_command", "offset": 6, "length": 4}]
    assert edit["edited_message"]["message_id"] == said.id
    assert reply["message"]["reply_to_message"]["text"] == "fed C /due"
    assert second["message"]["reply_to_message"]["text"] == "and D"
    assert "reply_to_message" not in second["message"]["reply_to_message"]  # one step, as the API says
    assert forward["message"]["forward_origin"]["sender_user"]["id"] == bo.id
    assert hidden["message"]["forward_origin"]["sender_user_name"] == "Somebody"
    assert [message.text for message in ann.chat.messages] == ["fed C /due", "and D", "and E", "old news", "older"]
    assert bot_api.violations == []


def test_an_album_comes_as_single_messages(bot_api: BotApi) -> None:
    """Photos of an album share its id, and the caption stands on the first."""
    ann = bot_api.user("Ann")
    ann.send_album([picture(), picture(100, 80)], "moult of B")
    first, second = (update["message"] for update in told(bot_api))
    assert first["media_group_id"] == second["media_group_id"]
    assert (first["caption"], second.get("caption")) == ("moult of B", None)
    assert [size["width"] for size in second["photo"]] == [90, 100]


def test_voice_and_stickers_and_documents_come_as_such(bot_api: BotApi) -> None:
    """Voice notes, stickers and documents are told with what the API says of them."""
    ann = bot_api.user("Ann")
    ann.send_voice()
    ann.send_sticker()
    ann.send_document(b"x", "plan.pdf", "application/pdf")
    voice, sticker, document = (update["message"] for update in told(bot_api))
    assert voice["voice"]["duration"] == 3
    assert sticker["sticker"]["emoji"] == "🕷"
    assert document["document"]["file_name"] == "plan.pdf"
    assert bot_api.violations == []


def test_privacy_mode_keeps_talk_in_groups_from_the_bot(bot_api: BotApi) -> None:
    """On, only commands for it, mentions and answers to the bot reach it; off, everything does."""
    ann, bo = bot_api.user("Ann"), bot_api.user("Bo")
    group = bot_api.group("Rack", ann, bo, announce=False)
    ask(bot_api, "sendMessage", chat_id=group.id, text="fed B?")
    question = group.from_bot[0]
    heard = [
        ann.say("fed B", group),
        ann.say("/due", group),
        ann.say(f"/due@{bot_api.username}", group),
        ann.say("/due@another_bot", group),
        ann.say(f"@{bot_api.username} fed B", group),
        bo.say("yes", group, reply_to=question),
        bo.say("hm", group, reply_to=group.messages[1].id),
        bo.send_photo(picture(), "B today", group),
    ]
    assert [said.update is not None for said in heard] == [False, True, True, False, True, True, False, False]
    bot_api.privacy(on=False)
    assert ann.say("fed B", group).update is not None
    assert ask(bot_api, "getMe")["result"]["can_read_all_group_messages"] is True


def test_a_group_that_takes_the_bot_in_says_so(bot_api: BotApi) -> None:
    """The bot is told that it was taken in, and thrown out; after that it may not send there."""
    ann = bot_api.user("Ann")
    group = bot_api.group("Rack", ann)
    group.remove_bot(ann)
    taken, joined, thrown = told(bot_api)
    assert taken["my_chat_member"]["new_chat_member"]["status"] == "member"
    assert joined["message"]["new_chat_members"][0]["username"] == bot_api.username
    assert thrown["my_chat_member"]["new_chat_member"]["status"] == "kicked"
    answer = ask(bot_api, "sendMessage", chat_id=group.id, text="x")
    assert answer["description"] == "Forbidden: bot was kicked from the group chat"
    assert ann.say("/due", group).update is None
    group.add_bot(ann)
    assert ask(bot_api, "leaveChat", chat_id=group.id)["ok"]
    answer = ask(bot_api, "sendMessage", chat_id=group.id, text="x")
    assert answer["description"] == "Forbidden: bot is not a member of the group chat"


def test_topics_part_a_supergroup(bot_api: BotApi) -> None:
    """A message in a topic carries its thread and hangs on what opened it; the bot can send into it, and into no other."""
    ann = bot_api.user("Ann")
    group = bot_api.group("Rack", ann, forum=True, announce=False)
    topic = group.topic("Spiders", by=ann)
    ann.say("/due", group, topic=topic)
    opened, asked = (update["message"] for update in told(bot_api))
    assert opened["forum_topic_created"]["name"] == "Spiders"
    assert (asked["message_thread_id"], asked["is_topic_message"]) == (topic, True)
    assert asked["reply_to_message"]["message_id"] == topic
    assert ask(bot_api, "sendMessage", chat_id=group.id, text="nothing", message_thread_id=topic)["ok"]
    assert group.from_bot[0].topic == topic
    answer = ask(bot_api, "sendMessage", chat_id=group.id, text="x", message_thread_id=topic + 50)
    assert answer["description"] == "Bad Request: message thread not found"
    assert bot_api.violations == []


def test_an_answer_in_a_supergroup_carries_a_thread_that_is_no_topic(bot_api: BotApi) -> None:
    """Without topics, an answer has the first message of its thread as thread id, and may not be sent to by it."""
    ann = bot_api.user("Ann")
    group = bot_api.group("Rack", ann, supergroup=True, announce=False)
    root = ann.say("/due", group)
    ann.say("/due", group, reply_to=root)
    answer = bot_api.pending[1]["message"]
    assert answer["message_thread_id"] == root.id
    assert "is_topic_message" not in answer
    refused = ask(bot_api, "sendMessage", chat_id=group.id, text="x", message_thread_id=root.id)
    assert refused["description"] == "Bad Request: message thread not found"


def test_a_group_that_moved_is_known_by_its_new_id(bot_api: BotApi) -> None:
    """Both chats say that the group became a supergroup; a send to the old id is told the new one."""
    ann = bot_api.user("Ann")
    group = bot_api.group("Rack", ann, announce=False)
    moved = group.migrate(by=ann)
    left, came = (update["message"] for update in told(bot_api))
    assert (left["chat"]["id"], left["migrate_to_chat_id"]) == (group.id, moved.id)
    assert (came["chat"]["id"], came["migrate_from_chat_id"]) == (moved.id, group.id)

    async def words(bot: Bot) -> None:
        with pytest.raises(ChatMigrated) as refused:
            await bot.send_message(group.id, "fed B")
        assert refused.value.new_chat_id == moved.id
        await bot.send_message(moved.id, "fed B")

    talk(bot_api, words)
    assert moved.texts == ["fed B"]
    assert bot_api.violations == []


def test_a_person_who_blocks_the_bot_hears_nothing(bot_api: BotApi) -> None:
    """Blocking and unblocking are told; between them every send is forbidden; writing again unblocks."""
    ann = bot_api.user("Ann")

    async def words(bot: Bot) -> None:
        ann.block()
        with pytest.raises(Forbidden, match="bot was blocked by the user"):
            await bot.send_message(ann.id, "due: B")
        ann.unblock()
        await bot.send_message(ann.id, "due: B")
        ann.block()
        ann.say("hello again")
        await bot.send_message(ann.id, "hello")

    talk(bot_api, words)
    states = [
        update["my_chat_member"]["new_chat_member"]["status"]
        for update in bot_api.pending
        if "my_chat_member" in update
    ]
    assert states == ["kicked", "member", "kicked", "member"]
    assert ann.chat.texts == ["due: B", "hello"]
    assert bot_api.violations == []


def test_a_stranger_cannot_be_written_to(bot_api: BotApi) -> None:
    """Somebody who never started the bot cannot be written to until they do."""
    ann = bot_api.user("Ann", stranger=True)

    async def words(bot: Bot) -> None:
        with pytest.raises(Forbidden, match="bot can't initiate conversation with a user"):
            await bot.send_message(ann.id, "hello")
        ann.start()
        await bot.send_message(ann.id, "hello")
        with pytest.raises(BadRequest, match=r"(?i)private chats"):
            await bot.leave_chat(ann.id)

    talk(bot_api, words)
    assert ann.chat.texts == ["hello"]


def test_a_chat_shows_what_the_bot_does(bot_api: BotApi) -> None:
    """Actions are seen in order, counts agree with what is shown, and messages are found by id."""
    ann = bot_api.user("Ann")
    said = ann.say("due?")
    ask(bot_api, "sendChatAction", chat_id=ann.id, action="typing")
    ask(bot_api, "sendMessage", chat_id=ann.id, text="B")
    assert ann.chat.actions == ["typing"]
    assert ann.chat.count == 2
    assert bot_api.counts == {"requests": 2, "pending": 1, "violations": 0}
    shown = ann.chat.message(said.id)
    assert (shown.text, shown.by_bot) == ("due?", False)
    assert isinstance(shown, Shown)
    assert bot_api.requested("sendMessage") == [{"chat_id": ann.id, "text": "B"}]


def test_nobody_can_write_more_than_the_service_lets_them(bot_api: BotApi) -> None:
    """A text over 4096 units cannot be written by a person either: the app parts it."""
    ann = bot_api.user("Ann")
    with pytest.raises(AssertionError, match="nobody can write a text of more than 4096"):
        ann.say("x" * 4097)


def test_links_to_the_bot_can_be_followed(bot_api: BotApi) -> None:
    """A link with a start parameter is a start with it; a link elsewhere, or a parameter that no link can carry, is a mistake."""
    ann = bot_api.user("Ann")
    ann.open(f"https://t.me/{bot_api.username}?start=B-7")
    assert bot_api.pending[0]["message"]["text"] == "/start B-7"
    with pytest.raises(AssertionError, match="does not lead to the bot"):
        ann.open("https://t.me/another_bot?start=B-7")
    with pytest.raises(AssertionError, match="no link can carry"):
        ann.start("B 7")
