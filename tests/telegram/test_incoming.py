"""Messages on their way in: fetched, committed, and only then confirmed."""

from __future__ import annotations

import asyncio
import time
from collections.abc import Sequence
from dataclasses import dataclass, field
from pathlib import Path

import pytest

from bot.channels.port import UNREADABLE, Carried, Press, Taken
from bot.channels.telegram import TokenRefused, Unreachable, me
from bot.channels.telegram.updates import ALLOWED
from bot.desk import Desk
from storage import chats
from tests.patience import PATIENCE, STOP_GRACE
from tests.telegram.bot_api import BotApi, Serving
from tests.telegram.served import bot_at, home, served, settings_for
from tests.telegram.talking import ask

WRONG_TOKEN = "4839574812:AAFD39kkdpWt3ywyRZergyOLMaJhac60zzz"  # noqa: S105 - of nobody


@dataclass(frozen=True, slots=True)
class Faltering(Desk):
    """A desk whose first takes fail, as those of a database that cannot be written do."""

    failures: list[str] = field(default_factory=list)

    def take(self, channel: str, items: Sequence[Carried | Press], position: str | None = None) -> list[Taken]:
        if self.failures:
            raise OSError(self.failures.pop())
        return Desk.take(self, channel, items, position)


def test_a_message_is_answered_and_confirmed(bot_api: BotApi, tmp_path: Path) -> None:
    """What a member writes is written down and answered, and the service told that we have it."""
    ann = bot_api.user("Ann")
    with bot_at(bot_api, tmp_path / "home", ann) as kept:
        said = ann.say("fed Flint 3 crickets")
        bot_api.wait(lambda: ann.chat.texts)
        bot_api.wait(lambda: not bot_api.pending)
        assert ann.chat.texts[0].startswith("Written: Flint: fed 3 crickets")
        assert [row.text for row in kept.received(ann.chat, said.id)] == ["fed Flint 3 crickets"]
    polls = bot_api.requested("getUpdates")
    assert "offset" not in polls[0]
    assert polls[-1]["offset"] == (said.update or 0) + 1
    assert all(poll["allowed_updates"] == list(ALLOWED) for poll in polls)


def test_nothing_is_confirmed_that_was_not_committed(bot_api: BotApi, tmp_path: Path) -> None:
    """Where the house cannot take a batch, the same batch is asked for again, and its messages come in once."""
    ann = bot_api.user("Ann")
    said = [ann.say(f"Flint note {number}") for number in range(3)]
    with home(tmp_path / "home") as kept:
        kept.admit(ann)
        faltering = Faltering(kept.household.app, kept.folder, ["disk full"])
        with served(kept, settings_for(bot_api), faltering, working=False):
            bot_api.wait(lambda: not faltering.failures)
            assert len(bot_api.pending) == 3
            bot_api.wait(lambda: not bot_api.pending)
        assert [len(kept.received(ann.chat, one.id)) for one in said] == [1, 1, 1]
    assert not [poll for poll in bot_api.requested("getUpdates")[:2] if "offset" in poll]


def test_a_malformed_update_keeps_no_other_out(bot_api: BotApi, tmp_path: Path) -> None:
    """The messages before and after it are handled, and its sender learns that it could not be read."""
    ann = bot_api.user("Ann")
    first = ann.say("fed Flint 3 crickets")
    sender = {"id": ann.id, "is_bot": False, "first_name": "Ann"}
    broken = {"message_id": "x", "from": sender, "chat": {"id": ann.id, "type": "private"}, "date": "now"}
    number = bot_api.inject(message=broken)
    bot_api.inject(message={"message_id": 7})
    last = ann.say("fed Quartz 2 crickets")
    with bot_at(bot_api, tmp_path / "home", ann) as kept:
        bot_api.wait(lambda: len(ann.chat.texts) == 3)
        assert kept.received(ann.chat, f"update-{number}")[0].carries == UNREADABLE
        assert len(kept.received(ann.chat, first.id)) == len(kept.received(ann.chat, last.id)) == 1
        assert bot_api.pending == []


def test_an_edit_supersedes_what_was_written(bot_api: BotApi, tmp_path: Path) -> None:
    """To edit a message is to correct it."""
    ann = bot_api.user("Ann")
    with bot_at(bot_api, tmp_path / "home", ann) as kept:
        said = ann.say("fed Flint 3 crickets")
        bot_api.wait(lambda: ann.chat.texts)
        ann.edit(said, "fed Flint 4 crickets")
        bot_api.wait(lambda: len(ann.chat.texts) == 2)
        assert "4 crickets" in ann.chat.texts[1]
        assert [row.revision > 0 for row in kept.received(ann.chat, said.id)] == [False, True]


def test_ids_that_begin_anew_are_followed(bot_api: BotApi, tmp_path: Path) -> None:
    """After a quiet week the service numbers its updates anew, below the last; none is missed."""
    ann = bot_api.user("Ann")
    with bot_at(bot_api, tmp_path / "home", ann):
        ann.say("fed Flint 3 crickets")
        bot_api.wait(lambda: not bot_api.pending and ann.chat.texts)
        bot_api.restart_ids()
        ann.say("fed Quartz 2 crickets")
        bot_api.wait(lambda: len(ann.chat.texts) == 2)
        bot_api.wait(lambda: not bot_api.pending)


def test_a_second_fetcher_is_named_in_the_log(
    bot_api: BotApi, tmp_path: Path, caplog: pytest.LogCaptureFixture
) -> None:
    """Where somebody else polls, the log says so in a sentence, and the bot goes on."""
    ann = bot_api.user("Ann")
    with bot_at(bot_api, tmp_path / "home", ann):
        bot_api.wait(lambda: bot_api.requested("getUpdates"))
        assert ask(bot_api, "getUpdates")["ok"]
        bot_api.wait(lambda: "Only one program may do that" in caplog.text)
        ann.say("fed Flint 3 crickets")
        bot_api.wait(lambda: ann.chat.texts)


def test_a_refused_token_ends_the_channel_with_a_sentence(bot_api: BotApi, tmp_path: Path) -> None:
    """The channel ends and says what to check; neither it nor `me` repeats the token."""
    settings = settings_for(bot_api, token=WRONG_TOKEN)
    with home(tmp_path / "home") as kept, pytest.raises(TokenRefused) as ended, served(kept, settings) as bot:
        bot.join(PATIENCE)
    with pytest.raises(TokenRefused) as asked:
        asyncio.run(me(settings))
    for fault in (ended.value, asked.value):
        assert "RACKSIDE_TELEGRAM_TOKEN_FILE" in str(fault)
        assert WRONG_TOKEN not in repr(fault)
        assert fault.__suppress_context__


def test_a_token_withdrawn_later_ends_the_channel_too(bot_api: BotApi, tmp_path: Path) -> None:
    """A poll that is answered 401 ends it; the messages stay with the service."""

    def withdraw() -> float:
        bot_api.wait(lambda: bot_api.requested("getUpdates"))
        bot_api.fail_next(401, method="getUpdates")
        bot_api.user("Ann").say("fed Flint 3 crickets")
        return PATIENCE

    with home(tmp_path / "home") as kept, pytest.raises(TokenRefused), served(kept, settings_for(bot_api)) as bot:
        bot.join(withdraw())
    assert len(bot_api.pending) == 1


def test_who_the_bot_is_can_be_asked(bot_api: BotApi) -> None:
    """`me` gives id and name, or a sentence that says why not."""
    assert asyncio.run(me(settings_for(bot_api))) == (4839574812, "rackside_test_bot")
    bot_api.fail_next(500, method="getMe")
    with pytest.raises(Unreachable, match=f"cannot be reached at {bot_api.address}: "):
        asyncio.run(me(settings_for(bot_api)))


def test_the_bot_waits_for_a_service_that_is_away(tmp_path: Path, caplog: pytest.LogCaptureFixture) -> None:
    """Started before the service can be reached, it comes up when that can be."""
    with Serving() as gone:
        settings = settings_for(gone)
    with home(tmp_path / "home") as kept, served(kept, settings):
        gone.wait(lambda: "cannot be reached" in caplog.text)
        with Serving(gone.port) as back:
            back.wait(lambda: back.requested("getUpdates"))
        assert caplog.text.count(settings.token.reveal()) == 0


def test_the_bot_can_be_stopped_while_the_service_is_away(tmp_path: Path) -> None:
    """A stop is heeded before the service was ever reached."""
    with Serving() as gone:
        settings = settings_for(gone)
    with home(tmp_path / "home") as kept:
        began = time.monotonic()
        with served(kept, settings):
            pass
        assert time.monotonic() - began < STOP_GRACE


def test_the_bot_says_who_it_is_and_offers_its_commands(bot_api: BotApi, tmp_path: Path) -> None:
    """At the start its account is kept, a webhook of earlier days taken down, and the menu set for each kind of chat."""
    assert ask(bot_api, "setWebhook", url="http://127.0.0.1:9/old")["ok"]
    with bot_at(bot_api, tmp_path / "home") as kept:
        bot_api.wait(lambda: len(bot_api.requested("setMyCommands")) == 3 and bot_api.requested("getUpdates"))
        with kept.household.app.store.read() as session:
            found = chats.account(session, "telegram")
        assert found is not None
        assert (found.address, found.name) == ("4839574812", "rackside_test_bot")
    assert bot_api.webhook["url"] == ""
    offered = {
        wish["scope"]["type"]: [one["command"] for one in wish["commands"]]
        for wish in bot_api.requested("setMyCommands")
    }
    assert offered == {
        "default": ["start", "help"],
        "all_private_chats": ["start", "help", "settings", "due", "undo", "cancel"],
        "all_group_chats": ["due", "undo", "help"],
    }


def test_a_menu_that_cannot_be_set_harms_nothing(
    bot_api: BotApi, tmp_path: Path, caplog: pytest.LogCaptureFixture
) -> None:
    """The failure is in the log, and messages are answered."""
    bot_api.fail_next(500, method="setMyCommands", times=3)
    ann = bot_api.user("Ann")
    with bot_at(bot_api, tmp_path / "home", ann):
        ann.say("fed Flint 3 crickets")
        bot_api.wait(lambda: ann.chat.texts)
        bot_api.wait(lambda: caplog.text.count("menu of commands could not be set") == 3)
