"""What is made of an event, without a server: the house hears what is for it, and nothing else."""

from __future__ import annotations

from datetime import UTC, datetime
from typing import Any

import pytest
from hypothesis import given
from hypothesis import strategies as st

from bot.channels.matrix.events import Origin, View, asks_about, event_of, read, unread
from bot.channels.matrix.signs import MOST, place_of, sign
from bot.channels.port import DOCUMENT, OTHER, PHOTO, STICKER, UNREADABLE, VOICE, Carried, Press

BOT, ANA = "@shelf:example.org", "@ana:example.org"
ROOM = "!room:example.org"
MESSAGE = "m.room.message"
ORIGINS = {
    "$ours": Origin(BOT, MESSAGE),
    "$first": Origin(ANA, MESSAGE),
    "$sealed": Origin(ANA, "m.room.encrypted"),
    "$thumb": Origin(ANA, "m.reaction"),
    "$bens": Origin("@ben:example.org", MESSAGE),
}
ALONE = View(ROOM, BOT, "Shelf Bot", private=True, names={ANA: "Ana"}, origins=ORIGINS)
SHARED = View(ROOM, BOT, "Shelf Bot", private=False, names={ANA: "Ana"}, origins=ORIGINS)


def event(content: object, kind: str = "m.room.message", **more: object) -> dict[str, Any]:
    """An event of Ana's at noon on 3 March 2026."""
    return {
        "type": kind,
        "sender": ANA,
        "event_id": "$said",
        "origin_server_ts": 1772539200000,
        "content": content,
        **more,
    }


def text(body: object, **more: object) -> dict[str, Any]:
    return event({"msgtype": "m.text", "body": body, **more})


def carried(found: object) -> Carried:
    assert isinstance(found, Carried)
    return found


def test_a_text_is_carried_with_who_said_it_where_and_when() -> None:
    """Everything that the house asks of a message is there."""
    assert read(text("fed Marigolds 3 crickets"), ALONE) == Carried(
        address=ANA,
        name="Ana",
        chat=ROOM,
        key="$said",
        text="fed Marigolds 3 crickets",
        sent_at=datetime(2026, 3, 3, 12, tzinfo=UTC),
    )


def test_an_emote_is_a_text() -> None:
    """What is said with /me counts too."""
    assert carried(read(event({"msgtype": "m.emote", "body": "fed Larches"}), ALONE)).text == "fed Larches"


@pytest.mark.parametrize(
    "said",
    [
        {**text("Written"), "sender": BOT},
        event({"msgtype": "m.notice", "body": "I am a bot"}),
        event({"membership": "join"}, "m.room.member"),
        event({"name": "Spiders"}, "m.room.name"),
        event({}, "m.room.message", unsigned={"redacted_because": {}}),
        event({"msgtype": "org.example.dance", "body": "fed Larches"}),
    ],
)
def test_own_words_notices_state_and_what_is_gone_are_not_heard(said: dict[str, Any]) -> None:
    """The bot answers neither itself nor other bots."""
    assert read(said, ALONE) is None


def test_an_edit_names_what_it_edits_and_says_the_new_words() -> None:
    """The words are those of the new content; where a client sends none, the body without its star."""
    relation = {"rel_type": "m.replace", "event_id": "$first"}
    new = carried(
        read(
            text(
                "* fed Larches",
                **{"m.relates_to": relation, "m.new_content": {"msgtype": "m.text", "body": "fed Larches"}},
            ),
            ALONE,
        )
    )
    old = carried(read(text("* fed Larches", **{"m.relates_to": relation}), ALONE))
    assert {(one.text, one.edits, one.revision, one.key) for one in (new, old)} == {
        ("fed Larches", "$first", 1, "$said")
    }


@pytest.mark.parametrize("edited", ["$bens", "$ours", "$unheard-of"])
def test_what_another_said_cannot_be_edited(edited: str) -> None:
    """Nothing in Matrix keeps anybody from sending such an edit."""
    relation = {"rel_type": "m.replace", "event_id": edited}
    new = {"msgtype": "m.text", "body": "fed Larches"}
    assert read(text("* fed Larches", **{"m.relates_to": relation, "m.new_content": new}), ALONE) is None


@pytest.mark.parametrize(
    "said",
    [
        event({"redacts": "$first"}, "m.room.redaction"),
        event({}, "m.room.redaction", redacts="$first"),
        event({}, "m.room.redaction", redacts="$sealed"),
        event({"redacts": "$bens"}, "m.room.redaction"),
    ],
)
def test_a_redaction_of_what_was_said_deletes(said: dict[str, Any]) -> None:
    """In rooms old and new, of what was encrypted, and of another's, whom a moderator may silence."""
    assert carried(read(said, SHARED)).deletes in ORIGINS


@pytest.mark.parametrize("gone", ["$thumb", "$ours", "$unheard-of"])
def test_a_redaction_of_anything_else_is_nothing(gone: str) -> None:
    """A thumb taken back is no act of a keeper's, nor is tidying up behind the bot."""
    assert read(event({"redacts": gone}, "m.room.redaction"), ALONE) is None


@pytest.mark.parametrize(
    ("said", "alone", "shared"),
    [
        (text("fed Larches"), None, None),
        (text("yes", **{"m.relates_to": {"m.in_reply_to": {"event_id": "$a"}}}), None, "$a"),
        (text("* x", **{"m.relates_to": {"rel_type": "m.replace", "event_id": "$a"}}), "$a", "$a"),
        (event({"redacts": "$a"}, "m.room.redaction"), "$a", "$a"),
        (event({"m.relates_to": {"event_id": "$a", "key": "1️⃣"}}, "m.reaction"), "$a", "$a"),
        (event({"m.relates_to": {"event_id": "$a", "key": "👍"}}, "m.reaction"), None, None),
    ],
)
def test_only_what_must_be_known_is_asked_for(said: dict[str, Any], alone: str | None, shared: str | None) -> None:
    """Each question costs a request."""
    assert (asks_about(said, private=True), asks_about(said, private=False)) == (alone, shared)


def test_a_reply_names_what_it_answers_without_quoting_it() -> None:
    """The quotation that older clients put before the words is left out; a quotation of the keeper's own is not."""
    reply = {"m.relates_to": {"m.in_reply_to": {"event_id": "$asked"}}}
    said = carried(read(text("> <@shelf:example.org> Which one?\n> 1. Flint\n\nFlint", **reply), ALONE))
    assert (said.text, said.reply_to) == ("Flint", "$asked")
    assert carried(read(text("> 20 mm now"), ALONE)).text == "> 20 mm now"


def test_a_thread_is_no_reply() -> None:
    """Clients name the message before for those without threads, which answers nothing."""
    relation = {
        "rel_type": "m.thread",
        "event_id": "$root",
        "is_falling_back": True,
        "m.in_reply_to": {"event_id": "$before"},
    }
    assert carried(read(text("fed Larches", **{"m.relates_to": relation}), ALONE)).reply_to is None


@pytest.mark.parametrize(
    ("said", "heard"),
    [
        (text("Shelf Bot: fed Larches"), "fed Larches"),
        (text("@shelf fed Larches"), "fed Larches"),
        (text("@shelf:example.org, fed Larches"), "fed Larches"),
        (text("Shelf Bot fed Larches", **{"m.mentions": {"user_ids": [BOT]}}), "fed Larches"),
        (text("fed Larches, Shelf Bot", **{"m.mentions": {"user_ids": [BOT]}}), "fed Larches, Shelf Bot"),
        (
            text("Shelf Bot fed", formatted_body='<a href="https://matrix.to/#/@shelf:example.org">Shelf Bot</a> fed'),
            "fed",
        ),
        (text("yes", **{"m.relates_to": {"m.in_reply_to": {"event_id": "$ours"}}}), "yes"),
        (text("!due tomorrow"), "/due tomorrow"),
    ],
)
def test_in_a_larger_room_the_bot_is_spoken_to_by_name_reply_or_command(said: dict[str, Any], heard: str) -> None:
    """Its name in front is left out of the words."""
    found = carried(read(said, SHARED))
    assert (found.text, found.addressed, found.private) == (heard, True, False)


@pytest.mark.parametrize(
    "said",
    [
        text("fed Larches"),
        text("shelf cleaned"),
        text("fed Larches", **{"m.mentions": {"user_ids": ["@ben:example.org"]}}),
        text("yes", **{"m.relates_to": {"m.in_reply_to": {"event_id": "$bens"}}}),
    ],
)
def test_other_talk_in_a_larger_room_is_to_nobody_in_particular(said: dict[str, Any]) -> None:
    """A word that happens to be the bot's name counts only as a mention."""
    assert not carried(read(said, SHARED)).addressed


def test_photos_carry_where_they_are_and_their_caption() -> None:
    """A file name is no caption. In encrypted rooms the keys go along."""
    plain = carried(read(event({"msgtype": "m.image", "body": "IMG_1.jpg", "url": "mxc://a/b"}), ALONE))
    assert (plain.text, plain.carries, plain.photo) == ("", PHOTO, {"url": "mxc://a/b"})
    keys = {"url": "mxc://a/c", "key": {"k": "secret"}}
    captioned = carried(
        read(event({"msgtype": "m.image", "body": "Flint moulted", "filename": "x.jpg", "file": keys}), ALONE)
    )
    assert (captioned.text, captioned.photo) == ("Flint moulted", {"file": keys})


@pytest.mark.parametrize(
    ("said", "carries"),
    [
        (event({"msgtype": "m.file", "body": "list.pdf"}), DOCUMENT),
        (event({"msgtype": "m.audio", "body": "Voice message"}), VOICE),
        (event({"msgtype": "m.video", "body": "film.mp4"}), OTHER),
        (event({"msgtype": "m.location", "body": "here"}), OTHER),
        (event({"body": "spider"}, "m.sticker"), STICKER),
    ],
)
def test_other_things_are_carried_by_their_kind_without_words(said: dict[str, Any], carries: str) -> None:
    """The house knows what to say to each."""
    found = carried(read(said, ALONE))
    assert (found.carries, found.text, found.photo) == (carries, "", None)


def reaction(key: str, target: str = "$ours") -> dict[str, Any]:
    return event({"m.relates_to": {"rel_type": "m.annotation", "event_id": target, "key": key}}, "m.reaction")


@pytest.mark.parametrize("key", ["2️⃣", "2⃣", "②", "2"])
def test_a_number_on_a_message_of_the_bot_is_a_choice(key: str) -> None:
    """As clients write it: with or without the sign that asks for colours, and in a circle."""
    found = read(reaction(key), SHARED)
    assert isinstance(found, Press)
    assert (found.message_key, found.place, found.key) == ("$ours", 1, "$said")


@pytest.mark.parametrize("said", [reaction("👍"), reaction("0️⃣"), reaction("12"), reaction("1️⃣", "$bens")])
def test_other_reactions_are_nothing(said: dict[str, Any]) -> None:
    """Neither other signs nor numbers on what others said."""
    assert read(said, SHARED) is None


def test_each_sign_stands_for_its_place() -> None:
    """What the bot puts on a question is what it understands."""
    assert [place_of(sign(place)) for place in range(MOST)] == list(range(MOST))


def test_what_cannot_be_read_has_a_key_of_its_own() -> None:
    """So the message itself can still be taken later, and an answer hangs on it all the same."""
    found = unread(event({"ciphertext": "…"}, "m.room.encrypted"), ALONE)
    assert found is not None
    assert (found.carries, found.address, found.text) == (UNREADABLE, ANA, "")
    assert found.key != "$said"
    assert event_of(found.key) == event_of("$said") == "$said"


anything = st.recursive(
    st.none() | st.booleans() | st.integers() | st.text(max_size=5),
    lambda inner: st.lists(inner, max_size=3),
    max_leaves=4,
)
fields = st.sampled_from(
    ["msgtype", "body", "m.relates_to", "m.new_content", "m.mentions", "formatted_body", "filename", "url", "redacts"]
)
relations = st.dictionaries(st.sampled_from(["rel_type", "event_id", "key", "m.in_reply_to"]), anything, max_size=4)
kinds = st.sampled_from(["m.room.message", "m.reaction", "m.room.redaction", "m.sticker", "m.room.encrypted"])


@given(
    kinds,
    anything | st.dictionaries(fields, anything | relations | st.sampled_from(["m.text", "m.image", "m.replace"])),
    st.dictionaries(st.sampled_from(["sender", "event_id", "origin_server_ts"]), anything, max_size=1),
)
def test_no_content_can_stop_the_reading(kind: str, content: object, spoilt: dict[str, Any]) -> None:
    """Whatever somebody sends, it becomes a message or nothing, and nothing is raised."""
    for view in (ALONE, SHARED):
        said = {**event(content, kind), **spoilt}
        assert isinstance(asks_about(said, private=view.private), str | None)
        found = read(said, view)
        assert found is None or found.chat == ROOM
