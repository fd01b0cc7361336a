"""The words of the trade: common practice among keepers, British and American, short and misspelt."""

from __future__ import annotations

import pytest

from bot.language.tokens import tokenise
from bot.language.vocabulary import is_ordinary, longest_match, vocabulary
from tests.language.house import contract, entry, fields

SAME_ACT = {
    "feeding": ["fed B", "B got fed"],
    "misting": ["misted B", "sprayed B", "spritzed B", "B misted", "mistd B"],
    "moult": ["B moulted", "B molted", "B shed", "B has shed"],
    "cleaning": ["cleaned B", "B cleaned", "cleand B"],
    "watering": ["watered B", "filled B's dish", "topped off B's water", "refilled B's water bowl"],
    "move": ["moved B", "rehoused B", "moved B today"],
}  # fmt: skip


@pytest.mark.parametrize("kind", SAME_ACT)
def test_different_words_for_one_act(kind: str) -> None:
    """British and American words and slips of the finger are the same act (common practice)."""
    for text in SAME_ACT[kind]:
        assert entry(text)["kind"] == kind, text


@pytest.mark.parametrize(
    ("british", "american"),
    [
        ("B moulted", "B molted"),
        ("found mould in B", "found mold in B"),
        ("Mabel legspan 30 millimetres", "Mabel legspan 30 millimeters"),
        ("topped up B's water", "topped off B's water"),
    ],
)
def test_british_and_american_words_say_the_same(british: str, american: str) -> None:
    """The spelling makes no difference."""
    assert entry(british) == entry(american)


@pytest.mark.parametrize(
    ("state", "words"),
    [
        ("pre-killed", ["pk", "prekilled", "pre-killed", "pre killed", "crushed"]),
        ("frozen-thawed", ["f/t", "frozen thawed", "frozen-thawed", "thawed"]),
        ("live", ["live"]),
    ],
)
def test_the_state_of_prey(state: str, words: list[str]) -> None:
    """The keepers' short forms for prey that is live, killed or thawed (common practice)."""
    for word in words:
        assert fields(f"fed Mabel 2 {word} roaches")["prey_state"] == state, word


def test_the_longest_phrase_wins() -> None:
    """Of the phrases that begin at a word the longest is taken: a "red runner roach" is not just a "roach"."""
    found = longest_match(vocabulary().tree, tokenise("red runner roach"), 0)
    assert found is not None
    assert found[0] == 3
    assert [(sense.category, sense.value) for sense in found[1]] == [("prey", "red runner roach")]


def test_a_word_of_no_trade_has_no_sense() -> None:
    """A strange word has no match, nor has the end of a text."""
    assert longest_match(vocabulary().tree, tokenise("xyzzy"), 0) is None
    assert longest_match(vocabulary().tree, (), 0) is None


def test_ordinary_words_are_known_as_such() -> None:
    """Plain English words are not taken for misspelt names."""
    assert is_ordinary("because")
    assert not is_ordinary("xyzzyq")


@pytest.mark.parametrize("text", ["the weather is able", "stable as a table"])
def test_an_ordinary_word_is_no_misspelt_name(text: str) -> None:
    """A word that is one letter away from a name on the roster, but plain English, names nobody."""
    assert contract(text)["intent"] in {"chat", "unclear"}


def test_the_vocabulary_is_built_once() -> None:
    """The word lists are read from their files only once."""
    assert vocabulary() is vocabulary()
