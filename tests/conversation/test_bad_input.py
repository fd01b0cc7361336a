"""Whatever is typed gets a clear sentence or becomes a note; nothing is lost, and the next message works."""

from __future__ import annotations

import pytest

from bot.language.meaning import Entry
from storage import inbox
from tests.conversation.room import TODAY, Room, fed, log

ODD = {
    "empty": "",
    "blanks": " \n\t ",
    "control characters": "\x01\x02\x1b[2J\x7f",
    "NUL": "\x00",
    "a lone surrogate": "\ud83d",
    "emoji alone": "🕷️🕷️",
    "punctuation": "?!",
    "right-to-left": "\u202eأطعمت ب",
    "private use": "\ue000\U000fffff",
}


@pytest.mark.parametrize("text", ODD.values(), ids=ODD.keys())
def test_odd_text_gets_a_sentence_and_the_next_message_works(room: Room, text: str) -> None:
    """No odd text is an error or an entry; it is kept in the inbox as it came."""
    reply = room.say(text, key="odd")
    assert reply.text
    assert "wrong" not in reply.text
    assert room.entries() == []
    with room.app.store.read() as session:
        kept = inbox.find(session, 1, "console", "owner", "odd")
    assert kept is not None
    assert (kept.text, kept.state) == (text, "done")
    assert room.say("fed B", log(fed("group B"))).text.startswith("Written")


@pytest.mark.parametrize("words", ["counted -3 in B", "-3 in B", "\u22123 B"])
def test_a_count_below_nothing_is_refused(room: Room, words: str) -> None:
    """A minus that a reader passes over is seen all the same; a dash in a range is none."""
    assert "A count of -3 cannot be right" in room.say(words, log(counted())).text
    assert room.entries() == []
    assert room.say("counted 2-3 in B", log(counted())).text.startswith("Written")


def counted() -> Entry:
    return Entry("count", ("group B",), TODAY, fields={"count": [3, 3]})


def test_a_hundred_thousand_characters_are_kept_as_a_note(room: Room) -> None:
    """A text far too long to be read is kept word for word, and the keeper is told."""
    text = "fed B 3 roaches, " * 5_883
    reply = room.say(text)
    assert "100,0" in reply.text
    assert "word for word" in reply.text
    assert len(reply.text) < 300
    assert [(row.kind, row.words) for row in room.entries()] == [("note", text)]
    assert room.say("fed B", log(fed("group B"))).text.startswith("Written")


def test_control_characters_among_words_do_not_reach_the_reader(room: Room) -> None:
    """A stray control character or half a surrogate pair is a blank to the reader; the entry keeps the words as they came."""
    room.told.meanings["fed B"] = log(fed("group B"))
    room.say("fed\x00B\ud83d")
    assert [row.words for row in room.entries()] == ["fed\x00B\ud83d"]
