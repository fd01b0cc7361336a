"""What updates of the service tell the house."""

from __future__ import annotations

from datetime import UTC, datetime
from typing import Any

import pytest
from hypothesis import given
from hypothesis import strategies as st

from bot.channels.port import DOCUMENT, OTHER, PHOTO, STICKER, UNREADABLE, VOICE, Carried, Press
from bot.channels.telegram.events import Blocked, Faceless, Moved, Unblocked
from bot.channels.telegram.updates import ALLOWED, read
from tests.telegram.raw import ANN, BOT, GROUP, ME, NOW, PRIVATE, SAID_AT, SUPERGROUP, heard, message, told

FILE = {"file_id": "F", "file_unique_id": "U"}
SIDES = {"width": 5, "height": 5}


def carried(chat: dict[str, Any] = PRIVATE, **fields: object) -> Carried:
    found = heard(chat, **fields)
    assert isinstance(found, Carried)
    return found


def test_a_text_is_carried_as_it_was_said() -> None:
    """A private message tells who said what, where, when, and under which id."""
    assert carried(text="fed B 3") == Carried(
        address="7001",
        name="Ann Reed",
        chat="7001",
        key="41",
        text="fed B 3",
        sent_at=datetime.fromtimestamp(SAID_AT, UTC),
    )


def test_an_edit_is_a_later_revision_of_its_message() -> None:
    """An edit bears the key of what it edits, and a revision that grows; even within the second it is not 0."""
    edits = [told(edited_message=message(text="fed B 4", edit_date=SAID_AT + late)) for late in (0, 1, 65)]
    assert [(edit.key, edit.edits, edit.revision) for edit in edits if isinstance(edit, Carried)] == [
        ("41", "41", 1),
        ("41", "41", 2),
        ("41", "41", 66),
    ]


def test_a_place_shared_live_is_told_once() -> None:
    """A place is something else than words; its moves, which come as edits, are passed over."""
    place = {"latitude": 1.0, "longitude": 2.0}
    assert carried(location=place).carries == OTHER
    assert told(edited_message=message(location=place, edit_date=SAID_AT + 5)) is None


def test_a_topic_is_a_chat_of_its_own() -> None:
    """A message in a topic belongs to "chat/thread", and does not answer the message that opened the topic."""
    opening = message(SUPERGROUP, message_id=5, forum_topic_created={"name": "Rack A", "icon_color": 1})
    said = carried(SUPERGROUP, text="hm", message_thread_id=5, is_topic_message=True, reply_to_message=opening)
    assert (said.chat, said.key, said.reply_to) == ("-1001234567890/5", "s41", None)
    assert (said.private, said.addressed) == (False, False)


def test_a_thread_without_topics_is_the_chat_itself() -> None:
    """In a supergroup without topics an answer bears a thread id too; it stays in the chat."""
    said = carried(SUPERGROUP, text="hm", message_thread_id=5, reply_to_message=message(SUPERGROUP, message_id=5))
    assert (said.chat, said.reply_to) == ("-1001234567890", "s5")


def test_a_photo_is_told_by_its_largest_size_that_can_be_had() -> None:
    """Of the sizes of a photo, those over 20 MB cannot be fetched; the largest of the rest is."""
    sizes = [
        {"file_id": name, "file_unique_id": f"u{name}", "width": side, "height": side, "file_size": size}
        for name, side, size in (("small", 90, 900), ("large", 800, 90_000), ("huge", 9000, 21_000_000))
    ]
    said = carried(photo=sizes, caption="B moulted", media_group_id="888")
    assert (said.carries, said.text, said.album) == (PHOTO, "B moulted", "888")
    assert said.photo == {"file_id": "large", "file_unique_id": "ularge"}


@pytest.mark.parametrize(
    ("kind", "content"),
    [
        (DOCUMENT, {"document": FILE}),
        (VOICE, {"voice": {**FILE, "duration": 2}}),
        (VOICE, {"audio": {**FILE, "duration": 2}}),
        (VOICE, {"video_note": {**FILE, "duration": 2, "length": 5}}),
        (STICKER, {"sticker": {**FILE, **SIDES, "type": "regular", "is_animated": False, "is_video": False}}),
        (OTHER, {"video": {**FILE, **SIDES, "duration": 2}}),
        (OTHER, {"animation": {**FILE, **SIDES, "duration": 2}, "document": FILE}),
        (OTHER, {"contact": {"phone_number": "1", "first_name": "Bo"}}),
        (OTHER, {"dice": {"emoji": "🎲", "value": 3}}),
        (
            OTHER,
            {"venue": {"location": {"latitude": 1.0, "longitude": 2.0}, "title": "a", "address": "b"}},
        ),
    ],
)
def test_what_comes_instead_of_words_is_named(kind: str, content: dict[str, Any]) -> None:
    """Files, voices, stickers and all else without words are carried by name, with the caption as words."""
    assert carried(**content).carries == kind
    assert carried(**content, caption="look").text == "look"
    assert carried(**content).photo is None


def test_a_forwarded_message_is_words_like_others() -> None:
    """What was forwarded counts as said by who forwarded it."""
    origin = {"type": "hidden_user", "date": SAID_AT - 900, "sender_user_name": "Bo"}
    said = carried(text="fed B 3", forward_origin=origin)
    assert (said.text, said.address, said.carries) == ("fed B 3", "7001", None)


def test_a_press_tells_what_hung_on_the_button() -> None:
    """A press bears its data, the query's id, and the message under which the button stood; the service does not date it."""
    asked = message(SUPERGROUP, text="which?", message_thread_id=5, is_topic_message=True) | {"from": BOT}
    query = {"id": "77", "from": ANN, "chat_instance": "1", "data": "abc:1"}
    assert told(callback_query={**query, "message": asked}) == Press(
        address="7001",
        name="Ann Reed",
        chat="-1001234567890/5",
        key="77",
        sent_at=NOW,
        data="abc:1",
        message_key="s41",
    )
    old = {"chat": PRIVATE, "message_id": 41, "date": 0}
    pressed = told(callback_query={**query, "message": old})
    assert isinstance(pressed, Press)
    assert (pressed.chat, pressed.message_key) == ("7001", "41")
    assert told(callback_query={**query, "inline_message_id": "x"}) is None


@pytest.mark.parametrize(
    ("standing", "event"),
    [("kicked", Blocked), ("left", Blocked), ("member", Unblocked)],
)
def test_the_bots_standing_in_a_chat_is_told(standing: str, event: type) -> None:
    """Blocked in private or thrown out of a group, and let in again."""
    for chat in (PRIVATE, GROUP):
        until = {"until_date": 0} if standing == "kicked" else {}
        change = {
            "chat": chat,
            "from": ANN,
            "date": SAID_AT,
            "old_chat_member": {"status": "member", "user": BOT},
            "new_chat_member": {"status": standing, "user": BOT, **until},
        }
        assert told(my_chat_member=change) == event(str(chat["id"]))


def test_a_group_that_becomes_a_supergroup_has_moved() -> None:
    """The old chat's last message names the new one; the new one's first says nothing more."""
    assert heard(GROUP, migrate_to_chat_id=-1001234567890) == Moved("-500", "-1001234567890")
    assert heard(SUPERGROUP, migrate_from_chat_id=-500) is None


def test_who_speaks_as_a_group_or_channel_has_no_face() -> None:
    """An anonymous administrator who speaks to the bot is noticed but not heard; who does not is passed over."""
    hidden = {"id": 1087968824, "is_bot": True, "first_name": "Group", "username": "GroupAnonymousBot"}
    assert heard(GROUP, text="/due", sender_chat=GROUP) == Faceless("-500", "41")
    assert told(message=message(GROUP, text="hm", sender_chat=GROUP) | {"from": hidden}) is None


def test_what_concerns_nobody_is_passed_over() -> None:
    """Bots, channels, messages of the service, and kinds of update that were never asked for tell nothing."""
    assert told(message=message(text="hi") | {"from": BOT}) is None
    assert heard(GROUP, new_chat_members=[ANN]) is None
    assert heard(GROUP, pinned_message=message(GROUP, text="x")) is None
    channel = {"id": -1009999999999, "type": "channel", "title": "News"}
    assert told(channel_post={"message_id": 1, "date": SAID_AT, "chat": channel, "text": "x"}) is None
    assert heard(SUPERGROUP, text="x", sender_chat=channel, is_automatic_forward=True) is None
    assert told(poll={"id": "1"}) is None
    assert told() is None


@pytest.mark.parametrize(
    "broken",
    [
        {"message_id": 41, "date": "yesterday", "chat": PRIVATE, "from": ANN, "text": "x"},
        {"from": ANN, "text": "x"},
        {"message_id": 41, "date": SAID_AT, "chat": PRIVATE, "from": ANN, "text": 7},
    ],
)
def test_of_what_cannot_be_read_the_sender_is_made_out(broken: dict[str, Any]) -> None:
    """A malformed message of somebody is carried as unreadable, under a key of its own."""
    for kind in ("message", "edited_message"):
        found = told(**{kind: broken})
        assert isinstance(found, Carried)
        assert (found.address, found.chat, found.key, found.carries) == ("7001", "7001", "update-9", UNREADABLE)
        assert (found.text, found.sent_at) == ("", NOW)


def test_what_nobody_can_be_told_of_is_dropped(caplog: pytest.LogCaptureFixture) -> None:
    """A malformed update of nobody leaves a line in the log, without what it held."""
    assert told(message={"message_id": "seven", "text": "secret words"}) is None
    assert "update 9 cannot be read" in caplog.text
    assert "secret words" not in caplog.text


_JSON = st.recursive(
    st.none() | st.booleans() | st.integers() | st.text(max_size=8),
    lambda inner: st.lists(inner, max_size=3) | st.dictionaries(st.text(max_size=8), inner, max_size=4),
    max_leaves=12,
)
_NAMES = (
    "from",
    "chat",
    "date",
    "message_id",
    "text",
    "photo",
    "reply_to_message",
    "sender_chat",
    "id",
    "data",
    "message",
)


@given(
    st.sampled_from(ALLOWED), _JSON | st.dictionaries(st.sampled_from(_NAMES), _JSON | st.just(ANN) | st.just(PRIVATE))
)
def test_reading_never_raises(kind: str, content: object) -> None:
    """Whatever the service sends, reading it gives something or nothing."""
    read({"update_id": 1, kind: content}, ME, NOW)
    read(content, ME, NOW)
