"""What happens twice, or not for sure, is done once: batches that come again, and a database that cannot be written."""

from __future__ import annotations

from collections.abc import Callable, Sequence
from dataclasses import dataclass, field
from pathlib import Path

import pytest

from bot.channels.port import Carried, Parcel, Press, Taken
from bot.channels.telegram import TokenRefused
from bot.desk import Desk
from tests.patience import PATIENCE
from tests.telegram.bot_api import BotApi
from tests.telegram.served import Home, home, served, settings_for


@dataclass(frozen=True, slots=True)
class Interrupted(Desk):
    """A desk on which something happens right after messages were taken in, before the service is told."""

    happens: Callable[[], None]

    def take(self, channel: str, items: Sequence[Carried | Press], position: str | None = None) -> list[Taken]:
        taken = Desk.take(self, channel, items, position)
        self.happens()
        return taken


@dataclass(frozen=True, slots=True)
class Forgetful(Desk):
    """A desk that at first cannot write down that a message was sent."""

    failures: list[str] = field(default_factory=list)

    def sent(self, parcel: Parcel, key: str | None) -> None:
        if self.failures:
            raise OSError(self.failures.pop())
        Desk.sent(self, parcel, key)


def end_before_confirming(api: BotApi, kept: Home) -> None:
    """Serve the bot until it has taken in what is there, and end it before it tells the service so."""
    desk = Interrupted(kept.household.app, kept.folder, lambda: api.fail_next(401, method="getUpdates"))
    with pytest.raises(TokenRefused), served(kept, settings_for(api), desk) as bot:
        bot.join(PATIENCE)


def test_a_batch_that_comes_again_is_known(bot_api: BotApi, tmp_path: Path) -> None:
    """A bot that ended between the commit and the confirmation gets the same messages again, and answers each once."""
    ann = bot_api.user("Ann")
    said = [ann.say("fed Flint 3 crickets"), ann.say("fed Quartz 2 crickets")]
    with home(tmp_path / "home") as kept:
        kept.admit(ann)
        end_before_confirming(bot_api, kept)
        assert len(bot_api.pending) == 2
        with served(kept, settings_for(bot_api)):
            bot_api.wait(lambda: not bot_api.pending)
            bot_api.wait(lambda: len(ann.chat.texts) == 2)
        assert [len(kept.received(ann.chat, one.id)) for one in said] == [1, 1]
        assert kept.waiting() == []
    assert bot_api.violations == []


def test_a_batch_across_a_move_is_known_too(bot_api: BotApi, tmp_path: Path) -> None:
    """What was said in a group right before it moved is not taken for something new when it comes again after the move."""
    ann = bot_api.user("Ann")
    rack = bot_api.group("Rack", ann)
    said = ann.say("@rackside_test_bot fed Flint 3 crickets", rack)
    moved = rack.migrate(ann)
    with home(tmp_path / "home") as kept:
        kept.admit(ann)
        end_before_confirming(bot_api, kept)
        with served(kept, settings_for(bot_api)):
            bot_api.wait(lambda: not bot_api.pending)
            bot_api.wait(lambda: moved.texts)
        assert len(moved.texts) == 1
        assert kept.received(rack, said.id) == []
        assert len(kept.received(moved, said.id)) == 1
    assert bot_api.violations == []


def test_what_was_sent_is_written_down_in_the_end(bot_api: BotApi, tmp_path: Path) -> None:
    """Where it cannot be written down at once that a message was sent, it is tried again, and the message not sent twice."""
    ann = bot_api.user("Ann")
    with home(tmp_path / "home") as kept:
        desk = Forgetful(kept.household.app, kept.folder, ["disk full", "disk full"])
        waits = kept.put(ann.chat, "water")
        with served(kept, settings_for(bot_api), desk):
            bot_api.wait(lambda: kept.outgoing(waits).sent)
        assert ann.chat.texts == ["water"]
        assert kept.outgoing(waits).tries == 0
    assert bot_api.violations == []
