"""What the bot's messages look like as events, without a server."""

from __future__ import annotations

from dataclasses import replace

from bot.channels.matrix.content import file_words, line, reactions, transaction, words
from bot.channels.port import Button, Parcel
from bot.conversation.reply import Reply

PARCEL = Parcel(7, "!room:example.org", Reply("Which <one>?\nSay.", choices=("sand tray 1", "sand tray 2")))
ASKING = replace(PARCEL, buttons=(Button("sand tray 1", "t:0"), Button("sand tray 2", "t:1")))


def test_an_answer_is_a_notice_that_mentions_nobody() -> None:
    """With its choices numbered, as text and as HTML in which nothing of the keeper's is a tag."""
    said = words(PARCEL, shared=False)
    assert said["msgtype"] == "m.notice"
    assert said["m.mentions"] == {}
    assert said["body"] == "Which <one>?\nSay.\n1. sand tray 1\n2. sand tray 2"
    assert said["formatted_body"] == "Which &lt;one&gt;?<br>Say.<br>1. sand tray 1<br>2. sand tray 2"
    assert "m.relates_to" not in said


def test_in_a_shared_room_an_answer_hangs_on_what_it_answers() -> None:
    """Also where that could not be read, whose key is not the event's id alone."""
    for key in ("$said", "$said unread"):
        said = words(replace(PARCEL, answers=key), shared=True)
        assert said["m.relates_to"] == {"m.in_reply_to": {"event_id": "$said"}}
    assert "m.relates_to" not in words(replace(PARCEL, answers="$said"), shared=False)


def test_what_takes_a_messages_place_is_an_edit_of_it() -> None:
    """The new content is whole, and the old body marked for clients that know no edits."""
    said = words(replace(PARCEL, replaces="$old", rings=True, mentions="@ana:example.org"), shared=False)
    assert said["m.relates_to"] == {"rel_type": "m.replace", "event_id": "$old"}
    assert said["body"] == f"* {said['m.new_content']['body']}"
    assert said["m.new_content"]["m.mentions"] == {"user_ids": ["@ana:example.org"]}
    assert said["m.mentions"] == {}


def test_a_file_is_named_and_its_caption_is_the_body() -> None:
    """A picture is an image, anything else a file."""
    where = {"url": "mxc://a/b"}
    assert file_words(where, "flint.jpg", "image/jpeg", "Flint, today") == {
        "msgtype": "m.image",
        "body": "Flint, today",
        "filename": "flint.jpg",
        "m.mentions": {},
        "url": "mxc://a/b",
    }
    assert file_words(where, "list.pdf", "application/pdf", "")["msgtype"] == "m.file"
    assert file_words(where, "list.pdf", "application/pdf", "")["body"] == "list.pdf"


def test_a_line_hangs_on_an_event_where_it_is_told_to() -> None:
    """It rings nobody."""
    assert line("Closed by now.", None) == {"msgtype": "m.notice", "body": "Closed by now.", "m.mentions": {}}
    assert line("Closed by now.", "$said")["m.relates_to"] == {"m.in_reply_to": {"event_id": "$said"}}


def test_signs_are_offered_for_as_many_choices_as_there_are_signs() -> None:
    """Nine at most, and none where nothing is asked."""
    many = replace(PARCEL, buttons=tuple(Button(str(place), f"t:{place}") for place in range(12)))
    assert [len(reactions(one, "$asked")) for one in (PARCEL, ASKING, many)] == [0, 2, 9]


def test_a_transaction_is_the_same_for_the_same_row_and_no_other() -> None:
    """Each part has one of its own, and a row of the same number with other words, as after a restored copy, has too."""
    same = {transaction(PARCEL), transaction(replace(PARCEL, tries=3)), transaction(ASKING)}
    assert len(same) == 1
    others = {
        transaction(PARCEL, 1),
        transaction(replace(PARCEL, id=8)),
        transaction(replace(PARCEL, reply=Reply("Other"))),
        transaction(replace(PARCEL, chat="!other:example.org")),
    }
    assert len(others | same) == 5
