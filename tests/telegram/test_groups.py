"""Groups, topics, strangers, and those who speak as somebody else."""

from __future__ import annotations

from pathlib import Path

from bot.channels.telegram.aftermath import FACELESS
from storage import chats
from tests.telegram.bot_api import BotApi
from tests.telegram.served import Home, bot_at


def blocked(kept: Home) -> list[str]:
    with kept.household.app.store.read() as session:
        return [row.chat for row in chats.blocked(session)]


def test_a_topic_is_answered_in_its_topic(bot_api: BotApi, tmp_path: Path) -> None:
    """The answer stands in the topic and hangs on the message that it answers."""
    ann, bo = bot_api.user("Ann"), bot_api.user("Bo")
    rack = bot_api.group("Rack", ann, bo, forum=True)
    left = rack.topic("Left shelf", ann)
    with bot_at(bot_api, tmp_path / "home", ann, bo):
        said = bo.say("@rackside_test_bot fed Flint 3 crickets", rack, topic=left)
        bot_api.wait(lambda: rack.texts)
        (answer,) = rack.from_bot
        assert (answer.topic, answer.reply_to) == (left, said.id)
        assert answer.text.startswith("Written: Flint")


def test_in_private_an_answer_hangs_on_nothing(bot_api: BotApi, tmp_path: Path) -> None:
    """Between two it is plain what is answered; the chat stays calm, and an answer makes no sound."""
    ann = bot_api.user("Ann")
    with bot_at(bot_api, tmp_path / "home", ann):
        ann.say("fed Flint 3 crickets")
        bot_api.wait(lambda: ann.chat.texts)
        assert ann.chat.from_bot[0].reply_to is None
        assert bot_api.requested("sendMessage")[0]["disable_notification"] is True


def test_a_stranger_is_told_once(bot_api: BotApi, tmp_path: Path) -> None:
    """A stranger gets one line, in private or where the bot is addressed, and nothing of it is kept."""
    ann, zed = bot_api.user("Ann"), bot_api.user("Zed")
    rack = bot_api.group("Rack", ann, zed)
    with bot_at(bot_api, tmp_path / "home", ann) as kept:
        said = zed.say("/due", rack)
        zed.say("hello")
        zed.say("anybody?")
        bot_api.wait(lambda: not bot_api.pending and rack.texts)
        ann.say("fed Flint 3 crickets")
        bot_api.wait(lambda: ann.chat.texts)
        assert zed.chat.texts == []
        (line,) = rack.from_bot
        assert line.text.startswith("I do not know you yet")
        assert line.reply_to == said.id
        assert kept.received(rack, said.id) == []


def test_who_speaks_as_the_group_is_asked_for_a_face(bot_api: BotApi, tmp_path: Path) -> None:
    """An anonymous administrator is asked, once an hour, to write as somebody."""
    ann = bot_api.user("Ann")
    rack = bot_api.group("Rack", ann)
    group = {"id": rack.id, "type": "group", "title": "Rack"}
    with bot_at(bot_api, tmp_path / "home", ann):
        said = ann.post({"text": "/due", "sender_chat": group}, rack)
        ann.post({"text": "/due", "sender_chat": group}, rack)
        bot_api.wait(lambda: not bot_api.pending and rack.texts)
        ann.say("fed Flint 3 crickets")
        bot_api.wait(lambda: ann.chat.texts)
        assert [(message.text, message.reply_to) for message in rack.from_bot] == [(FACELESS, said.id)]


def test_a_group_that_moves_is_followed(bot_api: BotApi, tmp_path: Path) -> None:
    """What waits for a group reaches the supergroup that it became, which answers as before."""
    ann = bot_api.user("Ann")
    rack = bot_api.group("Rack", ann)
    with bot_at(bot_api, tmp_path / "home", ann) as kept:
        ann.say("/due@rackside_test_bot", rack)
        bot_api.wait(lambda: rack.texts)
        moved = rack.migrate(ann)
        bot_api.wait(lambda: not bot_api.pending)
        late = kept.put(rack, "said to the old chat")
        bot_api.wait(lambda: moved.texts)
        assert moved.texts == ["said to the old chat"]
        assert kept.outgoing(late).chat == str(moved.id)
        ann.say("/help@rackside_test_bot", moved)
        bot_api.wait(lambda: len(moved.texts) == 2)


def test_a_number_used_before_the_move_is_another_message_after_it(bot_api: BotApi, tmp_path: Path) -> None:
    """A supergroup numbers its messages from 1: one with the number of a message of the old group comes in all the same."""
    ann = bot_api.user("Ann")
    rack = bot_api.group("Rack", ann, announce=False)
    with bot_at(bot_api, tmp_path / "home", ann) as kept:
        before = ann.say("/due@rackside_test_bot", rack)
        bot_api.wait(lambda: rack.texts)
        moved = rack.migrate(ann)
        for _ in range(before.id):
            after = ann.say("hm", moved)  # not heard in privacy mode, but numbered
            if after.id == before.id - 1:
                break
        after = ann.say("/due@rackside_test_bot", moved)
        assert after.id == before.id
        bot_api.wait(lambda: moved.texts)
        assert len(kept.received(moved, f"s{after.id}")) == len(kept.received(moved, before.id)) == 1


def test_out_of_a_group_and_in_again(bot_api: BotApi, tmp_path: Path) -> None:
    """Thrown out, nothing is sent there; taken in again, what waited is, in topics from the first word said there."""
    ann = bot_api.user("Ann")
    rack = bot_api.group("Rack", ann, forum=True)
    left = rack.topic("Left shelf", ann)
    topic = f"{rack.id}/{left}"
    with bot_at(bot_api, tmp_path / "home", ann) as kept:
        rack.remove_bot(ann)
        bot_api.wait(lambda: blocked(kept) == [str(rack.id)])
        kept.put(rack, "to all")
        kept.put(topic, "to the topic")
        bot_api.wait(lambda: blocked(kept) == [str(rack.id), topic])
        rack.add_bot(ann)
        bot_api.wait(lambda: rack.texts == ["to all"])
        ann.say("/due@rackside_test_bot", rack, topic=left)
        bot_api.wait(lambda: rack.texts[1:] == ["to the topic"])
        assert blocked(kept) == []


def test_what_was_meant_for_a_topic_that_is_gone_goes_to_the_group(bot_api: BotApi, tmp_path: Path) -> None:
    """A topic may be deleted while something waits for it; the group still gets it."""
    ann = bot_api.user("Ann")
    rack = bot_api.group("Rack", ann, forum=True)
    with bot_at(bot_api, tmp_path / "home", ann) as kept:
        waits = kept.put(f"{rack.id}/4711", "water")
        bot_api.wait(lambda: kept.outgoing(waits).sent)
        assert [(message.text, message.topic) for message in rack.from_bot] == [("water", None)]
