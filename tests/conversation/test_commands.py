"""Commands are a second way to say what plain words say."""

from __future__ import annotations

import re
from pathlib import Path

import pytest

from bot.app import SetClock, build
from storage.store import Store
from tests import databases
from tests.conversation.chatting import NOW, Chat


@pytest.mark.parametrize(
    ("command", "words"),
    [
        ("/help", "what can you do"),
        ("/due", "what's due"),
        ("/due Marigolds", "what's due for Marigolds"),
        ("/cancel", "never mind"),
        ("/undo", "undo"),
        ("/when did Flint last eat", "when did Flint last eat"),
    ],
)
def test_a_command_says_what_plain_words_say(chat: Chat, command: str, words: str) -> None:
    """Both get the same answer, with nothing open and nothing written."""
    assert chat.hear(command) == chat.hear(words) != ""


def test_undo_takes_back_and_says_what(chat: Chat) -> None:
    """/undo takes back what was written last."""
    chat.hear("fed Flint 2")
    assert chat.hear("/undo").startswith("Taken back: Flint: fed 2")
    assert chat.lines() == []


def test_cancel_drops_an_open_question_and_says_when_there_is_none(chat: Chat) -> None:
    """After a question /cancel keeps the words as a note; without one it says so."""
    chat.hear("fed 3 roaches")
    assert chat.hear("/cancel") == "Kept your words as a note: “fed 3 roaches”."
    assert chat.hear("/cancel").startswith("No question is open.")


def test_cancel_in_a_question_about_due_is_no_answer(chat: Chat) -> None:
    """A command that asks leaves the open question open, and says so."""
    chat.hear("fed 3 roaches")
    assert "Still open: Which one was it for?" in chat.hear("/due")
    assert chat.hear("Flint").startswith("Written: Flint: fed 3 roaches")


def test_a_slash_before_plain_words_is_dropped(chat: Chat) -> None:
    """“/fed Flint 3” is a feeding, and its words are kept without the slash."""
    assert chat.hear("/fed Flint 3").startswith("Written: Flint: fed 3")
    assert chat.lines() == [("feeding", ("Flint",), "fed Flint 3")]
    assert chat.hear("/note the fan hums").startswith("Written: note: “the fan hums”")


@pytest.mark.parametrize("text", ["/foo", "/foo bar", "/", "//", "/ /"])
def test_an_unknown_command_gets_the_commands_there_are(chat: Chat, text: str) -> None:
    """Nothing is written, and the sentence names the commands."""
    assert "/help, /settings, /due, /undo and /cancel" in chat.hear(text)
    assert chat.lines() == []


def test_start_on_an_empty_roster_says_how_to_begin(tmp_path: Path) -> None:
    """With nothing on the roster /start gives a first sentence to say, and that sentence works."""
    store = Store.open(databases.of(tmp_path / "data"))
    app = build(store, SetClock(NOW))
    app.prepare("Europe/Lisbon")
    greeting = app.say("owner", "/start")[0].text
    assert "Nothing is on the roster yet." in greeting
    first = next(line.strip() for line in greeting.splitlines() if line.strip().startswith("add "))
    assert app.say("owner", first)[0].text.startswith("Added group B")
    assert "Nothing is on the roster" not in app.say("owner", "/start")[0].text
    store.close()


def test_start_with_something_unknown_is_a_greeting(chat: Chat) -> None:
    """A member who opens the chat by some link is greeted."""
    assert chat.hear("/start whatever").startswith("Hello Ana.\nTell me")


def test_settings_say_all_and_each_sentence_given_there_works(chat: Chat) -> None:
    """One message tells zone, units, times, quiet hours, role and members; what it offers to say changes just that."""
    text = chat.hear("/settings")
    assert "Time zone: Europe/Dublin, where it is 19:05." in text
    assert "Morning list: at 08:00." in text
    assert "Quiet hours: none." in text
    assert "You are Ana, an owner." in text
    assert "- Ben, keeper, on telegram" in text
    offered = [words for words in re.findall("“([^”]+)”", text) if "NAME" not in words]
    assert len(offered) == 10
    for words in offered:
        assert "wrote nothing" not in chat.hear(words), words
    after = chat.hear("/settings")
    assert "Time zone: Europe/Lisbon" in after
    assert "Units: imperial. “use metric units”" in after
    assert "Morning list: not sent. “morning list again” changes that." in after
    for words in re.findall("“([^”]+ again)”", after):
        assert chat.hear(words).startswith("I send you: ")
    assert "not sent" not in chat.hear("/settings")


def test_settings_of_a_viewer_tell_the_role(chat: Chat) -> None:
    """A viewer may see the settings, and change what is sent to the viewer alone."""
    assert "You are Vic, a viewer." in chat.hear("/settings", by="vic")
    assert "morning list at 07:30" in chat.hear("morning list at 7:30", by="vic")


@pytest.mark.parametrize(
    "words", ["my time zone is Europe/Berlin", "use imperial units", "add tub 9", "RR means roach"]
)
def test_a_viewer_changes_nothing_that_is_shared(chat: Chat, words: str) -> None:
    """Zone, units, roster and taught words are refused to a viewer, with a slash before them too."""
    for text in (words, f"/{words}"):
        assert chat.hear(text, by="vic").startswith("You may ask here but not write")


def test_an_edited_command_counts_anew(chat: Chat) -> None:
    """“/fed Flint 3” edited to “/fed Flint 4” is one feeding, of four."""
    chat.hear("/fed Flint 3", key="m1")
    assert "Corrected, now: Flint: fed 4" in chat.hear("/fed Flint 4", key="m1", edits="m1", revision=1)
    assert len(chat.lines()) == 1


def test_what_begins_like_a_label_is_plain_words(chat: Chat) -> None:
    """“here-and-now” is no label's code."""
    assert "label" not in chat.hear("here-and-now we rest")
