"""Chats exported as JSON: a desktop client's, and a Matrix room's events."""

from __future__ import annotations

import json
from datetime import UTC, datetime, timedelta
from typing import Any

import pytest
from hypothesis import given
from hypothesis import strategies as st

from bot.moving.chat_exports import is_account, is_events, is_messages, read_events, read_messages, refuse_account
from bot.moving.told import ImportFault, Told
from tests.moving.incoming import SAMPLES, ZONE

WREN = {"from": "Wren", "from_id": "user501"}


def message(**more: Any) -> dict[str, Any]:  # noqa: ANN401 - any field
    return {"id": 1, "type": "message", "date": "2026-02-03T19:40:10", **WREN, "text": "fed Basalt", **more}


def event(**more: Any) -> dict[str, Any]:  # noqa: ANN401 - as above
    plain = {"type": "m.room.message", "event_id": "$1", "sender": "@wren:example.org", "origin_server_ts": 0}
    return {**plain, "content": {"msgtype": "m.text", "body": "fed Basalt"}, **more}


def only(told: tuple[Told, ...]) -> Told:
    (one,) = told
    return one


@given(st.datetimes(datetime(1971, 1, 1), datetime(2100, 1, 1), timezones=st.just(UTC)))  # noqa: DTZ001 - the zone is drawn beside
def test_unix_times_are_the_moments_that_datetime_says(at: datetime) -> None:
    """Seconds in one form, milliseconds in the other, since 1970 in UTC (POSIX, and the Matrix specification)."""
    seconds = (at - datetime(1970, 1, 1, tzinfo=UTC)) // timedelta(seconds=1)
    milliseconds = (at - datetime(1970, 1, 1, tzinfo=UTC)) // timedelta(milliseconds=1)
    told = only(read_messages({"messages": [message(date_unixtime=str(seconds))]}).told)
    assert told.at == at.replace(microsecond=0)
    assert only(read_events([event(origin_server_ts=milliseconds)]).told).at == at.replace(
        microsecond=at.microsecond // 1000 * 1000
    )


def test_a_day_without_a_count_of_seconds_is_what_the_clock_showed() -> None:
    """Older exports have the local date alone: it is of the zone that the import is told."""
    told = only(read_messages({"messages": [message()]}).told)
    assert told.at == datetime(2026, 2, 3, 19, 40, 10)  # noqa: DTZ001 - a wall clock
    assert told.moment(ZONE) == datetime(2026, 2, 3, 19, 40, 10, tzinfo=UTC)  # Lisbon keeps UTC in winter


def test_a_text_in_pieces_is_one_text() -> None:
    """Pieces are texts, or objects that hold one."""
    pieces = ["fed ", {"type": "mention", "text": "@basalt"}, " 1 cricket"]
    assert only(read_messages({"messages": [message(text=pieces)]}).told).text == "fed @basalt 1 cricket"


def test_what_is_no_message_of_words_is_counted() -> None:
    """Service lines, forwarded messages and pictures; a caption is a message."""
    found = read_messages(
        {
            "messages": [
                message(type="service", text=""),
                message(forwarded_from="Ola"),
                message(photo="a.jpg", text=""),
                message(photo="b.jpg", text="Basalt moulted"),
                message(text=" "),
            ]
        }
    )
    assert only(found.told).text == "Basalt moulted"
    assert dict(found.left_out) == {
        "lines of the service itself": 1, "forwarded messages": 1, "pictures and other files": 2, "messages without words": 1,
    }  # fmt: skip


@pytest.mark.parametrize(
    ("broken", "why"),
    [
        ("words", "it is no JSON object"),
        ({**message(), "date": "soon"}, "'soon' is no time"),
        ({**message(), "date_unixtime": "soon"}, "invalid literal"),
        ({**message(), "text": 4}, "neither a text nor a list"),
        ({name: value for name, value in message().items() if name != "id"}, 'the field "id" is missing'),
    ],
)
def test_a_message_that_cannot_be_used_is_named_and_the_others_are_read(broken: object, why: str) -> None:
    """By its place in the file."""
    found = read_messages({"messages": [broken, message()]})
    assert len(found.told) == 1
    assert found.unreadable[0].startswith("message 1: ")
    assert why in found.unreadable[0]


def test_the_last_words_of_an_edited_event_count() -> None:
    """The specification's `m.replace`: by the same sender, the latest; another's does not count."""

    def edit(body: str, at: int, sender: str = "@wren:example.org") -> dict[str, Any]:
        relation = {"rel_type": "m.replace", "event_id": "$1"}
        fresh = {"msgtype": "m.text", "body": body}
        content = {**fresh, "body": f"* {body}", "m.new_content": fresh, "m.relates_to": relation}
        return event(event_id=f"${body}", sender=sender, origin_server_ts=at, content=content)

    edits = [edit("third", 3), edit("second", 2), edit("false", 4, "@ola:example.org")]
    assert only(read_events([event(), *edits]).told).text == "third"


def test_an_answer_holds_its_own_words_and_the_key_of_what_it_answers() -> None:
    """What clients put before it for those that know no answers is taken off (`m.in_reply_to`, the reply fallback)."""
    content = {
        "msgtype": "m.text",
        "body": "> <@ola:example.org> how many?\n\n4 crickets",
        "m.relates_to": {"m.in_reply_to": {"event_id": "$0"}},
    }
    told = only(read_events([event(content=content)]).told)
    assert (told.text, told.reply_to, told.key) == ("4 crickets", "id $0", "id $1")
    answer = only(read_messages({"messages": [message(reply_to_message_id=7)]}).told)
    assert answer.reply_to == "id 7"


def test_events_without_words_are_counted_or_named() -> None:
    """Deleted ones have no content left, pictures no words; what is encrypted cannot be read, and that is said."""
    picture = event(content={"msgtype": "m.image", "body": "jar.jpg"})
    found = read_events(
        [event(content={}), picture, event(type="m.room.member", state_key="a"), event(type="m.room.encrypted")]
    )
    assert found.told == ()
    assert dict(found.left_out) == {
        "deleted messages": 1, "pictures and other files": 1, "lines of the service itself": 1,
    }  # fmt: skip
    assert "encrypted" in found.unreadable[0]


def test_the_samples_are_known_and_tell_the_same() -> None:
    """Two forms of one chat: the same words at the same moments."""
    one, other = (json.loads((SAMPLES / name).read_text()) for name in ("chat.json", "room.json"))
    assert (is_messages(one), is_events(one), is_messages(other), is_events(other)) == (True, False, False, True)
    tales = [read_messages(one), read_events(other)]
    plain = [[(told.text, told.moment(ZONE)) for told in tale.told] for tale in tales]
    assert plain[0] == plain[1]
    assert len(plain[0]) == 11


def test_the_export_of_a_whole_account_is_refused() -> None:
    """It holds all chats; which one is meant is the keeper's to say."""
    account = {"chats": {"about": "", "list": [{"name": "a", "messages": []}, {"name": "b", "messages": []}]}}
    assert is_account(account)
    with pytest.raises(ImportFault, match="whole account with 2 chats"):
        refuse_account(account)
