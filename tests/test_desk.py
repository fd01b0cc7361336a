"""The desk: parcels one at a time for each chat, blocked and moved chats, photos fetched later, what the house remembers."""

from __future__ import annotations

from concurrent.futures import ThreadPoolExecutor
from datetime import timedelta
from itertools import pairwise
from pathlib import Path

import pytest

from bot.channels.port import PHOTO, Parcel, WantedPhoto
from bot.conversation.photo_files import path_of
from bot.conversation.posting import Where, bare, post
from bot.conversation.reply import Attachment, Reply
from bot.desk import HELD_FOR, Desk
from storage import inbox, outbox, photos
from tests.front import ANA, BEN, CHANNEL, Front

SECOND = timedelta(seconds=1)


def put(front: Front, text: str, chat: str = ANA) -> int:
    with front.desk.app.store.write() as session:
        made = post(session, Where(1, CHANNEL, chat), bare(Reply(text)))
    assert made is not None
    return made


def offered(front: Front) -> list[str]:
    """The texts of what is offered now; it is held afterwards."""
    return [parcel.reply.text for parcel in front.desk.parcels(CHANNEL)]


def test_a_parcel_is_the_reply_as_it_was_said(front: Front) -> None:
    """Text, choices, table, files and entries, with what it answers."""
    reply = Reply(
        "Here.", ("one", "two"), ("day",), (("3 Mar",),), ({"kind": "feeding"},), (Attachment("photos/x.jpg"),)
    )
    (taken,) = front.take(front.message("hello", key="77"))
    with front.desk.app.store.write() as session:
        message = inbox.row(session, taken.inbox_id or 0)
        post(session, Where(1, CHANNEL, ANA, message), bare(reply))
    (parcel,) = front.desk.parcels(CHANNEL)
    assert parcel.reply == reply
    assert [button.label for button in parcel.buttons] == ["one", "two"]
    assert len({button.data for button in parcel.buttons}) == 2
    assert all(len(button.data.encode()) <= 64 for button in parcel.buttons)
    assert (parcel.chat, parcel.answers, parcel.replaces) == (ANA, "77", None)
    assert (parcel.rings, parcel.mentions, parcel.tries) == (False, None, 0)


def test_the_oldest_of_each_chat_is_held_for_a_minute(front: Front) -> None:
    """What is taken is offered to nobody meanwhile, and again from the end of the minute on."""
    for text, chat in (("a1", ANA), ("a2", ANA), ("b1", BEN)):
        put(front, text, chat)
    assert offered(front) == ["a1", "b1"]
    front.clock.pass_time(HELD_FOR - SECOND)
    assert offered(front) == []
    front.clock.pass_time(SECOND)
    assert offered(front) == ["a1", "b1"]
    assert timedelta(minutes=1) == HELD_FOR


def test_sent_lets_the_next_one_of_the_chat_go(front: Front) -> None:
    """And the message is known by the service's id from then on."""
    first = put(front, "a1")
    put(front, "a2")
    (parcel,) = front.desk.parcels(CHANNEL)
    front.desk.sent(parcel, "900")
    assert offered(front) == ["a2"]
    with front.desk.app.store.read() as session:
        row = outbox.by_service_id(session, 1, CHANNEL, ANA, "900")
    assert row is not None
    assert row.id == first


def test_a_parcel_put_off_holds_its_chat_and_no_other(front: Front) -> None:
    """For so long and no longer; failures are counted, waiting is not."""
    for text, chat in (("a1", ANA), ("a2", ANA), ("b1", BEN)):
        put(front, text, chat)
    first, other = front.desk.parcels(CHANNEL)
    assert front.desk.put_off(first, 30) == 0
    front.desk.sent(other, "1")
    put(front, "b2", BEN)
    assert offered(front) == ["b2"]
    front.clock.pass_time(timedelta(seconds=29))
    assert offered(front) == []
    front.clock.pass_time(SECOND)
    (again,) = front.desk.parcels(CHANNEL)
    assert (again.reply.text, again.tries) == ("a1", 0)
    assert [front.desk.put_off(again, 0, "no answer") for _ in range(2)] == [1, 2]
    (again,) = front.desk.parcels(CHANNEL)
    assert (again.id, again.tries) == (first.id, 2)


def test_a_parcel_given_up_is_kept_with_the_reason(front: Front, caplog: pytest.LogCaptureFixture) -> None:
    """It is logged without its words, and the next one goes."""
    for text in ("a1", "a2"):
        put(front, text)
    (parcel,) = front.desk.parcels(CHANNEL)
    front.desk.give_up(parcel, "Bad Request: nobody there")
    assert offered(front) == ["a2"]
    assert "nobody there" in caplog.text
    assert "a1" not in caplog.text
    with front.desk.app.store.read() as session:
        assert [row.error for row in outbox.given_up(session, 1)] == ["Bad Request: nobody there"]


def test_looking_for_parcels_when_there_are_none_takes_no_lock(front: Front) -> None:
    """A channel may ask many times a second while another process is writing."""
    with front.desk.app.store.write() as session:
        session.connection()  # holds the writers' lock
        assert front.desk.parcels(CHANNEL) == []


def test_a_blocked_chat_is_offered_nothing_until_it_takes_messages_again(front: Front) -> None:
    """What waits goes out in its order afterwards."""
    for text in ("a1", "a2"):
        put(front, text)
    put(front, "b1", BEN)
    front.desk.block(CHANNEL, ANA)
    assert [parcel.reply.text for parcel in front.out()] == ["b1"]
    front.desk.unblock(CHANNEL, ANA)
    assert [parcel.reply.text for parcel in front.out()] == ["a1", "a2"]


def test_what_was_missed_while_blocked_comes_as_one_message(front: Front) -> None:
    """Reminders for a member who takes no messages pause, without waiting in the outbox; unblocked, there is one with all."""
    front.say("remind me to mist the low box tomorrow at 9:00")
    front.say("remind me to feed Marigolds tomorrow at 15:00")
    assert front.desk.app.sweep(CHANNEL) == 0
    front.desk.block(CHANNEL, ANA)
    for _ in range(48):
        front.clock.pass_time(timedelta(hours=1))
        front.desk.app.sweep(CHANNEL)
    assert [parcel.chat for parcel in front.out() if parcel.chat == ANA] == []
    front.desk.unblock(CHANNEL, ANA)
    front.desk.app.sweep(CHANNEL)
    pushed = [parcel for parcel in front.out() if parcel.chat == ANA]
    assert len(pushed) == 1
    assert ": mist" in pushed[0].reply.text
    assert ": feed" in pushed[0].reply.text
    assert (pushed[0].rings, pushed[0].mentions, pushed[0].answers) == (True, ANA, None)


def test_a_moved_chat_gets_what_waits_and_what_is_answered_later(front: Front) -> None:
    """Parcels that wait, and the answer to a message that came before the move, go to the new id."""
    put(front, "before", "-5")
    front.take(front.message("fed Marigolds 3 crickets", chat="-5", private=False))
    front.desk.move_chat(CHANNEL, "-5", "-1005")
    front.desk.app.work()
    assert [(parcel.chat, parcel.reply.text[:7]) for parcel in front.out()] == [
        ("-1005", "before"),
        ("-1005", "Written"),
    ]


def test_whether_a_message_is_dealt_with_is_known(front: Front) -> None:
    """Not while it waits; once it is answered, or set aside."""
    (taken,) = front.take(front.message("fed Marigolds"))
    assert taken.inbox_id is not None
    assert not front.desk.is_handled(taken.inbox_id)
    front.desk.app.work()
    assert front.desk.is_handled(taken.inbox_id)
    assert front.desk.is_handled(999)


def test_who_is_a_member_is_asked_by_channel(front: Front) -> None:
    """The same address on another service is another person."""
    assert front.desk.is_member(CHANNEL, ANA)
    assert not front.desk.is_member("matrix", ANA)
    assert not front.desk.is_member(CHANNEL, "666")


def test_the_bots_own_account_and_position_outlive_the_process(front: Front, tmp_path: Path) -> None:
    """Another desk on the same data knows them."""
    assert front.desk.position(CHANNEL) is None
    front.desk.introduce(CHANNEL, "4711", "rack_bot")
    front.take(position="17")
    other = Desk(front.desk.app, tmp_path)
    assert other.position(CHANNEL) == "17"
    assert other.position("matrix") is None


def test_the_desk_may_be_asked_from_many_threads_at_once(front: Front) -> None:
    """The same 40 messages taken in by six threads, while two more send: each is in the inbox once and each reply goes out once."""
    messages = [front.message(f"fed Marigolds {number} crickets", chat=str(number % 5)) for number in range(1, 41)]
    for number in range(20):
        put(front, f"reply {number}", f"chat {number % 4}")
    with ThreadPoolExecutor(8) as pool:
        taking = [pool.submit(front.take, message) for message in messages for _ in range(3)]
        sending = [pool.submit(front.out) for _ in range(2)]
    taken = [result for done in taking for result in done.result()]
    assert len([one for one in taken if one.inbox_id is not None]) == 40
    assert front.rows("inbox") == 40
    sent = [parcel.reply.text for done in sending for parcel in done.result()]
    assert sorted(sent) == sorted(f"reply {number}" for number in range(20))


def wanted(front: Front) -> WantedPhoto:
    """A photo that just came with a message."""
    front.hear(front.message("Marigolds", carries=PHOTO, photo={"id": "x"}))
    (found,) = front.desk.wanted_photos(CHANNEL)
    return found


def state(front: Front, photo: WantedPhoto) -> str:
    with front.desk.app.store.read() as session:
        return photos.photo(session, photo.id).state


def test_a_photo_is_kept_in_the_data_folder(front: Front) -> None:
    """Asked for with what the service wants to hear, and then no more; the file lies where replies say."""
    photo = wanted(front)
    assert photo.reference == {"id": "x"}
    front.desk.keep_photo(photo, b"a picture", "image/jpeg")
    assert front.desk.wanted_photos(CHANNEL) == []
    with front.desk.app.store.read() as session:
        row = photos.photo(session, photo.id)
    assert (row.state, row.bytes) == ("kept", 9)
    assert front.desk.file(path_of(row.digest or "", row.media_type)).read_bytes() == b"a picture"


def test_a_photo_whose_file_cannot_be_written_is_still_wanted(front: Front) -> None:
    """A disk that fails leaves no row that says the file is there."""
    photo = wanted(front)
    (front.folder / "photos").write_text("in the way")
    with pytest.raises(OSError, match="photos"):
        front.desk.keep_photo(photo, b"a picture", "image/jpeg")
    assert state(front, photo) == "wanted"


def test_a_photo_that_fails_is_tried_later_and_later_and_lost_after_about_a_day(front: Front) -> None:
    """Each pause is longer than the one before; in the end its sender is told once, in answer to the message."""
    photo = wanted(front)
    moments = []
    while state(front, photo) == "wanted":
        while not front.desk.wanted_photos(CHANNEL):
            front.clock.pass_time(max(15 * SECOND, (front.clock.now() - moments[-1]) / 20))
        moments.append(front.clock.now())
        front.desk.photo_failed(photo)
    pauses = [later - earlier for earlier, later in pairwise(moments)]
    assert pauses == sorted(set(pauses))
    assert pauses[0] <= timedelta(minutes=1)
    assert timedelta(hours=18) < moments[-1] - moments[0] < timedelta(hours=36)
    (parcel,) = front.out()
    assert parcel.reply.text == "The photo could not be fetched; please send it again."
    assert (parcel.chat, parcel.answers) == (ANA, "1")
    assert front.desk.wanted_photos(CHANNEL) == []


def test_a_photo_that_can_never_be_had_is_lost_at_once(front: Front) -> None:
    """The sender is told, however often the channel says so."""
    photo = wanted(front)
    front.desk.photo_failed(photo, for_good=True)
    front.desk.photo_failed(photo, for_good=True)
    assert state(front, photo) == "lost"
    assert [parcel.reply.text for parcel in front.out()] == ["The photo could not be fetched; please send it again."]


def test_a_parcel_takes_the_place_of_a_message_only_where_that_was_sent(front: Front) -> None:
    """Where the service has no id for what was to be replaced, the answer is a message of its own."""
    asked = put(front, "Which?")
    with front.desk.app.store.write() as session:
        outbox.put(session, 1, CHANNEL, ANA, None, {"text": "Done"}, replaces=asked)
    first: Parcel = front.desk.parcels(CHANNEL)[0]
    front.desk.give_up(first, "no")
    (answer,) = front.desk.parcels(CHANNEL)
    assert (answer.reply.text, answer.replaces) == ("Done", None)
