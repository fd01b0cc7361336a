"""Words beside the point: regrets before a correction, parts of phrases, what was done after all. The messages are invented."""

from __future__ import annotations

from datetime import date
from typing import Any

import pytest

from bot.language import read
from bot.language.regrets import regret_end
from bot.language.roster import roster_from_table
from tests.language.house import NOW, contract, meaning

YESTERDAY = "2026-03-11"


@pytest.mark.parametrize(
    "text",
    [
        "Oh dear, scrap that last entry, I was looking at completely the wrong shelf.",
        "sorry to be a bother, but could you undo that please?",
        "oh dear scrap that last one, wrong shelf",
        "sorry about the noise, my head is elsewhere, delete that last one",
    ],
)
def test_regrets_before_a_retraction(text: str) -> None:
    """Whatever the keeper is sorry for, the last entries are taken back."""
    assert contract(text) == {"intent": "amend", "amend": {"action": "retract"}}


@pytest.mark.parametrize(
    ("text", "changes"),
    [
        ("Silly me, I've muddled my days again, that was yesterday.", {"on": YESTERDAY}),
        ("sorry, brain like a sieve this week, I meant C, not B", {"subjects": ["group C"]}),
        ("put that down for yesterday instead", {"on": YESTERDAY}),
    ],
)
def test_regrets_before_a_change(text: str, changes: dict[str, Any]) -> None:
    """A day told among the regrets changes nothing; one told after them does."""
    assert contract(text) == {"intent": "amend", "amend": {"action": "change", "changes": changes}}


def test_a_text_without_regrets_is_read_from_its_beginning() -> None:
    """Nor is one whose only regret is the opener itself cut: what follows must correct by itself."""
    assert regret_end("fed b, sorry it is late") == 0
    assert regret_end("sorry, 12 heads, that was yesterday") == len("sorry, ")
    assert contract("silly count of mine, that was B yesterday")["intent"] != "chat"
    assert contract("sorry, tub 5")["amend"]["changes"] == {"subjects": ["tub 5"]}


@pytest.mark.parametrize(
    "text",
    [
        "It was a quick round tonight, I just topped up the water for B and went to bed.",
        "Moults found this morning: tub 1, tub 4. Not tub 2.",
    ],
)
def test_an_act_corrects_nothing(text: str) -> None:
    """What tells an act of its own is written, however it opens or ends."""
    assert contract(text)["intent"] == "log"


@pytest.mark.parametrize(
    ("text", "kinds"),
    [
        ("it clean slipped my mind but Mabel moulted ten days ago", ["moult"]),
        ("watered B before it got too hot to move", ["watering"]),
        ("Mabel took a cricket, her first since the house move", ["feeding"]),
        ("Today was the day I moved Mabel into the glass cube", ["move"]),
        ("measured off her old skin, Mabel is 40 mm", ["measurement"]),
        ("the mites in tub 2 are gone, finally", ["note"]),
        ("B not moved yet, the glue is still drying", ["note"]),
    ],
)
def test_part_of_a_phrase(text: str, kinds: list[str]) -> None:
    """A word of the trade that its neighbours make part of a phrase tells nothing of its own."""
    assert [entry["kind"] for entry in contract(text)["entries"]] == kinds


@pytest.mark.parametrize(
    ("text", "want"),
    [
        ("Mabel did not eat on tuesday and neither did B", {"outcome": "refused"}),
        ("B had 3 mealworms last night but all 3 still in the bowl", {"outcome": "refused"}),
        ("B, 3rd feed since the moult, 5 pre-killed crickets, all gone", {"quantity": [5, 5]}),
    ],
)
def test_what_became_of_the_food(text: str, want: dict[str, Any]) -> None:
    """Neither ate; all that was offered lies there; an ordinal counts no food."""
    entries = contract(text)["entries"]
    assert all(entry["kind"] == "feeding" and want.items() <= entry.items() for entry in entries)


def test_done_on_another_day_after_all() -> None:
    """The day on which it was done counts, not that on which it was to be."""
    assert [
        entry["on"] for entry in contract("said I'd clean B on monday, did it wednesday in the end")["entries"]
    ] == [YESTERDAY]


def test_arrivals_go_where_they_were_tipped() -> None:
    """The place told in the clause after is whose the arrival was."""
    entries = contract("200 crickets came today, tipped into the roach bin")["entries"]
    assert [(entry["kind"], entry["subjects"], entry["number"]) for entry in entries] == [
        ("arrival", ["roach bin"], [200, 200])
    ]


def test_all_of_them_before_an_exception() -> None:
    """An act may stand between "all" and the exception."""
    subjects = contract("all watered bar group B")["entries"][0]["subjects"]
    assert len(subjects) > 5
    assert not {"group B", "tub 2"} & set(subjects)


def test_what_only_leads_to_a_plan_is_none() -> None:
    """Of a heading and of a sigh no plan is made."""
    plans = contract("I'm going to be up to my eyes in it, so please remind me to feed B on friday")["plans"]
    assert [(plan["kind"], plan["on"]) for plan in plans] == [("feeding", "2026-03-13")]
    assert [plan["kind"] for plan in contract("To do:\n- friday: feed B")["plans"]] == ["feeding"]


def test_a_place_called_by_a_letter_is_called_by_no_small_word() -> None:
    """Although "n" is read as "and", no "and" is half of the name "n1"."""
    nets = [{"name": f"net {n}", "aliases": [f"n{n}"]} for n in (1, 2)]
    giz = {"name": "Giz", "kind": "animal", "enclosure": "net 1"}
    tish = {"name": "Tish", "kind": "animal", "enclosure": "net 2"}
    roster = roster_from_table({"zone": "UTC", "enclosures": nets, "occupants": [giz, tish]})
    found = read("giz moulted two and a half weeks ago", NOW, roster)
    assert [(entry.kind, entry.subjects, entry.on) for entry in found.entries] == [
        ("moult", ("Giz",), date(2026, 2, 23))
    ]
    counted = read("giz sac hatched, 40ish slings", NOW, roster)
    assert [entry.fields["number"] for entry in counted.entries] == [[36, 44]]
    assert read("fed n1 and n2", NOW, roster).entries[0].subjects == ("net 1", "net 2")


def test_a_question_after_a_doubt_is_only_asked() -> None:
    """What the keeper fears to have done is no entry."""
    found = meaning("I have a nasty feeling I skipped it, so did I clean B on tuesday?")
    assert (found.intent, found.entries) == ("ask", ())


@pytest.mark.parametrize(
    ("text", "want"),
    [
        ("fed everyone bar sling 1, 3 crickets each", {"prey": "cricket", "quantity": [3, 3], "each": True}),
        ("everyone fed bar Mabel, 3 crickets each", {"prey": "cricket", "quantity": [3, 3], "each": True}),
        ("everything misted bar the slings, just lightly", {"amount": "light"}),
    ],
)
def test_what_is_told_after_an_exception_is_of_all_the_others(text: str, want: dict[str, Any]) -> None:
    """Neither food nor its number is lost, and the number is nobody's who is left out as well: sling 3 was fed, too."""
    entry = contract(text)["entries"][0]
    assert want.items() <= entry.items()
    assert ("pot 3" in entry["subjects"] or "sling 3" in entry["subjects"]) == ("slings" not in text)


@pytest.mark.parametrize("text", ["neither Mabel nor B ate today", "neither B nor Mabel have eaten"])
def test_neither_nor(text: str) -> None:
    """Refused by both."""
    entries = contract(text)["entries"]
    assert [entry["outcome"] for entry in entries] == ["refused"]
    assert sorted(entries[0]["subjects"]) == ["Mabel", "group B"]


@pytest.mark.parametrize(
    "text",
    [
        "wanted to weigh Mabel yesterday but the scale was dead",
        "wanted to feed B but ran out of time",
        "my phone died before I could write it, B is fine",
        "the battery in tub 2 died",
        "dead leaves in B",
    ],
)
def test_what_was_only_wanted_and_what_is_no_animal(text: str) -> None:
    """No act was done, and nobody died."""
    assert {entry["kind"] for entry in contract(text)["entries"]} == {"note"}


@pytest.mark.parametrize(
    ("text", "want"),
    [
        ("two dead in B. Scratch that, one dead, the other was just a moult", [("death", [1, 1]), ("moult", [1, 1])]),
        ("counted 40 in B. correction: 42", [("count", [42, 42])]),
        ("fed B 3 crickets. scratch that, fed B 5 crickets", [("feeding", [5, 5])]),
        ("one dead in B. two dead in C", [("death", [1, 1]), ("death", [2, 2])]),
    ],
)
def test_a_sentence_taken_back_by_the_next(text: str, want: list[tuple[str, list[int]]]) -> None:
    """The second takes the place of the first, of whom it keeps the name; without such a word both stand."""
    told = [
        (entry["kind"], entry.get("number") or entry.get("count") or entry.get("quantity"))
        for entry in contract(text)["entries"]
    ]
    assert told == want


def test_one_beside_a_thing_did_die() -> None:
    """It is the one, and not the plant that it lay by."""
    assert [entry["kind"] for entry in contract("the small one by the plant in B died")["entries"]] == ["death"]


def test_a_day_of_the_month_for_what_is_being_done_lies_ahead() -> None:
    """As the verb goes on, the 30th is the next one."""
    plans = contract("splitting D on the 30th")["plans"]
    assert [(plan["kind"], plan["on"]) for plan in plans] == [("move", "2026-03-30")]
