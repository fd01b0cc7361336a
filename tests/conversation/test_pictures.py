"""Pictures asked for in talk, beside photos."""

from __future__ import annotations

import pytest

from tests.conversation.chatting import Chat


@pytest.mark.parametrize(
    ("text", "finding"),
    [
        ("picture of Marigolds' head count", "Marigolds: "),
        ("picture of Marigolds", "Marigolds: "),
        ("feeding calendar for Flint", "Flint: offered food once"),
        ("Flint", "Flint: offered food once"),
    ],
)
def test_a_picture_comes_with_its_finding(chat: Chat, text: str, finding: str) -> None:
    """As one file of the data folder, which is there."""
    chat.hear("fed Flint 3 crickets")
    told, files = chat.shown(text if " " in text else f"show me a picture of {text}")
    assert told.startswith(finding)
    assert len(files) == 1
    assert chat.desk.file(files[0]).is_file()


def test_a_photo_goes_before_a_picture(chat: Chat) -> None:
    """Where a photo is kept, "picture" means that; with what is to be drawn it does not."""
    chat.photo("fed Flint 3 crickets")
    chat.keep_photos()
    assert chat.shown("picture of Flint")[1][0].startswith("photos/")
    assert chat.shown("picture of Flint's feedings")[1][0].startswith("pictures/")
    assert chat.shown("last picture of Flint")[1][0].startswith("photos/")
    assert chat.shown("last picture of Nimbus")[0].startswith("No photo of Nimbus is kept.")


@pytest.mark.parametrize("text", ["feeding calendar for Flint", "chart of Flint's feedings", "picture of Flint"])
def test_a_picture_leaves_an_open_question_open(chat: Chat, text: str) -> None:
    """A name in it is no answer to who was meant."""
    chat.hear("fed Flint 3")
    before = chat.lines()
    chat.hear("fed 3 roaches")
    told, files = chat.shown(text)
    assert len(files) == 1
    assert told.endswith("Still open: Which one was it for?")
    assert chat.lines() == before


def test_why_after_a_picture_tells_its_entries(chat: Chat) -> None:
    """The head count that was drawn rests on counts, each in the words it came in."""
    chat.hear("counted Marigolds: 60")
    chat.shown("picture of Marigolds' head count")
    assert "“counted Marigolds: 60”" in chat.hear("why")


def test_dark_is_another_picture_of_the_same_words(chat: Chat) -> None:
    """Light unless the words say dark."""
    (told, light), (same, dark) = (chat.shown(f"{how}head count graph of Marigolds") for how in ("", "dark "))
    assert told == same
    assert light != dark
