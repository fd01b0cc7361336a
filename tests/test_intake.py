"""What comes in: each message once, edits that change something, nothing of strangers, and no message keeps another out."""

from __future__ import annotations

from datetime import timedelta

import pytest

from bot.channels.port import PHOTO, Taken
from storage import chats, inbox, outbox, photos
from storage.faults import StorageFault
from storage.inbox import InboxRow
from tests.front import ANA, BEN, CHANNEL, EVE, Front

HOUR = timedelta(hours=1)
SECRET_WORDS = "zanzibar-marmalade"  # noqa: S105 - words that a stranger says


def revisions(front: Front, key: str, chat: str = ANA) -> list[InboxRow]:
    with front.desk.app.store.read() as session:
        return inbox.revisions(session, 1, CHANNEL, chat, key)


def test_a_message_is_in_the_inbox_once_however_often_it_is_delivered(front: Front) -> None:
    """In the same batch, in later ones, and after it was handled; only the first says that there is something to do."""
    message = front.message("fed Marigolds 3 crickets")
    taken = [*front.take(message, message), *front.take(message)]
    front.desk.app.work()
    taken += front.take(message)
    assert [one.inbox_id is not None for one in taken] == [True, False, False, False]
    assert all(one.line is None for one in taken)
    assert len(revisions(front, message.key)) == 1
    assert front.desk.app.work() == 0


def test_a_message_is_kept_as_it_came(front: Front) -> None:
    """Every part of it, and whose it is, in the collection of the member."""
    message = front.message(
        "look",
        BEN,
        chat="-5",
        private=False,
        addressed=False,
        reply_to="b7",
        carries=PHOTO,
        album="al",
        photo={"id": "x"},
    )
    front.take(message)
    (row,) = revisions(front, message.key, "-5")
    assert (row.channel, row.text, row.reply_to, row.carries, row.album) == (CHANNEL, "look", "b7", PHOTO, "al")
    assert (row.overheard, row.sent_at, row.revision, row.pressed) == (True, message.sent_at, 0, None)
    assert row.member_id == 3
    with front.desk.app.store.read() as session:
        assert [one.reference for one in photos.of_message(session, row.id)] == [{"id": "x"}]


def test_a_photo_is_wanted_once(front: Front) -> None:
    """Neither the same message again nor an edit of its caption asks for the file a second time."""
    message = front.message("Marigolds", carries=PHOTO, photo={"id": "x"})
    edit = front.message("Saffron", key=message.key, edits=message.key, revision=9, carries=PHOTO, photo={"id": "x"})
    front.take(message, message, edit)
    assert front.rows("photos") == 1


def edited(
    front: Front, *texts: str, first: str = "fed Marigolds 3 crickets", revision: int = 1_770_000_000
) -> list[str]:
    """What is kept of a message that is then edited to each of these texts within the same second."""
    message = front.message(first)
    front.take(message)
    for text in texts:
        front.take(front.message(text, key=message.key, edits=message.key, revision=revision))
    kept = revisions(front, message.key)
    assert [row.id for row in kept] == sorted(row.id for row in kept)
    assert len({row.revision for row in kept}) == len(kept)
    return [row.text for row in kept[1:]]


def test_two_edits_within_a_second_are_both_kept(front: Front) -> None:
    """They bear the same number from the service; each with other words counts, in the order they came."""
    assert edited(front, "fed Marigolds 4 crickets", "fed Marigolds 5 crickets", "x") == [
        "fed Marigolds 4 crickets",
        "fed Marigolds 5 crickets",
        "x",
    ]


def test_the_same_edit_delivered_again_is_kept_once(front: Front) -> None:
    """Right away, and after another edit within the same second."""
    assert edited(front, "4", "4", "5", "4", "5") == ["4", "5"]


def test_an_edit_that_changes_no_word_is_none(front: Front) -> None:
    """As a service tells when it adds a preview of a link: no row, nothing to do, no reply."""
    assert edited(front, "fed Marigolds", first="fed Marigolds") == []
    front.hear()
    message = front.message("fed Marigolds 3 crickets")
    assert len(front.hear(message)) == 1
    again = front.message(message.text, key=message.key, edits=message.key, revision=5)
    assert front.take(again) == [Taken()]
    assert front.hear(again) == []


def test_going_back_to_the_first_words_is_an_edit(front: Front) -> None:
    """In the same second as well."""
    assert edited(front, "other words", "first words", first="first words") == ["other words", "first words"]


def test_an_edit_supersedes_what_was_told(front: Front) -> None:
    """The entry is told anew by the edited words, in a talk with the real reader."""
    message = front.message("fed Marigolds 3 crickets")
    front.hear(message)
    (parcel,) = front.hear(
        front.message("fed Marigolds 4 crickets", key=message.key, edits=message.key, revision=1_770_000_000)
    )
    assert "4 crickets" in parcel.reply.text
    said = front.say("when did Marigolds last eat")
    assert "4 crickets" in said
    assert "3 crickets" not in said


def test_an_edit_under_a_key_of_its_own_is_kept_by_that_key(front: Front) -> None:
    """A service whose edits are events of their own delivers each once by that id."""
    front.take(front.message("fed", key="$a"), channel="matrix")
    front.let_in("@ana:example.org", "Ana", "owner", "matrix")
    front.take(front.message("fed", "@ana:example.org", key="$a"), channel="matrix")
    edit = front.message("fed", "@ana:example.org", key="$b", edits="$a")
    taken = front.take(edit, edit, channel="matrix")
    assert [one.inbox_id is not None for one in taken] == [True, False]


def test_a_stranger_is_told_once_an_hour(front: Front) -> None:
    """One polite line, then nothing for an hour, then one again; nothing goes into the inbox or the outbox."""
    told = []
    for minutes in (0, 1, 58, 1, 1):
        front.clock.pass_time(timedelta(minutes=minutes))
        (taken,) = front.take(front.message(SECRET_WORDS, EVE))
        assert taken.inbox_id is None
        told.append(taken.line is not None)
    assert told == [True, False, False, True, False]
    assert (front.rows("inbox"), front.rows("outbox")) == (0, 0)


def test_a_stranger_in_a_group_is_told_only_when_the_bot_is_spoken_to(front: Front) -> None:
    """What strangers say to others in a shared group is passed over without a word."""
    aside = front.message(SECRET_WORDS, EVE, chat="-5", private=False, addressed=False)
    assert front.take(aside) == [Taken()]
    (taken,) = front.take(front.message(SECRET_WORDS, EVE, chat="-5", private=False))
    assert taken.line


def test_nothing_that_a_stranger_says_is_in_the_data(front: Front) -> None:
    """Not the words, not the name, not a caption, not a photo's reference: in no byte of any file, log included."""
    more = {"name": "Evelyn Quux", "carries": PHOTO, "photo": {"id": SECRET_WORDS}, "reply_to": SECRET_WORDS}
    front.take(front.message(SECRET_WORDS, EVE, **more))
    front.take(front.message(SECRET_WORDS, EVE, chat="-5", private=False, addressed=False, **more))
    message = front.message(SECRET_WORDS, EVE)
    front.take(front.message(SECRET_WORDS, EVE, key=message.key, edits=message.key, revision=4))
    front.take(front.message("known words", ANA))
    written = front.bytes_written()
    assert b"known words" in written
    for words in (SECRET_WORDS, "Evelyn", "Quux"):
        assert words.encode() not in written


def test_one_message_that_cannot_be_taken_in_keeps_no_other_out(
    front: Front, monkeypatch: pytest.MonkeyPatch, caplog: pytest.LogCaptureFixture
) -> None:
    """It is logged, nothing half of it stays, and those before and after it come in, with the position."""
    receive = inbox.receive

    def fall_over(session: object, message: inbox.Incoming) -> int | None:
        taken = receive(session, message)  # type: ignore[arg-type]
        if message.text == "bad":
            raise ValueError("no such thing")
        return taken

    monkeypatch.setattr(inbox, "receive", fall_over)
    items = [front.message(text) for text in ("one", "bad", "two")]
    taken = front.take(*items, position="9")
    assert [one.inbox_id is not None for one in taken] == [True, False, True]
    assert [len(revisions(front, item.key)) for item in items] == [1, 0, 1]
    assert front.desk.position(CHANNEL) == "9"
    assert "could not be taken in" in caplog.text


def test_a_database_that_fails_takes_neither_messages_nor_position(
    front: Front, monkeypatch: pytest.MonkeyPatch
) -> None:
    """Messages and position are one transaction: where it cannot be finished the service is to deliver them all again."""
    front.take(front.message("one"), position="1")

    def full(*_arguments: object) -> None:
        raise StorageFault("The disk is full.")

    monkeypatch.setattr(chats, "keep_position", full)
    with pytest.raises(StorageFault):
        front.take(front.message("two"), position="2")
    monkeypatch.undo()
    assert front.rows("inbox") == 1
    assert front.desk.position(CHANNEL) == "1"


@pytest.mark.parametrize("text", ["", "\x00", "\ud800 lone", "🕷️" * 5000, "\n" * 9000, "join-", "/start join-zzz"])
def test_whatever_a_member_says_is_kept(front: Front, text: str) -> None:
    """Text of any kind comes in, character by character, and gets an answer or silence but no apology."""
    message = front.message(text)
    parcels = front.hear(message)
    assert [row.text for row in revisions(front, message.key)] == [text]
    assert all("Something went wrong" not in parcel.reply.text for parcel in parcels)


def test_a_private_message_opens_a_blocked_chat_and_a_group_message_does_not_open_the_private_one(front: Front) -> None:
    """Whoever writes in the private chat takes messages there again."""
    front.block_since_now(ANA)
    front.take(front.message("hello", chat="-5", private=False))
    assert _blocked(front) == [ANA]
    front.take(front.message("hello"))
    assert _blocked(front) == []


def _blocked(front: Front) -> list[str]:
    with front.desk.app.store.read() as session:
        return [row.chat for row in chats.blocked(session)]


def test_a_reply_finds_the_message_of_a_moved_group(front: Front) -> None:
    """What is said in answer to the bot's echo, after the group moved, amends that entry."""
    (echo,) = front.hear(front.message("fed Marigolds 3 crickets", chat="-5", private=False))
    front.desk.move_chat(CHANNEL, "-5", "-1005")
    with front.desk.app.store.read() as session:
        assert outbox.by_service_id(session, 1, CHANNEL, "-1005", f"b{echo.id}") is not None
    said = front.say("it was 4", chat="-1005", private=False, reply_to=f"b{echo.id}")
    assert "4 crickets" in said
