"""What was said to the bot, and whether it was said to the bot at all."""

from __future__ import annotations

import pytest

from bot.channels.port import Carried
from bot.channels.telegram.words import without_name
from tests.telegram.raw import ANN, BOT, GROUP, ME, heard, message

AT = f"@{ME.username}"


@pytest.mark.parametrize(
    ("said", "text", "addressed"),
    [
        ("fed B 3", "fed B 3", False),
        ("/due", "/due", True),
        (f"/due{AT}", "/due", True),
        (f"/due{AT.upper()} B", "/due B", True),
        (f"{AT} fed B 3", "fed B 3", True),
        (f"{AT}, fed B 3", "fed B 3", True),
        (f"fed B 3 {AT}", "fed B 3", True),
        (f"is B due, {AT}?", "is B due?", True),
        (f"ask {AT} about B", f"ask {AT} about B", True),
        (f"{AT}2 fed B 3", f"{AT}2 fed B 3", False),
        ("either/or", "either/or", False),
    ],
)
def test_in_a_group_a_command_or_the_name_speaks_to_the_bot(said: str, text: str, *, addressed: bool) -> None:
    """Commands and the bot's name address it; its name is taken out where it stands first or last."""
    found = heard(GROUP, text=said)
    assert isinstance(found, Carried)
    assert (found.text, found.addressed, found.private) == (text, addressed, False)


def test_a_command_for_another_bot_is_none_of_ours() -> None:
    """A command that names another bot tells nothing."""
    assert heard(GROUP, text="/due@other_bot") is None


def test_an_answer_to_the_bot_speaks_to_it() -> None:
    """To answer the bot's message is to address it; to answer somebody else is not."""
    to_bot = heard(GROUP, text="3", reply_to_message=message(GROUP, text="how many?") | {"from": BOT, "message_id": 40})
    to_ann = heard(GROUP, text="3", reply_to_message=message(GROUP, text="hm") | {"from": ANN, "message_id": 40})
    assert isinstance(to_bot, Carried)
    assert isinstance(to_ann, Carried)
    assert (to_bot.addressed, to_bot.reply_to) == (True, "40")
    assert (to_ann.addressed, to_ann.reply_to) == (False, "40")


def test_in_private_everything_is_said_to_the_bot() -> None:
    """A private message addresses the bot; its name is taken out there too."""
    found = heard(text=f"{AT} fed B 3")
    assert isinstance(found, Carried)
    assert (found.text, found.addressed, found.private) == ("fed B 3", True, True)


def test_a_caption_is_words_too() -> None:
    """The bot's name in a caption addresses it."""
    found = heard(GROUP, caption=f"{AT} B moulted", document={"file_id": "F", "file_unique_id": "U"})
    assert isinstance(found, Carried)
    assert (found.text, found.addressed) == ("B moulted", True)


def test_the_name_alone_leaves_no_words() -> None:
    """A message that is only the bot's name has no words left, but was meant for it."""
    assert without_name(AT, ME.username) == ("", True)
    assert without_name("a@rackside_test_bot.example", ME.username)[1] is False
