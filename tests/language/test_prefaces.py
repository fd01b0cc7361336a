"""Polite words before what is meant say nothing of it: reports, questions, orders and corrections in roundabout words."""

from __future__ import annotations

import pytest

from tests.language.house import ask, contract, entries, entry, plan


@pytest.mark.parametrize(
    "preface",
    [
        "I must confess that", "You will be pleased to hear that", "I ought to have mentioned that", "It would seem that", "It appears that",
        "I am sorry to have to tell you that", "just to let you know that", "please note that", "I should like it noted that", "My husband said that",
    ],
)  # fmt: skip
def test_a_report_is_what_follows_its_preface(preface: str) -> None:
    """It is told as done, whatever modal verb the preface has."""
    assert entries(f"{preface} B ate 3 crickets") == entries("B ate 3 crickets")


def test_a_feeling_before_a_report() -> None:
    """With "that" and without."""
    for lead in ("happy to report that", "I am sorry to say", "so pleased to tell you"):
        assert entries(f"{lead} Mabel moulted") == entries("Mabel moulted"), lead


@pytest.mark.parametrize("lead", ["I hope that", "I doubt that", "I cannot say that", "tell me if"])
def test_what_is_not_reported_is_not_written(lead: str) -> None:
    """A hope or a doubt is no preface."""
    found = contract(f"{lead} B ate 3 crickets")
    assert all(one["kind"] == "note" for one in found.get("entries", []))


def test_that_one_is_an_animal() -> None:
    """And not the end of a preface."""
    assert entry("I notice that one of the stilts is dead")["number"] == [1, 1]


@pytest.mark.parametrize(
    ("text", "plain"),
    [
        ("Could you please tell me whether I fed B on Tuesday?", "did I feed B on tuesday?"),
        ("I wonder if you could tell me which of them have not eaten in the last three weeks.", "who has not eaten in the last three weeks"),
        ("My wife would like to know how large Mabel is.", "how large is Mabel"),
        ("I do not quite understand why B is due.", "why is B due"),
        ("Do you happen to know when B last ate?", "when did B last eat"),
        ("May I see the record for tub 2 since Tuesday, if it is no trouble?", "history for tub 2 since tuesday"),
        ("could you tell me when B last ate please", "when did B last eat"),
        ("would you mind showing me when B last ate, if it's not too much trouble", "when did B last eat"),
        ("do you remember when B last ate", "when did B last eat"),
        ("I've forgotten when B last ate", "when did B last eat"),
        ("god knows when B last ate", "when did B last eat"),
        ("I'd like a record of B please", "history of B"),
    ],
)  # fmt: skip
def test_a_question_in_roundabout_words(text: str, plain: str) -> None:
    """It asks what the plain one asks."""
    assert ask(text) == ask(plain)


def test_have_they_been() -> None:
    """A question without its mark."""
    assert ask("have the stilts been sprayed") == ask("have the stilts been sprayed?")
    assert entry("have sprayed the stilts")["kind"] == "misting"


def test_an_order_in_roundabout_words() -> None:
    """The repeat and the act are those of the plain one."""
    assert plan("I should be grateful if you would remind me to feed B every ten days") == plan(
        "remind me to feed B every ten days"
    )
    assert plan("I'd like to mist B every three days, if you could") == plan("mist B every three days")
    assert plan("mist B tomorrow if possible") == plan("mist B tomorrow")


def test_a_relative_clause_asks_nothing() -> None:
    """What he did with it is told."""
    assert contract("gave Mabel a superworm, which she took at once").get("ask") is None
    assert ask("which ones moulted this month")["about"] == "who"


def test_what_is_told_after_a_question_in_roundabout_words() -> None:
    """It is written; only the words that were asked are the question."""
    found = contract("I was asked when B last ate, fed them 3 crickets just now")
    assert found["ask"] == ask("when did B last eat")
    assert [(one["kind"], one["quantity"]) for one in found["entries"]] == [("feeding", [3, 3])]


def test_two_questions_in_one_sentence() -> None:
    """The second is no act, though it has no question's order of words."""
    assert contract("could you tell me how many are in B and when they last ate")["intent"] == "ask"


def test_i_had_and_i_would() -> None:
    """The same letters: a wish before "like", what was done before what was done."""
    assert entry("I'd fed B 3 crickets before I left")["kind"] == "feeding"
    assert plan("I'd like to weigh Mabel on sunday")["kind"] == "measurement"
