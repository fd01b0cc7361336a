"""What is shown and written on the side: the typing indicator, and no token anywhere."""

from __future__ import annotations

import logging
import time
from pathlib import Path
from typing import TYPE_CHECKING

from bot.channels.telegram import outcomes
from storage import inbox
from tests.telegram.bot_api import BotApi, Said
from tests.telegram.served import Home, bot_at, home, served, settings_for
from tests.telegram.talking import picture

if TYPE_CHECKING:
    import pytest


def finish(kept: Home, said: Said) -> None:
    """Let a message have been handled."""
    (row,) = kept.received(said.chat, said.id)
    with kept.household.app.store.write() as session:
        inbox.mark_done(session, row.id)


def test_who_is_answered_at_once_sees_no_typing(bot_api: BotApi, tmp_path: Path) -> None:
    """An answer within a second is shown without ado."""
    ann = bot_api.user("Ann")
    with home(tmp_path / "home") as kept:
        kept.admit(ann)
        with served(kept, settings_for(bot_api), working=False):
            said = ann.say("fed Flint 3 crickets")
            bot_api.wait(lambda: kept.received(ann.chat, said.id))
            finish(kept, said)
            time.sleep(1.3)
            assert ann.chat.actions == []


def test_who_waits_sees_that_the_bot_is_at_work(bot_api: BotApi, tmp_path: Path) -> None:
    """Where an answer takes over a second the bot shows that it types, in the topic too, and not for what it overheard."""
    ann = bot_api.user("Ann")
    bot_api.privacy(on=False)
    rack, shed = bot_api.group("Rack", ann, forum=True), bot_api.group("Shed", ann)
    left = rack.topic("Left shelf", ann)
    with home(tmp_path / "home") as kept:
        kept.admit(ann)
        with served(kept, settings_for(bot_api), working=False):
            ann.say("fed Flint 3 crickets")
            ann.say("fed Quartz 2 crickets")
            ann.say("/due", rack, topic=left)
            ann.say("nice weather", shed)
            bot_api.wait(lambda: ann.chat.actions and rack.actions)
            assert (ann.chat.actions, rack.actions, shed.actions) == (["typing"], ["typing"], [])
        shown = [one.get("message_thread_id") for one in bot_api.requested("sendChatAction")]
        assert sorted(shown, key=str) == [left, None]
    assert bot_api.violations == []


def test_the_token_is_nowhere(
    bot_api: BotApi, tmp_path: Path, caplog: pytest.LogCaptureFixture, monkeypatch: pytest.MonkeyPatch
) -> None:
    """Whatever goes wrong, the token stands in no log, however much is logged, and in no file of the data folder."""
    monkeypatch.setattr(outcomes, "FIRST", 0.3)
    caplog.set_level(logging.DEBUG)
    ann = bot_api.user("Ann")
    bot_api.fail_next(502, method="getMe")
    with bot_at(bot_api, tmp_path / "home", ann):
        ann.say("fed Flint 3 crickets")
        ann.send_photo(picture(), "Flint ate")
        bot_api.drop_next()
        bot_api.fail_next(500, method="getUpdates")
        bot_api.fail_next(401, method="getFile")
        bot_api.wait(lambda: len(ann.chat.texts) >= 2)
        bot_api.wait(lambda: "could not be fetched now" in caplog.text)
    assert "trying again" in caplog.text
    number, secret = bot_api.token.split(":")
    assert secret not in caplog.text
    kept = [path for path in tmp_path.rglob("*") if path.is_file()]
    assert kept
    assert not [path for path in kept if secret.encode() in path.read_bytes()]
    assert number.isdecimal()
