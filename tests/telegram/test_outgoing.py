"""Messages on their way out: paced, tried again where that helps, and never in each other's way."""

from __future__ import annotations

import time
from pathlib import Path

import pytest

from bot.channels.telegram import outcomes, postman
from storage import chats, outbox
from tests.patience import STOP_GRACE
from tests.telegram.bot_api import BotApi
from tests.telegram.served import Home, bot_at, home, served, settings_for


def blocked(kept: Home) -> list[str]:
    with kept.household.app.store.read() as session:
        return [row.chat for row in chats.blocked(session)]


def tried(kept: Home, outbox_id: int, times: int) -> None:
    """Let a message look as if it had been refused so often."""
    with kept.household.app.store.write() as session:
        for _ in range(times):
            outbox.put_off(session, outbox_id, kept.household.app.clock.now(), "refused")


def sent(kept: Home, *ids: int) -> bool:
    return all(kept.outgoing(one).sent for one in ids)


@pytest.fixture
def hasty(monkeypatch: pytest.MonkeyPatch) -> None:
    """The pause after a first failure is short."""
    monkeypatch.setattr(outcomes, "FIRST", 0.3)


@pytest.mark.slow
def test_a_flooded_chat_holds_no_other_up(bot_api: BotApi, tmp_path: Path) -> None:
    """429 for one chat is kept for that chat alone; it counts as no failure, and nothing is lost or out of order."""
    ann, bo = bot_api.user("Ann"), bot_api.user("Bo")
    with bot_at(bot_api, tmp_path / "home", ann, bo) as kept:
        bot_api.wait(lambda: bot_api.requested("getUpdates"))
        ann.chat.flood(0.9)
        late = [kept.put(ann.chat, f"late {number}") for number in (1, 2)]
        early = [kept.put(bo.chat, f"early {number}") for number in (1, 2)]
        bot_api.wait(lambda: sent(kept, *early))
        assert not any(kept.outgoing(one).sent for one in late)
        bot_api.wait(lambda: sent(kept, *late))
        assert bo.chat.texts == ["early 1", "early 2"]
        assert ann.chat.texts == ["late 1", "late 2"]
        assert kept.outgoing(late[0]).tries == 0
    # That the told wait was kept to is among the rules of the service, of which none was broken.
    assert [request["status"] for request in bot_api.requests if request["method"] == "sendMessage"].count(429) == 1


@pytest.mark.slow
def test_a_flood_in_one_topic_holds_the_group(bot_api: BotApi, tmp_path: Path) -> None:
    """The service counts a group with all its topics as one chat, and so does the bot when told to wait."""
    ann = bot_api.user("Ann")
    rack = bot_api.group("Rack", ann, forum=True)
    topics = [rack.topic(name, ann) for name in ("Left", "Middle", "Right")]
    with bot_at(bot_api, tmp_path / "home", ann) as kept:
        bot_api.wait(lambda: bot_api.requested("getUpdates"))
        rack.flood(0.9)
        ids = [kept.put(f"{rack.id}/{topic}", "water") for topic in topics]
        bot_api.wait(lambda: sent(kept, *ids))
        assert sorted(str(message.topic) for message in rack.from_bot) == sorted(map(str, topics))


@pytest.mark.slow
def test_the_limits_of_the_service_are_kept(bot_api: BotApi, tmp_path: Path) -> None:
    """Many messages at once come in order within each chat, and none meets a refusal."""
    people = [bot_api.user(f"P{number}") for number in range(12)]
    bot_api.limits()
    with bot_at(bot_api, tmp_path / "home", *people) as kept:
        ids = [kept.put(person.chat, f"{number}") for number in range(4) for person in people]
        bot_api.wait(lambda: sent(kept, *ids))
        assert all(person.chat.texts == ["0", "1", "2", "3"] for person in people)
    statuses = [request["status"] for request in bot_api.requests if request["method"] == "sendMessage"]
    assert statuses == [200] * len(ids)


def test_to_who_blocked_the_bot_nothing_is_sent(bot_api: BotApi, tmp_path: Path) -> None:
    """What waits for them waits on, without a request, and is sent when they let the bot write again."""
    ann = bot_api.user("Ann")
    with bot_at(bot_api, tmp_path / "home", ann) as kept:
        ann.block()
        bot_api.wait(lambda: blocked(kept) == [str(ann.id)])
        waits = kept.put(ann.chat, "morning")
        time.sleep(0.5)
        assert bot_api.requested("sendMessage") == []
        ann.unblock()
        bot_api.wait(lambda: sent(kept, waits))
        assert blocked(kept) == []


def test_who_never_wrote_is_written_to_once_they_do(bot_api: BotApi, tmp_path: Path) -> None:
    """A refusal to be written to shuts the chat; the first word said there opens it."""
    ann = bot_api.user("Ann", stranger=True)
    with bot_at(bot_api, tmp_path / "home", ann) as kept:
        waits = kept.put(ann.chat, "morning")
        bot_api.wait(lambda: blocked(kept) == [str(ann.id)])
        assert kept.outgoing(waits).tries == 0
        ann.say("fed Flint 3 crickets")
        bot_api.wait(lambda: len(ann.chat.texts) == 2)
        assert ann.chat.texts[0] == "morning"


def test_a_chat_that_moved_unheard_is_followed(bot_api: BotApi, tmp_path: Path) -> None:
    """Where the service names a new chat in answer to a send, the message goes there."""
    ann = bot_api.user("Ann")
    rack = bot_api.group("Rack", ann)
    moved = rack.migrate(ann)
    bot_api.restart_ids()  # what told of it is gone
    with bot_at(bot_api, tmp_path / "home", ann) as kept:
        waits = kept.put(rack, "water the shelf")
        bot_api.wait(lambda: moved.texts == ["water the shelf"])
        bot_api.wait(lambda: sent(kept, waits))
        assert kept.outgoing(waits).tries == 0


@pytest.mark.usefixtures("hasty")
def test_a_service_out_of_order_is_tried_again(bot_api: BotApi, tmp_path: Path) -> None:
    """After an error of the service the message goes out a little later, once, with what was tried written down."""
    ann, bo = bot_api.user("Ann"), bot_api.user("Bo")
    bot_api.fail_next(502, method="sendMessage")
    with bot_at(bot_api, tmp_path / "home", ann, bo) as kept:
        waits = kept.put(ann.chat, "water")
        bot_api.wait(lambda: kept.outgoing(waits).tries == 1)
        other = kept.put(bo.chat, "feed")
        bot_api.wait(lambda: sent(kept, waits, other))
        assert ann.chat.texts == ["water"]
        assert "out of order" in str(kept.outgoing(waits).error)


@pytest.mark.usefixtures("hasty")
def test_a_lost_answer_is_marked_as_such(bot_api: BotApi, tmp_path: Path) -> None:
    """Where the connection breaks after delivery the message may come twice, and the outbox says that it may."""
    ann = bot_api.user("Ann")
    bot_api.drop_next()
    with bot_at(bot_api, tmp_path / "home", ann) as kept:
        waits = kept.put(ann.chat, "water")
        bot_api.wait(lambda: sent(kept, waits))
        assert ann.chat.texts == ["water", "water"]
        assert "it may have arrived" in str(kept.outgoing(waits).error)


def test_what_is_refused_for_good_is_given_up(bot_api: BotApi, tmp_path: Path) -> None:
    """At the third refusal a message is given up with the service's reason, and the next one of the chat goes out."""
    ann = bot_api.user("Ann")
    with home(tmp_path / "home") as kept:
        kept.admit(ann)
        refused, after = kept.put(ann.chat, " \n "), kept.put(ann.chat, "feed")
        nowhere = kept.put("12345", "nobody")
        tried(kept, refused, 2)
        with served(kept, settings_for(bot_api)):
            bot_api.wait(lambda: sent(kept, after))
            bot_api.wait(lambda: kept.outgoing(nowhere).tries == 1)
        assert kept.outgoing(refused).given_up
        assert "text is empty" in str(kept.outgoing(refused).error)
        assert not kept.outgoing(nowhere).given_up


def test_markup_that_the_service_cannot_read_is_left_out(
    bot_api: BotApi, tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    """Should our HTML ever be wrong, the words go out plain."""
    monkeypatch.setattr(postman, "html_for", lambda parcel: f"<b>{parcel.reply.text}")
    ann = bot_api.user("Ann")
    with home(tmp_path / "home") as kept, served(kept, settings_for(bot_api)):
        waits = kept.put(ann.chat, "3 < 4 & 5")
        bot_api.wait(lambda: sent(kept, waits))
        assert ann.chat.texts == ["3 < 4 & 5"]
    assert {broken["rule"] for broken in bot_api.violations} == {"bad HTML"}


def test_what_is_on_its_way_at_the_stop_is_delivered(bot_api: BotApi, tmp_path: Path) -> None:
    """The channel ends in time and leaves nothing half done: what it had begun to send is marked as sent."""
    ann = bot_api.user("Ann")
    bot_api.slow_next(0.6, method="sendMessage")
    with home(tmp_path / "home") as kept:
        waits = kept.put(ann.chat, "water")
        with served(kept, settings_for(bot_api)):
            bot_api.wait(lambda: bot_api.requested("sendMessage"))
            assert not kept.outgoing(waits).sent
            began = time.monotonic()
        assert time.monotonic() - began < STOP_GRACE
        assert sent(kept, waits)
        assert ann.chat.texts == ["water"]


def test_only_a_push_makes_a_sound(bot_api: BotApi, tmp_path: Path) -> None:
    """What comes unasked rings, in a group with the one whom it is for; an answer does not."""
    ann = bot_api.user("Ann")
    rack = bot_api.group("Rack", ann)
    with bot_at(bot_api, tmp_path / "home", ann) as kept:
        ids = kept.put(rack, "Feed Flint.", push=True, to=str(ann.id)), kept.put(ann.chat, "done")
        bot_api.wait(lambda: sent(kept, *ids))
        sound = {one["chat_id"]: not one["disable_notification"] for one in bot_api.requested("sendMessage")}
        assert sound == {rack.id: True, ann.id: False}
        named = [one for one in rack.from_bot[0].raw["entities"] if one["type"] == "text_link"]
        assert [one["url"] for one in named] == [f"tg://user?id={ann.id}"]


def test_a_table_has_its_heading_in_bold_and_links_no_preview(bot_api: BotApi, tmp_path: Path) -> None:
    """The heading stands out; an address in the words is shown as it is, without a picture of what is there."""
    ann = bot_api.user("Ann")
    with bot_at(bot_api, tmp_path / "home", ann) as kept:
        table = kept.put(ann.chat, "Feedings:\n3 Mar: 3 <big>", header=["day"], rows=[["3 Mar"]])
        bot_api.wait(lambda: sent(kept, table))
        assert ann.chat.from_bot[0].bold == ["Feedings:"]
        assert ann.chat.texts == ["Feedings:\n3 Mar: 3 <big>"]
        assert bot_api.requested("sendMessage")[0]["link_preview_options"] == {"is_disabled": True}


@pytest.mark.slow
def test_what_waits_for_its_turn_at_the_stop_is_left_to_the_next_start(bot_api: BotApi, tmp_path: Path) -> None:
    """A message that may not go yet is handed back, so that after a restart it need not wait until it counts as lost."""
    ann = bot_api.user("Ann")
    with home(tmp_path / "home") as kept:
        ids = [kept.put(ann.chat, f"{number}") for number in range(4)]
        with served(kept, settings_for(bot_api)):
            bot_api.wait(lambda: sent(kept, *ids[:3]))
        assert not sent(kept, ids[3])
        with served(kept, settings_for(bot_api)):
            bot_api.wait(lambda: sent(kept, ids[3]))
        assert ann.chat.texts == ["0", "1", "2", "3"]
