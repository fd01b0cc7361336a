"""Text, JSON and moments come back from the database as they went in."""

from __future__ import annotations

from dataclasses import replace
from datetime import UTC, timedelta, timezone

import pytest
from hypothesis import given
from hypothesis import strategies as st
from sqlalchemy.exc import StatementError

from storage import inbox, journal, outbox
from storage.columns import escape, unescape
from storage.journal import Subject
from tests.storage.keeper import NOW, Keeper

ANY_TEXT = st.text(st.characters(codec=None, categories=None) | st.sampled_from("\0\x1a\ud800\udfff\\0a1"))


@given(ANY_TEXT)
def test_escaped_text_is_storable_and_comes_back(text: str) -> None:
    """Escaped text holds neither NUL nor lone surrogates, and unescaping gives the original back."""
    stored = escape(text)
    assert "\0" not in stored
    assert stored.encode().decode() == stored
    assert unescape(stored) == text


def test_ordinary_text_is_stored_as_it_is() -> None:
    """Backslashes, accents and emoji are not touched."""
    text = "C:\\tub\\u0000 Größe 🕷 \u202eright to left\n\t"
    assert escape(text) == text


@pytest.mark.parametrize(
    "text",
    ["", "a\0b", "\ud83d\ude00 apart", "\udfff", "\x1a0000", "x" * 100_000, "\u202e🦂\x07"],
    ids=["empty", "NUL", "surrogates", "lone low", "mark", "long", "controls"],
)
def test_any_message_is_kept_to_the_character(keeper: Keeper, text: str) -> None:
    """Inbox, journal words and fields keep NUL, lone surrogates, 100,000 characters and controls."""
    message_id = keeper.message(text)
    entry_id = keeper.write("note", Subject(keeper.dwarfs), message_id=message_id, text=[text])
    sent_id = outbox.put(keeper.session, keeper.collection_id, "console", "terminal", message_id, {"text": text})
    keeper.session.expire_all()
    found = inbox.row(keeper.session, message_id)
    assert found is not None
    assert found.text == text
    assert journal.entry(keeper.session, entry_id).fields == {"text": [text]}
    assert [(row.id, row.body["text"]) for row in outbox.waiting(keeper.session)] == [(sent_id, text)]


def test_moments_come_back_in_utc(keeper: Keeper) -> None:
    """A moment told in another zone is the same moment in UTC."""
    elsewhere = NOW.astimezone(timezone(timedelta(hours=-7)))
    (written,) = journal.append(
        keeper.session,
        keeper.collection_id,
        keeper.member_id,
        None,
        elsewhere,
        [journal.NewEntry("note", "log", None, None, None, "America/Los_Angeles")],
    )
    keeper.session.expire_all()
    told_at = journal.entry(keeper.session, written).told_at
    assert (told_at, told_at.tzinfo) == (NOW, UTC)


def test_a_moment_without_zone_is_refused(keeper: Keeper) -> None:
    """A naive datetime is an error of the program, not silently some zone."""
    with pytest.raises(StatementError, match="needs a time zone"):
        inbox.receive(keeper.session, replace(keeper.incoming("1"), sent_at=NOW.replace(tzinfo=None)))


def test_tuples_in_fields_come_back_as_lists(keeper: Keeper) -> None:
    """Fields are JSON: a tuple is a list when read again."""
    entry_id = keeper.write("count", Subject(keeper.dwarfs), count=(12, None))
    keeper.session.expire_all()
    assert journal.entry(keeper.session, entry_id).fields == {"count": [12, None]}
