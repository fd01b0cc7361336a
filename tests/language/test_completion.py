"""The answer to a question completes what was in doubt, or is a message of its own."""

from __future__ import annotations

from datetime import date, time, timedelta

import pytest

from bot.language import complete
from bot.language.completion import apply
from bot.language.meaning import Ask, Choice, Entry, Meaning, Plan
from tests.language.house import HOUSE, NOW, meaning


def answered(text: str, answer: str) -> Meaning:
    """A doubtful message, completed by an answer."""
    pending = meaning(text)
    assert pending.intent == "unclear", text
    found = complete(pending, answer, NOW, HOUSE)
    assert found is not None, (text, answer)
    return found


@pytest.mark.parametrize(
    ("text", "answer", "subjects"),
    [
        ("fed 3 roaches", "B", ("group B",)),
        ("fed 3 roaches", "group B", ("group B",)),
        ("fed 3 roaches", "it was B and D", ("group B", "group D")),
        ("fed rulla", "Rilla", ("Rilla",)),
        ("fed rulla", "1", ("Rilla",)),
        ("fed rulla", "2)", ("Rolla",)),
        ("fed rulla", "rolla", ("Rolla",)),
        ("misted", "tub 4", ("tub 4",)),
    ],
)
def test_whom_it_was(text: str, answer: str, subjects: tuple[str, ...]) -> None:
    """A name, or a choice's number or label, completes an act whose subjects were in doubt."""
    found = answered(text, answer)
    assert found.intent == "log"
    assert [entry.subjects for entry in found.entries] == [subjects]


def test_a_day_said_with_the_name_is_the_day_it_was() -> None:
    """Whoever answers "whom?" with a name and a day means that day."""
    found = answered("fed 3 roaches", "B, yesterday at 9pm")
    (entry,) = found.entries
    assert (entry.subjects, entry.on, entry.at) == (("group B",), NOW.date() - timedelta(days=1), time(21))


def test_the_rest_of_the_entry_stays() -> None:
    """The answer fills what was missing and changes nothing else."""
    found = answered("fed 3 pre-killed roaches last night", "B").entries[0]
    assert (found.on, found.part, dict(found.fields)) == (
        date(2026, 3, 11),
        "night",
        {"prey": "roach", "prey_state": "pre-killed", "quantity": [3, 3]},
    )


@pytest.mark.parametrize(
    ("text", "answer", "on"),
    [
        ("fed B on 31 february", "yesterday", date(2026, 3, 11)),
        ("fed B on 31 february", "the 28th", date(2026, 2, 28)),
        ("fed B on march 19", "march 9", date(2026, 3, 9)),
        ("fed B tomorrow", "today", date(2026, 3, 12)),
        ("fed B some time last week", "tuesday", date(2026, 3, 10)),
    ],
)
def test_which_day_it_was(text: str, answer: str, on: date) -> None:
    """A day completes an act whose day was in doubt."""
    assert [entry.on for entry in answered(text, answer).entries] == [on]


@pytest.mark.parametrize(
    ("answer", "kind", "fields"),
    [
        ("a head count", "count", {"count": [42, 42]}),
        ("1", "count", {"count": [42, 42]}),
        ("count", "count", {"count": [42, 42]}),
    ],
)
def test_what_a_bare_number_was(answer: str, kind: str, fields: dict[str, object]) -> None:
    """The number of "B 42" becomes a head count when the answer says so."""
    found = answered("B 42", answer).entries[0]
    assert (found.kind, dict(found.fields)) == (kind, fields)


@pytest.mark.parametrize(("answer", "to"), [("the glass cube", "glass cube"), ("spare", "spare tub")])
def test_where_it_went(answer: str, to: str) -> None:
    """A place completes a move between two that were named."""
    assert answered("moved B to the glass cube or the spare", answer).entries[0].fields["to"] == to


def test_a_place_that_is_not_on_the_roster_is_taken_in_its_words() -> None:
    """Where the place is strange, the words of the answer are kept without the article."""
    assert (
        answered("moved B to the glass cube or the spare", "into the wooden crate").entries[0].fields["to"]
        == "wooden crate"
    )


@pytest.mark.parametrize(
    ("kind", "answer", "fields"),
    [
        ("feeding", "3", {"quantity": [3, 3]}),
        ("count", "about 40", {"count": [36, 44]}),
        ("moult", "two or three", {"number": [2, 3]}),
        ("measurement", "4cm", {"value": [40, 40]}),
        ("measurement", "12 g", {"value": [12, 12]}),
    ],
)
def test_how_many_it_were(kind: str, answer: str, fields: dict[str, object]) -> None:
    """A number goes into the field that the kind counts by."""
    pending = Meaning("unclear", entries=(Entry(kind, ("group B",), NOW.date()),), missing=("quantity",))
    found = complete(pending, answer, NOW, HOUSE)
    assert found is not None
    assert dict(found.entries[0].fields) == fields


@pytest.mark.parametrize(
    ("text", "answer"),
    [
        ("fed 3 roaches", "fed D 3 crickets"),
        ("fed 3 roaches", "thanks"),
        ("fed 3 roaches", "B moulted"),
        ("fed 3 roaches", "B all out an hour ago"),
        ("fed 3 roaches", "D hiding"),
        ("fed rulla", "rulla"),
        ("fed rulla", "7"),
        ("fed 3 roaches", "yesterday I spent the whole evening in town with my sister, and it rained"),
        ("fed 3 roaches", "x" * 121),
        ("fed B on 31 february", "B"),
        ("fed B on 31 february", "tomorrow"),
        ("fed B on 31 february", "I misted D yesterday"),
        ("B 42", "hello"),
        ("moved B to the glass cube or the spare", ""),
    ],
)
def test_what_is_no_answer(text: str, answer: str) -> None:
    """An act of its own, small talk, a long text or the wrong sort of thing is no answer."""
    assert complete(meaning(text), answer, NOW, HOUSE) is None


@pytest.mark.parametrize("answer", ["B", "4", "yesterday", ""])
def test_nothing_completes_what_is_not_in_doubt(answer: str) -> None:
    """A meaning that lacks nothing takes no answer."""
    assert complete(Meaning("log", entries=(Entry("feeding", ("group D",), NOW.date()),)), answer, NOW, HOUSE) is None


def test_one_answer_settles_all_entries_in_doubt() -> None:
    """Entries that lack the same thing get it together; those that lack nothing keep theirs."""
    pending = Meaning(
        "unclear",
        entries=(Entry("feeding", (), NOW.date()), Entry("misting", ("group D",), NOW.date())),
        missing=("subjects",),
    )
    found = complete(pending, "B", NOW, HOUSE)
    assert found is not None
    assert [entry.subjects for entry in found.entries] == [("group B",), ("group D",)]


def test_a_question_in_doubt_becomes_a_question() -> None:
    """The answer completes an ask, too."""
    pending = Meaning("unclear", ask=Ask("last", "feeding"), missing=("subjects",))
    found = complete(pending, "B", NOW, HOUSE)
    assert found is not None
    assert (found.intent, found.ask) == ("ask", Ask("last", "feeding", ("group B",)))


def test_a_plan_in_doubt_becomes_a_plan() -> None:
    """The answer completes a plan with its subjects or its day."""
    pending = Meaning("unclear", plans=(Plan("feeding", ()),), missing=("subjects",))
    found = complete(pending, "B and D", NOW, HOUSE)
    assert found is not None
    assert (found.intent, found.plans[0].subjects) == ("plan", ("group B", "group D"))
    dated = complete(
        Meaning("unclear", plans=(Plan("feeding", ("group B",)),), missing=("on",)), "tomorrow at 7pm", NOW, HOUSE
    )
    assert dated is not None
    assert (dated.plans[0].on, dated.plans[0].at) == (date(2026, 3, 13), time(19, 0))


def test_a_choice_may_change_several_fields() -> None:
    """What a choice changes goes to the entry itself or into its own fields."""
    pending = Meaning(
        "unclear",
        entries=(Entry("note", ("group B",), NOW.date()),),
        missing=("kind",),
        choices=(Choice("prey given", {"kind": "feeding", "quantity": [42, 42]}),),
    )
    for answer in ("1", "Prey given", "prey given."):
        found = complete(pending, answer, NOW, HOUSE)
        assert found is not None
        assert (found.entries[0].kind, dict(found.entries[0].fields)) == ("feeding", {"quantity": [42, 42]})
    assert apply(pending, {"kind": "note"}).entries[0].kind == "note"
