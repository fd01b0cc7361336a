"""A scanned label: its enclosure need not be named for ten minutes."""

from __future__ import annotations

from datetime import timedelta

import pytest

from storage import households, labels
from tests.conversation.chatting import Chat

UNKNOWN = "I do not know that label."


@pytest.fixture
def before_low_box(chat: Chat) -> Chat:
    """Ana stands before the low box, where the Marigolds live, by its label."""
    label(chat, "low box", "low")
    chat.hear("/start here-low")
    return chat


def label(chat: Chat, place: str, code: str) -> None:
    row = chat.names().place(place)
    assert row is not None
    with chat.session() as session:
        labels.label_of(session, 1, row.id, lambda: code)


@pytest.mark.parametrize("text", ["/start here-low", "here-low"])
def test_a_label_tells_who_lives_there_and_when_they_were_seen_to(chat: Chat, text: str) -> None:
    """The reply to a scan has the enclosure, its occupant, the last feeding, and what is enough to say."""
    label(chat, "low box", "low")
    chat.hear("fed Marigolds 3 yesterday")
    assert chat.hear(text).splitlines() == [
        "low box: Marigolds.",
        "Last fed Mon 2 Mar, yesterday; no watering or misting on record.",
        "For 10 minutes I take what names nobody for it: “fed 3” is enough.",
    ]


@pytest.mark.parametrize(
    ("text", "kind"),
    [
        ("fed 3", "feeding"),
        ("misted", "misting"),
        ("2 dead", "death"),
        ("moulted", "moult"),
        ("fed 3 crickets 1 left", "feeding"),
        ("no sign", "observation"),
        ("24C 60%", "reading"),
        ("she moulted", "moult"),
        ("topped up water", "watering"),
        ("weighed 2.3 g", "measurement"),
    ],
)
def test_what_names_nobody_is_of_that_enclosure(before_low_box: Chat, text: str, kind: str) -> None:
    """The house's own reader takes short words for who lives there."""
    before_low_box.hear(text)
    assert before_low_box.lines() == [(kind, ("Marigolds",), text)]


def test_a_plan_too_is_of_that_enclosure(before_low_box: Chat) -> None:
    """A reminder without a name is for who lives there."""
    assert before_low_box.hear("remind me to feed in 3 days").startswith("Planned: Marigolds: feed")


@pytest.mark.parametrize("text", ["when last fed", "how many", "show me the history", "how big"])
def test_questions_are_of_that_enclosure(before_low_box: Chat, text: str) -> None:
    """A question that names nobody is about who lives there."""
    before_low_box.hear("fed Flint 1")
    answer = before_low_box.hear(text)
    assert "Marigolds" in answer
    assert "Flint" not in answer


def test_they_who_are_asked_about_are_those_who_live_there(before_low_box: Chat) -> None:
    """Right after the scan, "they" are the Marigolds."""
    assert before_low_box.hear("when did they last eat") == "No feeding of Marigolds is written."


def test_a_question_about_all_stays_about_all(before_low_box: Chat) -> None:
    """“who hasn't eaten” is not narrowed to the enclosure."""
    assert "sand tray 1 (Flint)" in before_low_box.hear("who hasn't eaten in two weeks")


def test_naming_another_does_not_end_it(before_low_box: Chat) -> None:
    """After words about Flint the next without a name are of the enclosure again."""
    before_low_box.hear("fed Flint 2")
    before_low_box.hear("fed 3")
    assert [names for _, names, _ in before_low_box.lines()] == [("Flint",), ("Marigolds",)]


def test_a_pronoun_is_the_one_last_talked_of(before_low_box: Chat) -> None:
    """“she” after words about Flint is Flint, not who lives where the member stands."""
    before_low_box.hear("fed Flint 2")
    before_low_box.hear("she moulted")
    assert before_low_box.lines()[-1][:2] == ("moult", ("Flint",))


def test_it_ends_after_ten_minutes(before_low_box: Chat) -> None:
    """Eleven minutes later the bot asks who was fed."""
    before_low_box.clock.pass_time(timedelta(minutes=9))
    assert "Marigolds" in before_low_box.hear("misted")
    before_low_box.clock.pass_time(timedelta(minutes=2))
    assert before_low_box.hear("fed 3 roaches") == "Which one was it for?"


def test_another_label_takes_its_place(before_low_box: Chat) -> None:
    """Before the next enclosure, words are of that one."""
    label(before_low_box, "sand tray 1", "tray")
    before_low_box.hear("here-tray")
    before_low_box.hear("fed 3")
    assert before_low_box.lines() == [("feeding", ("Flint",), "fed 3")]


def test_an_enclosure_of_several_is_meant_itself(chat: Chat) -> None:
    """Where two live, and where nobody does, the enclosure is what is written of."""
    chat.hear("moved Flint to the long glass")
    chat.hear("moved Quartz to the long glass")
    label(chat, "long glass", "glass")
    label(chat, "nursery cup", "cup")
    assert chat.hear("here-glass").startswith("long glass: Flint and Quartz.")
    chat.hear("misted")
    assert chat.hear("here-cup").startswith("nursery cup: nobody lives there.")
    chat.hear("cleaned")
    assert [names for kind, names, _ in chat.lines() if kind not in {"move", "placed"}] == [
        ("long glass",),
        ("nursery cup",),
    ]


def test_it_holds_for_the_member_who_scanned(before_low_box: Chat) -> None:
    """Ben, who scanned nothing, is asked; after a scan of his own he is not."""
    assert before_low_box.hear("fed 3 roaches", by="ben") == "Which one was it for?"
    before_low_box.hear("/cancel", by="ben")
    before_low_box.hear("here-low", by="ben")
    assert before_low_box.hear("fed 3 roaches", by="ben").startswith("Written: Marigolds")


def test_a_label_grants_nothing(chat: Chat) -> None:
    """A viewer may scan and ask; writing is refused as ever."""
    label(chat, "low box", "low")
    assert chat.hear("here-low", by="vic").startswith("low box: Marigolds.")
    assert chat.hear("when did they last eat", by="vic") == "No feeding of Marigolds is written."
    assert chat.hear("fed 3", by="vic").startswith("You may ask here but not write")


@pytest.mark.parametrize("text", ["here-nope", "/start here-nope", "/start here-LOW"])
def test_an_unknown_label_is_said_to_be_unknown_and_changes_nothing(before_low_box: Chat, text: str) -> None:
    """Where the member stood before holds on."""
    assert before_low_box.hear(text) == UNKNOWN
    assert before_low_box.hear("fed 3").startswith("Written: Marigolds")


def test_a_label_of_another_collection_is_unknown(chat: Chat) -> None:
    """A code of a neighbour's enclosure tells nothing of it."""
    row = chat.names().place("low box")
    assert row is not None
    with chat.session() as session:
        other = households.create_collection(session, "next door", "Europe/Lisbon")
        labels.label_of(session, other, row.id, lambda: "theirs")
    assert chat.hear("here-theirs") == UNKNOWN


def test_the_label_of_a_closed_enclosure_leads_nowhere(chat: Chat) -> None:
    """Once a place is off the roster its label is told to be of no use."""
    label(chat, "nursery cup", "cup")
    chat.hear("close nursery cup")
    assert chat.hear("here-cup") == "The place of that label is off the roster."
