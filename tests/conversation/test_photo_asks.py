"""Photos asked for by talking, and messages that carry what is not kept."""

from __future__ import annotations

import pytest

from tests.conversation.chatting import Chat

GROUP = {"chat": "group", "private": False, "addressed": False}


@pytest.mark.parametrize(
    ("text", "number"),
    [
        ("show me the last photo of Flint", 1),
        ("Flint's latest picture", 1),
        ("last 2 photos of Flint", 2),
        ("photo of sand tray 1", 1),
        ("can you send me the newest pics of flint please?", 3),
        ("show me the last photo", 1),
        ("do you have a picture of Flint?", 1),
    ],
)
def test_photos_are_asked_for_in_many_words(chat: Chat, text: str, number: int) -> None:
    """By an animal or its place, one or several, newest first."""
    for fed in (1, 2, 3):
        chat.photo(f"fed Flint {fed}")
    chat.keep_photos()
    told, files = chat.shown(text)
    assert len(files) == number
    assert "fed 3" in told.splitlines()[0]


@pytest.mark.parametrize(
    "text", ["took a photo of Flint", "show me Flint", "photo of Flint moulting", "fed Flint, see photo"]
)
def test_other_words_are_no_request_for_photos(chat: Chat, text: str) -> None:
    """What tells or asks something else is read as ever."""
    chat.photo("Quartz moulted")
    chat.keep_photos()
    assert chat.shown(text)[1] == []


def test_a_name_that_nobody_has_gets_a_sentence(chat: Chat) -> None:
    """An unknown name, and one of which no photo is kept."""
    assert chat.shown("show me a photo of Zed")[0].startswith("I do not know who “Zed” is")
    assert chat.shown("show me photos of Nimbus")[0].startswith("No photo of Nimbus is kept.")


def test_a_request_leaves_an_open_question_open(chat: Chat) -> None:
    """The photo comes, and the question again after it."""
    chat.photo("fed Flint 3")
    chat.keep_photos()
    chat.hear("fed 3 roaches")
    told, files = chat.shown("show me the last photo of Flint")
    assert len(files) == 1
    assert told.endswith("Still open: Which one was it for?")


@pytest.mark.parametrize(
    ("carries", "start"),
    [
        ("document", "I keep photos, not files"),
        ("voice", "I cannot listen to voice messages"),
        ("sticker", "I cannot read stickers"),
        ("other", "I keep photos and words"),
        ("unreadable", "A message of yours came that I could not read"),
    ],
)
def test_what_cannot_be_kept_gets_a_sentence(chat: Chat, carries: str, start: str) -> None:
    """Alone, or after what its words came to; overheard it gets none."""
    assert chat.hear(carries=carries).startswith(start)
    with_words = chat.hear("fed Flint 3", carries=carries).splitlines()
    assert with_words[0].startswith("Written: Flint: fed 3")
    assert with_words[-1].startswith(start)
    assert chat.hear(carries=carries, **GROUP) == ""
