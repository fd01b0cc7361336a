"""Choices tapped: each question is answered once, by whom it was put to, and what hangs on nothing writes nothing."""

from __future__ import annotations

import pytest

from bot import intake
from bot.channels.port import Taken
from tests.front import BEN, CHANNEL, EVE, Front

QUESTION = "misted the sand tray"
"""There are two of them on the demo roster."""


def test_a_strangers_tap_does_nothing(front: Front) -> None:
    """Somebody in a shared group who taps a button gets a sentence; the question stays open."""
    (asked,) = front.hear(front.message(QUESTION))
    (taken,) = front.take(front.press(asked, 0, EVE))
    assert taken.inbox_id is None
    assert taken.line
    assert taken.line.startswith("I do not know you")
    (answer,) = front.hear(front.press(asked, 0))
    assert "Written: sand tray 1" in answer.reply.text


def test_a_tapped_choice_answers_its_question_once(front: Front) -> None:
    """The answer goes where the question stood; the same tap again, or another, gets a sentence and writes nothing."""
    (asked,) = front.hear(front.message(QUESTION))
    tap = front.press(asked, 0)
    (answer,) = front.hear(tap)
    assert answer.replaces == f"b{asked.id}"
    assert answer.answers is None
    assert "Written: sand tray 1" in answer.reply.text
    before = front.rows("entries")
    for again in (tap, front.press(asked, 0)):
        (taken,) = front.take(again)
        assert (taken.inbox_id, taken.line is not None) == (None, True)
    assert front.hear() == []
    assert front.rows("entries") == before


def test_of_two_quick_taps_the_second_takes_no_place(front: Front) -> None:
    """Both taps came before either was dealt with: the first answer stays where it stands, and the second is told apart from it."""
    (asked,) = front.hear(front.message(QUESTION))
    before = front.rows("entries")
    front.take(front.press(asked, 0), front.press(asked, 1))
    first, second = front.hear()
    assert "Written: sand tray 1" in first.reply.text
    assert first.replaces == f"b{asked.id}"
    assert second.replaces is None
    assert "nothing was written" in second.reply.text
    assert front.rows("entries") == before + 1


@pytest.mark.parametrize(
    "data",
    [
        "",
        ":",
        "0",
        "nonsense:0",
        "{token}:2",
        "{token}:-1",
        "{token}:x",
        "{token}",
        "{token}:" + "9" * 5000,
        "\ud800:0",
    ],
)
def test_a_tap_that_hangs_on_nothing_is_closed(front: Front, data: str) -> None:
    """An id that was never given out, a place that no choice has, or no id at all: a sentence, or silence, and nothing written."""
    (asked,) = front.hear(front.message(QUESTION))
    token = asked.buttons[0].data.rpartition(":")[0]
    before = front.rows("inbox")
    (taken,) = front.take(front.press(asked, 0, data=data.format(token=token)))
    assert taken in (Taken(line=intake.CLOSED), Taken())
    assert front.rows("inbox") == before


def test_a_tap_in_another_chat_than_its_message_is_closed(front: Front) -> None:
    """A button's id, taken elsewhere, opens nothing there."""
    (asked,) = front.hear(front.message(QUESTION))
    assert front.take(front.press(asked, 0, BEN, chat=BEN)) == [Taken(line=intake.CLOSED)]


def test_a_question_is_answered_by_whom_it_was_put_to(front: Front) -> None:
    """Another member who taps it in a group is told whose it is."""
    (asked,) = front.hear(front.message(QUESTION, chat="-5", private=False))
    (taken,) = front.take(front.press(asked, 0, BEN))
    assert taken.inbox_id is None
    assert "Ana" in (taken.line or "")


def test_a_reaction_is_a_tap_by_its_place(front: Front) -> None:
    """Where a service has reactions and no buttons, the message's own id and the place of the choice say which."""
    (asked,) = front.hear(front.message(QUESTION))
    for place in (None, 5, -1):
        assert front.take(front.press(asked, 0, data=None, message_key=f"b{asked.id}", place=place)) == [
            Taken(line=intake.CLOSED)
        ]
    (answer,) = front.hear(front.press(asked, 0, data=None, message_key=f"b{asked.id}", place=0))
    assert "Written: sand tray 1" in answer.reply.text


def test_a_tap_after_its_group_moved_is_heard(front: Front) -> None:
    """The button goes on working, whether the tap names the old chat or the new."""
    (asked,) = front.hear(front.message(QUESTION, chat="-5", private=False))
    front.desk.move_chat(CHANNEL, "-5", "-1005")
    (answer,) = front.hear(front.press(asked, 0))
    assert answer.chat == "-1005"
    assert "Written: sand tray 1" in answer.reply.text
