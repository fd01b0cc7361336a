"""A bare "why" is asked of the answer just given, or of the one it replies to."""

from __future__ import annotations

from datetime import timedelta
from pathlib import Path

import pytest

from tests.conversation.chatting import Chat
from tests.reminders.house import House


@pytest.fixture
def house(tmp_path: Path) -> House:
    """Group B, of which three died, and group D."""
    opened = House(tmp_path / "data")
    opened.say("lost 3 in B")
    return opened


@pytest.mark.parametrize("question", ["survival of B", "how many in B", "compare B with D"])
@pytest.mark.parametrize("why", ["why", "why?", "how do you know"])
def test_why_after_an_answer_lists_what_it_rests_on(house: House, question: str, why: str) -> None:
    """The entries with the words in which they came."""
    house.say(question)
    said = house.say(why).text
    assert said.startswith("group B rests on 1 entry:")
    assert "3 died: “lost 3 in B” (told Mon 2 Mar, today" in said


def test_why_of_a_size_and_of_crowding(house: House) -> None:
    """Each goes by its own entries."""
    house.say("measured 3 of B: 12 13 14mm")
    house.say("how big are B")
    assert "legspan 13 mm: “measured 3 of B: 12 13 14mm”" in house.say("why").text
    house.say("tub 4 is 30x20x15 cm")
    house.say("12 hides in tub 4")
    house.say("how crowded is B")
    said = house.say("why").text
    assert "“12 hides in tub 4”" in said
    assert "“lost 3 in B”" in said


def test_why_long_after_is_of_what_is_due(house: House) -> None:
    """After a quarter of an hour, or after something else, it leans on nothing."""
    house.say("survival of B")
    house.clock.pass_time(timedelta(minutes=20))
    assert "rests on" not in house.say("why").text
    house.say("survival of B")
    house.say("fed B 3 roaches")
    assert "rests on" not in house.say("why").text


def test_why_with_a_name_is_of_that_name(house: House) -> None:
    """And not of the last answer."""
    house.say("survival of B")
    assert "group D" in house.say("why is D due").text


def test_why_in_reply_to_an_answer(chat: Chat) -> None:
    """However much was said since."""
    chat.hear("lost 3 golds")
    [row] = chat.say("survival of the golds")
    chat.hear("fed the golds 3 roaches")
    assert "“lost 3 golds”" in chat.hear("why", reply_to=f"out {row.id}")
