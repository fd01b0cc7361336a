"""Choices that are tapped answer the question under which they stand, and no other."""

from __future__ import annotations

from datetime import timedelta

from bot.conversation.presses import CLOSED, closed
from storage import outbox
from storage.outbox import OutboxRow
from tests.conversation.chatting import TELEGRAM, Chat


def asked(chat: Chat, text: str, by: str = "ana") -> OutboxRow:
    """The one message that asks back."""
    [row] = chat.say(text, by=by)
    assert row.body["choices"], row.body
    return row


def pushed(chat: Chat) -> OutboxRow:
    """Ana's list of the next morning, with two feedings due, as it was sent."""
    for name in ("Flint", "Quartz"):
        chat.hear(f"remind me to feed {name} tomorrow")
    chat.app.sweep()
    chat.clock.pass_time(timedelta(hours=14))
    chat.app.sweep()
    with chat.session() as session:
        [row] = [row for row in outbox.waiting(session, TELEGRAM) if row.chat == "ana"]
        outbox.mark_sent(session, row.id, f"out {row.id}")
        outbox_row = outbox.row(session, row.id)
    assert outbox_row is not None
    return outbox_row


def test_a_tapped_choice_answers_its_question(chat: Chat) -> None:
    """The feeding is written for who was tapped."""
    row = asked(chat, "fed Flint or Quartz 3")
    assert chat.press(row, "Quartz").startswith("Written: Quartz: fed 3")
    assert chat.lines() == [("feeding", ("Quartz",), "fed Flint or Quartz 3")]


def test_a_second_tap_writes_nothing(chat: Chat) -> None:
    """The question is closed after the first."""
    row = asked(chat, "fed Flint or Quartz 3")
    chat.press(row, "Quartz")
    chat.press(row, "Flint")
    assert len(chat.lines()) == 1


def test_two_taps_before_either_is_dealt_with_write_once(chat: Chat) -> None:
    """Both are taken in while the question is open; the second is told that it is closed."""
    row = asked(chat, "fed Flint or Quartz 3")
    first, second = (press_in(chat, row, label) for label in ("Quartz", "Flint"))
    assert "Written: Quartz" in chat.answers(first)[0].body["text"]
    assert CLOSED in chat.answers(second)[0].body["text"]
    assert len(chat.lines()) == 1


def test_a_question_that_was_answered_in_words_takes_no_tap(chat: Chat) -> None:
    """Whoever answers in words has answered."""
    row = asked(chat, "fed Flint or Quartz 3")
    chat.hear("Flint")
    assert "closed by now; nothing was written." in chat.press(row, "Quartz")
    assert [names for _, names, _ in chat.lines()] == [("Flint",)]


def test_a_tap_of_somebody_else_is_told_whose_question_it_is(chat: Chat) -> None:
    """Ben cannot answer what Ana was asked, in a group say; for Ana it stays open."""
    row = asked(chat, "fed Flint or Quartz 3")
    assert chat.press(row, "Quartz", by="ben") == "That question was put to Ana."
    assert chat.lines() == []
    assert chat.press(row, "Quartz").startswith("Written: Quartz")


def test_the_question_put_again_takes_taps_in_both_places(chat: Chat) -> None:
    """A question that is still open is put again after another answer; the first message of it answers too."""
    row = asked(chat, "fed Flint or Quartz 3")
    again = asked(chat, "when did Nimbus last eat")
    assert again.body["question"] == row.body["question"]
    assert chat.press(row, "Flint").startswith("Written: Flint")
    assert said_of(chat, again, "Flint") == CLOSED


def test_a_tap_counts_after_twelve_hours(chat: Chat) -> None:
    """Words a day later are about something else; a tap cannot be."""
    row = asked(chat, "fed Flint or Quartz 3")
    chat.clock.pass_time(timedelta(hours=20))
    assert chat.press(row, "Quartz").startswith("Written: Quartz: fed 3, Tue 3 Mar 2026")


def test_a_question_that_goes_on_to_another_closes_the_first(chat: Chat) -> None:
    """The answer that leaves something open is a new question, with its own choices."""
    row = asked(chat, "fed Flint or Quartz")
    assert said_of(chat, row, "somebody never offered") == CLOSED


def test_the_next_page_is_given_whenever_it_is_tapped(chat: Chat) -> None:
    """A page of a history has a button for the next one, which holds whatever was said since, for another member too."""
    for day in range(1, 29):
        chat.hear(f"fed Flint {day} on {day} Feb")
    row = asked(chat, "show me Flint")
    chat.hear("fed Quartz 2")
    [label] = row.body["choices"]
    first, again = chat.press(row, label), chat.press(row, label, by="ben")
    assert "fed 28" in row.body["text"]
    assert "fed 5" in first
    assert first.splitlines()[-1] == again.splitlines()[-1]


def test_a_push_is_answered_point_by_point_by_taps(chat: Chat) -> None:
    """One by one, then done for the first; the old button of the first does nothing to the second."""
    row = pushed(chat)
    [first] = taps(chat, row, "one by one")
    [second] = taps(chat, first, "done")
    assert len([line for line in chat.lines() if line[0] == "feeding"]) == 1
    assert second.body["question"] == row.body["question"]
    assert said_of(chat, first, "done") == CLOSED
    assert said_of(chat, row, "all done") == CLOSED
    taps(chat, second, "done")
    fed = {names for kind, names, _ in chat.lines() if kind == "feeding"}
    assert fed == {("Flint",), ("Quartz",)}
    assert said_of(chat, second, "done") == CLOSED


def test_a_tap_answers_the_list_though_a_later_question_is_open(chat: Chat) -> None:
    """The latest question is another; the tap is for the list all the same, and the other stays open."""
    row = pushed(chat)
    asked(chat, "counted Flint or Quartz 3")
    taps(chat, row, "all done")
    assert {names for kind, names, _ in chat.lines() if kind == "feeding"} >= {("Flint",), ("Quartz",)}
    assert "count" in chat.hear("Flint")


def test_a_reply_to_a_question_of_talk_answers_no_push(chat: Chat) -> None:
    """An answer that hangs on the question about a message is not taken for the list."""
    pushed(chat)
    row = asked(chat, "counted Flint or Quartz 3")
    text = chat.hear("1", reply_to=row.service_id)
    assert text.startswith("Written: Flint: counted 3")


def test_a_viewer_has_no_button_that_writes(chat: Chat) -> None:
    """A keeper who is made a viewer finds the question closed."""
    row = asked(chat, "fed Flint or Quartz 3", by="ben")
    chat.hear("make Ben a viewer")
    assert chat.press(row, "Flint", by="ben") == said_of(chat, row, "Flint", by="Ben") == CLOSED
    assert chat.lines() == []


def taps(chat: Chat, row: OutboxRow, label: str) -> list[OutboxRow]:
    """Tap, and what is said to it as it went out."""
    return chat.answers(press_in(chat, row, label))


def press_in(chat: Chat, row: OutboxRow, label: str) -> int:
    """Have a tap come in and wait; its inbox id."""
    taken = chat.tap(row, label)
    assert taken.inbox_id is not None, taken
    return taken.inbox_id


def said_of(chat: Chat, row: OutboxRow, label: str, by: str = "Ana") -> str | None:
    member = chat.member(by)
    with chat.session() as session:
        return closed(session, row, member.id, label)
