"""One collection from Telegram, Matrix and the terminal at once: what one tells the others know, and a question stays where it was put."""

from __future__ import annotations

import pytest

from tests.front import Front

ANN = "@ann:example.org"
ROOM = "!den:example.org"
MATRIX = "matrix"


@pytest.fixture
def everywhere(front: Front) -> Front:
    """Ana on Telegram, Ann on Matrix, and the owner at the terminal."""
    front.let_in(ANN, "Ann", "keeper", channel=MATRIX)
    return front


def on_matrix(front: Front, text: str) -> str:
    (parcel,) = front.hear(front.message(text, ANN, chat=ROOM), channel=MATRIX)
    assert parcel.chat == ROOM
    return parcel.reply.text


def at_terminal(front: Front, text: str) -> str:
    (reply,) = front.household.say(text)
    return reply.text


def test_what_one_tells_shows_in_the_answers_of_the_others(everywhere: Front) -> None:
    """A feeding from each is the last one for the two others, wherever they ask."""
    asked = "when did Flint last eat"
    everywhere.say("fed Flint 1 cricket")
    assert "fed 1 cricket" in on_matrix(everywhere, asked)
    assert "fed 1 cricket" in at_terminal(everywhere, asked)
    on_matrix(everywhere, "fed Flint 2 waxworms")
    assert "fed 2 waxworms" in everywhere.say(asked)
    at_terminal(everywhere, "fed Flint 3 roaches")
    assert "fed 3 roaches" in everywhere.say(asked)
    assert "fed 3 roaches" in on_matrix(everywhere, asked)


def test_a_question_is_answered_where_it_was_put(everywhere: Front) -> None:
    """What others say meanwhile on other channels answers nothing; the one who was asked does, there."""
    assert everywhere.say("misted the sand tray") == "Which one: sand tray 1 or sand tray 2?"
    before = everywhere.rows("entries")
    for heard in (on_matrix(everywhere, "sand tray 2"), at_terminal(everywhere, "sand tray 2")):
        assert not heard.startswith("Written")
    assert everywhere.rows("entries") == before
    assert "Written: sand tray 1" in everywhere.say("sand tray 1")


def test_nobody_hears_the_replies_to_others(everywhere: Front) -> None:
    """A reply goes to the channel and chat of its message, and nowhere else."""
    everywhere.take(everywhere.message("fed Flint"), channel="telegram")
    everywhere.take(everywhere.message("fed Quartz", ANN, chat=ROOM), channel=MATRIX)
    everywhere.desk.app.work()
    (there,), (here,) = everywhere.out(MATRIX), everywhere.out("telegram")
    assert "Quartz" in there.reply.text
    assert "Flint" in here.reply.text
    assert everywhere.household.pushes() == []
