"""In a group, what is said to nobody in particular is other people's talk, unless it is plainly about the animals."""

from __future__ import annotations

import pytest

from storage import questions
from tests.conversation.chatting import Chat

GROUP = {"chat": "group", "private": False, "addressed": False}


@pytest.mark.parametrize(
    "text",
    [
        "hello all",
        "what a day",
        "thanks",
        "no",
        "1",
        "who's here?",
        "how many?",
        "undo",
        "no, that was yesterday",
        "fed 3 roaches",
        "Flint",
        "...",
        "x" * 5000,
        "never mind",
        "all done",
        "my time zone is Europe/Berlin",
        "use imperial units",
        "show me the last photo",
        "is it legal to park here?",
    ],
)
def test_other_peoples_talk_is_left_alone(chat: Chat, text: str) -> None:
    """Nothing is said, asked or noted."""
    assert chat.hear(text, **GROUP) == ""
    assert chat.lines() == []
    with chat.session() as session:
        assert questions.open_questions(session, 2) == []


def test_what_is_understood_is_dealt_with(chat: Chat) -> None:
    """A log with a name, and a question about the animals, as ever."""
    assert chat.hear("fed Flint 2", **GROUP).startswith("Written: Flint: fed 2")
    assert chat.hear("when did Flint last eat", **GROUP).startswith("Flint: last feeding")
    assert chat.hear("what's due", **GROUP).startswith("Nothing is due")


def test_a_doubt_about_care_of_somebody_named_is_asked(chat: Chat) -> None:
    """With a verb of care and a name of the roster; its answer in the same chat is taken."""
    assert chat.hear("fed Flint or Quartz 2", **GROUP) == "Which one: Flint or Quartz?"
    assert chat.hear("lol", **GROUP) == ""
    assert chat.hear("Quartz", **GROUP).startswith("Written: Quartz: fed 2")


def test_idle_talk_that_is_deleted_needs_no_word(chat: Chat) -> None:
    """A deletion is answered only where the message had told something, in a group as in private."""
    chat.hear("hello all", key="idle", **GROUP)
    assert chat.hear("", deletes="idle", **GROUP) == ""
    chat.hear("fed Flint 2", key="told", **GROUP)
    assert chat.hear("", deletes="told", **GROUP).startswith("Taken back: Flint: fed 2")


def test_a_question_put_in_private_is_not_answered_in_a_group(chat: Chat) -> None:
    """A name said among people is no answer to what the bot asked elsewhere."""
    chat.hear("fed 3 roaches")
    assert chat.hear("Flint", **GROUP) == ""
    assert chat.hear("Flint").startswith("Written: Flint: fed 3 roaches")


def test_what_was_just_told_may_be_corrected(chat: Chat) -> None:
    """Within a quarter of an hour of a log of the same member a correction is taken."""
    chat.hear("fed Flint 2", **GROUP)
    assert "fed 4" in chat.hear("make that 4", **GROUP)


def test_a_bite_is_never_passed_over(chat: Chat) -> None:
    """What is for somebody's safety is said whoever it was said to."""
    assert "emergency" in chat.hear("I was bitten", **GROUP)


def test_a_message_to_the_bot_is_answered_in_a_group_too(chat: Chat) -> None:
    """Addressed, it is as in private."""
    assert chat.hear("hello", **(GROUP | {"addressed": True})).startswith("Hello.")
