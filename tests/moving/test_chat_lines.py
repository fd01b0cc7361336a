"""Chats exported as text: the forms of their times, messages of several lines, and what is left out."""

from __future__ import annotations

from datetime import datetime

import pytest
from hypothesis import given
from hypothesis import strategies as st

from bot.moving.chat_lines import is_chat, read_chat
from bot.moving.told import Contents, ImportFault
from tests.moving.incoming import SAMPLES, day_first, month_first, settled

Message = tuple[datetime, str, str]

FORMS = {
    "[{at:%d/%m/%Y, %H:%M:%S}] {sender}: {text}": day_first,
    "[{at:%Y-%m-%d, %H:%M:%S}] {sender}: {text}": day_first,
    "[{at:%d.%m.%y, %H:%M:%S}] {sender}: {text}": day_first,
    "\u200e[{at:%m/%d/%y, %I:%M:%S\u202f%p}] {sender}: {text}": month_first,
    "{at:%d/%m/%Y, %H:%M} - {sender}: {text}": day_first,
    "{at:%m/%d/%Y, %I:%M\u202f%p} - {sender}: {text}": month_first,
}
NAMES = st.text("abcdefgh WREN-é", min_size=1, max_size=12).map(str.strip).filter(bool)
# What an exporter may write of a message: lines of which none looks like the beginning of another one.
WORDS = st.text(st.characters(codec="utf-8", exclude_categories=["C", "Z"]) | st.just(" "), max_size=40)
TEXTS = st.lists(WORDS, min_size=1, max_size=3).map(lambda lines: "\n".join(line.strip() for line in lines).strip())
MESSAGES = st.lists(
    st.tuples(st.datetimes(datetime(2010, 1, 1), datetime(2060, 1, 1)), NAMES, TEXTS.filter(bool)),  # noqa: DTZ001 - a wall clock
    min_size=1,
    max_size=8,
)


def read(text: str) -> Contents:
    return read_chat(text, settled)


def plain(contents: Contents) -> list[Message]:
    return [(one.at, one.sender, one.text) for one in contents.told]


@given(MESSAGES, st.sampled_from(sorted(FORMS)))
def test_what_was_written_in_a_form_is_read_again(messages: list[Message], form: str) -> None:
    """Any messages, printed as an exporter prints them, come out as they went in, to the minute or second that the form has."""
    printed = "\n".join(form.format(at=at, sender=sender, text=text) for at, sender, text in messages)
    found = read_chat(printed, FORMS[form])
    to_minutes = "%S" not in form
    said = [(at.replace(microsecond=0, second=0 if to_minutes else at.second), *rest) for at, *rest in messages]
    assert plain(found) == said
    assert len({one.key for one in found.told}) == len(messages)
    assert not found.unreadable
    assert not found.left_out


@pytest.mark.parametrize(
    ("choice", "at"),
    [(day_first, datetime(2026, 2, 3, 21, 14)), (month_first, datetime(2026, 3, 2, 21, 14))],  # noqa: DTZ001
)
def test_a_day_that_may_be_two_is_read_as_chosen(choice: object, at: datetime) -> None:
    """03/02/2026 is the 3rd of February, or the 2nd of March."""
    (told,) = read_chat("03/02/2026, 21:14 - Wren: fed the Ambers", choice).told  # type: ignore[arg-type]
    assert told.at == at


def test_the_order_of_days_is_settled_by_the_file() -> None:
    """31/01/2026 can only be read with the day first, and so are the others."""
    found = read("03/01/2026, 21:14 - Wren: a\n31/01/2026, 21:14 - Wren: b")
    assert [one.at.date().isoformat() for one in found.told] == ["2026-01-03", "2026-01-31"]


def test_a_message_goes_on_until_the_next_begins() -> None:
    """Lines without a time belong to the message above them, empty ones between them too."""
    found = read(
        "[31/01/2026, 21:14:05] Wren: misted the moss jar\n\nand: filled the dish\n[31/01/2026, 21:15:00] Ola: ok"
    )
    assert [one.text for one in found.told] == ["misted the moss jar\n\nand: filled the dish", "ok"]
    assert [one.where for one in found.told] == ["line 1", "line 4"]


def test_what_is_no_message_is_counted() -> None:
    """The service's own lines, deleted messages and files are left out; a caption stays; a mark of editing goes."""
    found = read(
        "31/01/2026, 21:00 - Wren created this group\n"
        "31/01/2026, 21:01 - Wren: <Media omitted>\n"
        "31/01/2026, 21:02 - Wren: \u200ejar.jpg (file attached)\nBasalt moulted\n"
        "31/01/2026, 21:03 - Wren: This message was deleted.\n"
        "31/01/2026, 21:04 - Wren: fed Basalt 1 cricket <This message was edited>\n"
    )
    assert [one.text for one in found.told] == ["Basalt moulted", "fed Basalt 1 cricket"]
    assert dict(found.left_out) == {
        "lines of the service itself": 1, "pictures and other files": 2, "deleted messages": 1,
    }  # fmt: skip


def test_a_time_that_cannot_be_is_named_with_its_line() -> None:
    """A day the calendar does not have, a time no clock shows, and a line before all messages."""
    found = read_chat("what is this\n31/02/2026, 21:14 - Wren: a\n03/02/2026, 25:14 - Wren: b", day_first)
    assert found.told == ()
    assert found.unreadable == (
        "line 1: no time stands in it or above it.",
        "line 2: 31/02/2026 is no day of the calendar.",
        "line 3: 25:14 is no time of the day.",
    )


def test_the_same_words_twice_in_a_minute_are_two_messages() -> None:
    """They have keys of their own, and the same ones whenever the file is read."""
    text = "31/01/2026, 21:14 - Wren: misted\n31/01/2026, 21:14 - Wren: misted"
    keys = [one.key for one in read(text).told]
    assert len(set(keys)) == 2
    assert [one.key for one in read(f"{text}\n31/01/2026, 21:20 - Ola: ok").told][:2] == keys


@pytest.mark.parametrize("name", ["chat-seconds.txt", "chat-half-days.txt"])
def test_the_samples_are_known_as_chats(name: str) -> None:
    """By their first lines."""
    assert is_chat((SAMPLES / name).read_text(encoding="utf-8"))


@pytest.mark.parametrize("name", ["diary.txt", "feedings.csv", "chat.json", "roster.toml"])
def test_other_files_are_no_chats(name: str) -> None:
    """A diary, a table, JSON and TOML begin otherwise."""
    text = (SAMPLES / name).read_text(encoding="utf-8")
    assert not is_chat(text)
    if name != "diary.txt":
        with pytest.raises(ImportFault, match="No line begins with a time and a name"):
            read(text)
