"""Words of the trade that say nothing of the animals where they stand, and everyday words that are no slips for them."""

from __future__ import annotations

import pytest

from bot.language.vocabulary import vocabulary
from tests.language.house import contract, entries


@pytest.mark.parametrize(
    "text",
    [
        "dead on my feet, long shift", "load shedding again", "lashing rain and the bus never came", "happy birthday to me, ate way too much cake", "match was awful, lost 2-0", "freezing out there",
        "we had a foot of snow overnight", "let's gooo",
    ],
)  # fmt: skip
def test_talk_of_other_things_is_small_talk(text: str) -> None:
    """Nobody is named, and nothing of care is told."""
    assert contract(text)["intent"] == "chat"


@pytest.mark.parametrize(
    ("text", "kinds"),
    [
        ("lent Mabel to a friend, missing her already", ["departure"]),
        ("Mabel escaped! found her behind the fridge, I nearly died", ["observation"]),
        ("big bug session done, misted B", ["misting"]),
        ("Mabel ate 2 crickets like nothing happened", ["feeding"]),
        ("found 2 moults in tub 2 while I was hunting for my keys", ["moult"]),
        ("changed the substrate in tub 2, took 2 hrs", ["cleaning"]),
        ("quiet night so catching up, fed B", ["feeding"]),
        ("Mabel moulted! gobbled up her own skin", ["moult"]),
        ("Mabel moulted, even the toes came off clean", ["moult"]),
        ("Clove moulted and he's got his wings at last", ["moult"]),
        ("misted B, stop touching that", ["misting"]),
        ("measured Mabel while she was out of the tub: body 6 cm", ["measurement"]),
        ("found a sac in B, right behind the cork", ["sac"]),
        ("there's an ootheca on the bark in tub 2", ["sac"]),
        ("mites in tub 3, tiny white ones on the cork", ["observation"]),
        ("sling 4 has put new web right across the lid", ["observation"]),
        ("cannot sleep so misted B", ["misting"]),
        ("never got to feed B today", ["note"]),
        ("next time feed B smaller ones", ["note"]),
        ("not sure if B ate", ["note"]),
        ("A down to 41", ["count"]),
        ("a friend gave me two stilts", ["arrival"]),
        ("somebody picked up 4 of B today", ["departure"]),
        ("headcount for B came to 17 on monday", ["count"]),
        ("temps dropped to 19 overnight in the tower", ["reading"]),
        ("found Mabel's roach uneaten this morning", ["feeding"]),
        ("about 200 dubias in the bin now", ["count"]),
        ("pots 1-3 got a fruit fly each and a drop of water", ["feeding", "watering"]),
        ("the stilts had 4 crickets, 2 still there this morning so pulled them", ["feeding", "cleaning"]),
        ("sprayed the stilts real good, soaked them", ["misting"]),
        ("B ate their sac yesterday. gave them 3 crickets to settle them", ["sac", "feeding"]),
        ("mites AND mould in tub 2 so I did a full change", ["observation", "cleaning"]),
        ("Mabel shed yesterday, lovely and clean", ["moult"]),
        ("Mabel has closed herself in with webbing, moult on the way I reckon", ["observation"]),
        ("roughly 20 in B at a guess", ["count"]),
        ("counted more than 8 in B before I lost track", ["count"]),
        ("B all out tonight, never seen them so active", ["observation"]),
        ("checked tub 2 for mites. None, thank goodness", ["note"]),
        ("the stilts ate their sac this morning, nothing left but silk", ["sac"]),
        ("found mites in with B, changed all their substrate", ["observation", "cleaning"]),
        ("B now lives in the spare tub, moved them just now", ["move"]),
    ],
)  # fmt: skip
def test_only_what_is_of_the_animals_is_written(text: str, kinds: list[str]) -> None:
    """One entry for each thing told of them."""
    assert [one["kind"] for one in entries(text)] == kinds


@pytest.mark.parametrize(
    "word",
    ["pressed", "beaten", "survived", "gathering", "incomplete", "untreated", "unchecked", "breathing", "states"],
)
def test_an_everyday_word_is_no_slip(word: str) -> None:
    """However near it is to a word of the trade (SCOWL's common words)."""
    assert vocabulary().correct(word) is None


@pytest.mark.parametrize(
    ("slip", "meant"),
    [
        ("refusd", "refused"),
        ("sprayd", "sprayed"),
        ("feedign", "feeding"),
        ("moultd", "moulted"),
        ("waterd", "watered"),
    ],
)
def test_a_slip_is_put_right(slip: str, meant: str) -> None:
    """A letter lost, or two that changed places."""
    assert vocabulary().correct(slip) == meant


def test_what_was_left_was_all_that_was_offered() -> None:
    """An article counts one."""
    assert [(one["quantity"], one["outcome"]) for one in entries("Mabel left a hornworm half eaten")] == [
        ([1, 1], "partly")
    ]
    assert [(one["quantity"], one["outcome"]) for one in entries("Mabel left a cricket untouched")] == [
        ([1, 1], "refused")
    ]


@pytest.mark.parametrize("text", ["sooo misted B lightlyyy", "MISTED B LIGHTLY", "misted B lightly!!!"])
def test_drawn_out_words_are_the_words(text: str) -> None:
    """No English word has a letter three times in a row."""
    assert [(one["kind"], one["amount"]) for one in entries(text)] == [("misting", "light")]


def test_a_cry_denies_nothing() -> None:
    """A drawn-out no is one."""
    assert [one["kind"] for one in entries("nooo found one of the stilts dead")] == ["death"]
