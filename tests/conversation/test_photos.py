"""Photos in talk: what they show, and having them shown again."""

from __future__ import annotations

from datetime import timedelta

import pytest

from bot.conversation.photo_files import path_of
from storage import labels
from tests.conversation.chatting import KEPT, Chat

FETCHED = "The photo is being fetched and will be kept with it."
WHO = "Who is on the photo?"
GROUP = {"chat": "group", "private": False, "addressed": False}


def test_a_photo_with_words_is_kept_with_what_they_tell(chat: Chat) -> None:
    """The words are dealt with as ever, and a line says what becomes of the photo."""
    assert chat.photo("fed Flint 3").splitlines()[0] == "Written: Flint: fed 3, Tue 3 Mar 2026."
    assert chat.photo("Quartz moulted").endswith(FETCHED)
    chat.keep_photos()
    assert chat.shown("show me the last photo of Flint") == (
        "Flint, Tue 3 Mar, today. Told with it: Flint: fed 3, Tue 3 Mar 2026.",
        [path_of(KEPT, "image/jpeg")],
    )


def test_a_photo_that_is_there_already_is_said_to_be_kept(chat: Chat) -> None:
    """Where the file came before the message was dealt with, the line says that it is kept."""
    message = chat.take("fed Flint 3", carries="photo", photo={"file": "1"})
    chat.keep_photos()
    assert chat.answers(message)[0].body["text"].endswith("Photo kept with it.")


def test_a_caption_that_is_a_name_is_a_note_of_it(chat: Chat) -> None:
    """A bare name tells who is on the photo; the bot does not ask what was done."""
    assert chat.photo("golds") == f"Written: Marigolds: note: “golds”, Tue 3 Mar 2026.\n{FETCHED}"


@pytest.mark.parametrize(("answer", "name"), [("Flint", "Flint"), ("golds", "Marigolds"), ("slate box", "slate box")])
def test_a_photo_alone_is_asked_about(chat: Chat, answer: str, name: str) -> None:
    """The answer is a note of who is on it, and the photo hangs on that."""
    assert chat.photo() == WHO
    assert chat.hear(answer) == f"Written: {name}: note: “photo”, Tue 3 Mar 2026.\n{FETCHED}"
    chat.keep_photos()
    assert chat.shown(f"show me the last photo of {name}") == (
        f"{name}, Tue 3 Mar, today.",
        [path_of(KEPT, "image/jpeg")],
    )


def test_a_tap_answers_who_is_on_the_photo(chat: Chat) -> None:
    """The names offered are buttons."""
    for name in ("Flint", "Quartz"):
        chat.hear(f"fed {name} 1")
    [row] = chat.say(carries="photo", photo={"file": "1"})
    assert set(row.body["choices"]) == {"Flint", "Quartz"}
    assert chat.press(row, "Quartz") == f"Written: Quartz: note: “photo”, Tue 3 Mar 2026.\n{FETCHED}"


def test_never_mind_keeps_the_photo_as_a_note_of_the_day(chat: Chat) -> None:
    """Of nobody in particular, with its caption where it had one."""
    chat.photo("look at this")
    assert chat.hear("never mind") == "The photo is kept as a note of Tue 3 Mar, today, with its words: “look at this”."
    assert chat.lines() == [("note", (), "look at this")]


def test_small_talk_with_a_photo_asks_who_is_on_it(chat: Chat) -> None:
    """The caption is kept as the words of the note."""
    assert chat.photo("look at this") == WHO
    chat.hear("Flint")
    assert chat.lines() == [("note", ("Flint",), "look at this")]


def test_a_question_with_a_photo_is_answered_and_both_are_kept(chat: Chat) -> None:
    """By a question nothing is written, so the words are kept as a note of whom they ask about, and the photo with them."""
    lines = chat.photo("when did Quartz last eat?").splitlines()
    assert lines == [
        "No feeding of Quartz is written.",
        "The photo is being fetched and will be kept with your words, as a note of Quartz.",
    ]
    assert chat.lines() == [("note", ("Quartz",), "when did Quartz last eat?")]


def test_words_that_cannot_be_followed_are_kept_with_the_photo(chat: Chat) -> None:
    """The refusal is told, and the words are a note: nothing that was said is lost."""
    text = chat.photo("counted -3 in Marigolds")
    assert text.startswith("A count of -3 cannot be right")
    assert text.endswith("will be kept with your words, as a note.")
    assert chat.lines() == [("note", (), "counted -3 in Marigolds")]


def test_a_doubt_with_a_photo_is_settled_with_the_photo(chat: Chat) -> None:
    """The photo of a message that was in doubt is kept with what the answer makes of it."""
    assert chat.photo("fed 3 roaches").splitlines()[-1] == "The photo will be kept with it."
    assert chat.hear("Nimbus").splitlines() == ["Written: Nimbus: fed 3 roaches, Tue 3 Mar 2026.", FETCHED]
    chat.keep_photos()
    assert "fed 3 roaches" in chat.shown("photo of Nimbus")[0]


def test_a_photo_in_reply_is_kept_with_what_was_told_there(chat: Chat) -> None:
    """A reply to the bot's echo, and a reply to the keeper's own message, by a correction too."""
    [echo] = chat.say("fed Flint 3", key="m1")
    expected = "The photo is being fetched and will be kept with: {}, Tue 3 Mar 2026."
    assert chat.photo(reply_to=echo.service_id) == expected.format("Flint: fed 3")
    chat.hear("no, Quartz not Flint")
    assert chat.photo(reply_to="m1") == expected.format("Quartz: fed 3")
    chat.keep_photos()
    assert len(chat.shown("last 3 photos of Quartz")[1]) == 2
    assert chat.shown("last 3 photos of Flint")[1] == []


def test_a_photo_in_reply_to_a_question_goes_with_its_answer(chat: Chat) -> None:
    """It waits with the words that are in doubt."""
    [row] = chat.say("fed 3 roaches")
    assert "“fed 3 roaches”" in chat.photo(reply_to=row.service_id)
    chat.hear("Nimbus")
    chat.keep_photos()
    assert "fed 3 roaches" in chat.shown("photo of Nimbus")[0]


def test_a_photo_soon_after_words_in_doubt_goes_with_them(chat: Chat) -> None:
    """It is not asked about by itself; with the answer to the question both are kept."""
    chat.hear("fed 3 roaches")
    assert chat.photo() == "The photo will be kept with “fed 3 roaches”.\nStill open: Which one was it for?"
    chat.hear("Nimbus")
    chat.keep_photos()
    assert "fed 3 roaches" in chat.shown("photo of Nimbus")[0]


@pytest.mark.parametrize("text", ["", "cute", "\N{SPIDER}"])
def test_before_a_label_a_photo_is_of_that_enclosure(chat: Chat, text: str) -> None:
    """Alone or with small talk it is a note of who lives there, without a question."""
    row = chat.names().place("low box")
    assert row is not None
    with chat.session() as session:
        labels.label_of(session, 1, row.id, lambda: "low")
    chat.hear("here-low")
    assert chat.photo(text).endswith(FETCHED)
    assert [line[:2] for line in chat.lines()] == [("note", ("Marigolds",))]


def test_an_album_goes_with_its_words_and_gets_one_answer(chat: Chat) -> None:
    """The words come with the first photo; the rest say nothing of their own."""
    assert chat.photo("Quartz moulted", album="a").startswith("Written: Quartz: moulted")
    assert [chat.photo(album="a"), chat.photo(album="a")] == ["", ""]
    assert len({photo.about_id for photo in chat.photos()}) == 1


def test_words_that_come_last_in_an_album_are_for_all_of_it(chat: Chat) -> None:
    """The first was asked about, which the words then answer."""
    assert [chat.photo(album="a"), chat.photo(album="a")] == [WHO, ""]
    last = chat.photo("Quartz moulted", album="a")
    assert last.startswith("Written: Quartz: moulted")
    assert len({photo.about_id for photo in chat.photos()}) == 1
    assert chat.hear("/cancel").startswith("No question is open.")


def test_an_album_that_waits_as_a_whole_is_not_asked_about(chat: Chat) -> None:
    """The words are there by the time the first is dealt with."""
    first = chat.take(carries="photo", photo={"file": "1"}, album="a")
    second = chat.take("Flint moulted", carries="photo", photo={"file": "2"}, album="a")
    assert chat.answers(first) == []
    assert "Flint: moulted" in chat.answers(second)[0].body["text"]
    assert len({photo.about_id for photo in chat.photos()}) == 1


def test_an_album_without_words_is_asked_about_once(chat: Chat) -> None:
    """The answer is for all of its photos."""
    assert [chat.photo(album="a"), chat.photo(album="a")] == [WHO, ""]
    chat.hear("Flint")
    chat.keep_photos()
    assert len(chat.shown("photos of Flint")[1]) == 2


def test_photos_sent_one_by_one_are_asked_about_together(chat: Chat) -> None:
    """The second goes with the first, of which the question stays open; hours later it would be another."""
    chat.photo()
    assert chat.photo() == f"That photo goes with the one before.\nStill open: {WHO}"
    chat.clock.pass_time(timedelta(hours=2))
    assert chat.photo() == f"The photo is kept as a note of Tue 3 Mar, today.\n{WHO}"


def test_the_words_of_an_edited_caption_count(chat: Chat) -> None:
    """A caption written afterwards answers who is on the photo."""
    chat.photo(key="m1")
    assert chat.photo("Flint moulted", key="m1", edits="m1", revision=1).startswith("Written: Flint: moulted")
    chat.keep_photos()
    assert "Flint: moulted" in chat.shown("photo of Flint")[0]


@pytest.mark.parametrize("text", ["", "fed Flint 3", "Flint", "look"])
def test_a_viewers_photo_is_refused(chat: Chat, text: str) -> None:
    """It is not fetched, and nothing is written; a question of the viewer's is answered all the same."""
    assert chat.photo(text, by="vic").endswith("so the photo was not kept.")
    assert "No feeding of Flint" in chat.photo("when did Flint last eat", by="vic")
    assert [photo.state for photo in chat.photos()] == ["lost", "lost"]
    assert chat.lines() == []


def test_undo_takes_the_photo_with_the_entry(chat: Chat) -> None:
    """What was taken back has no photo to show."""
    chat.photo("fed Flint 3")
    chat.keep_photos()
    chat.hear("undo")
    assert chat.shown("photo of Flint")[0].startswith("No photo of Flint is kept.")


def test_taking_a_photo_is_no_feeding(chat: Chat) -> None:
    """Nobody ate where a photo was taken; as a caption it tells who is on it."""
    assert chat.photo("took a photo of Flint").startswith("Written: Flint: note: “took a photo of Flint”")


def test_a_deleted_photo_is_not_kept(chat: Chat) -> None:
    """Its entry is taken back, and its file neither fetched nor shown."""
    chat.photo("fed Flint 3", key="m1")
    assert chat.hear(deletes="m1", key="gone").startswith("Taken back: Flint: fed 3")
    assert [photo.state for photo in chat.photos()] == ["lost"]


def test_overheard_photos_are_left_alone_unless_they_name_somebody(chat: Chat) -> None:
    """In a group, a photo to nobody in particular is kept only where its words are about the animals."""
    assert chat.photo(**GROUP) == ""
    assert chat.photo("what a day", **GROUP) == ""
    assert chat.photo("Flint moulted", **GROUP).endswith(FETCHED)
    assert [photo.state for photo in chat.photos()] == ["lost", "lost", "wanted"]


def test_a_file_lies_under_its_content(chat: Chat) -> None:
    """The path is made of the digest and the ending of its type; what is not known ends in "bin"."""
    del chat
    assert path_of(KEPT, "image/jpeg") == f"photos/ab/{KEPT}.jpg"
    assert path_of(KEPT, "IMAGE/PNG; q=1") == f"photos/ab/{KEPT}.png"
    assert path_of(KEPT, None) == f"photos/ab/{KEPT}.bin"
