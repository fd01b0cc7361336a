"""The lexicon as the tagger uses it: a tree of phrases, each leading to what it stands for."""

from __future__ import annotations

import tomllib
from collections.abc import Iterator
from dataclasses import dataclass, field
from functools import cache, lru_cache
from importlib import resources
from typing import Any

from rapidfuzz import process
from rapidfuzz.distance import DamerauLevenshtein

from bot.language.amounts import ONES, TENS
from bot.language.inflection import inflections, parts_of_irregular, plurals, stems
from bot.language.tokens import CHANGING, Token, tokenise
from bot.language.units import UNITS

SHIPPED = resources.files("bot.language.lexicon")
REMEMBERED = 5000  # words whose correction is kept, so that a flood of nonsense does not fill the memory

Phrases = Iterator[tuple[str, "Sense"]]


@dataclass(frozen=True, slots=True)
class Sense:
    """One thing a phrase can stand for: category (verb, thing, prey, sign, state, …), its value, and a verb's form and agent."""

    category: str
    value: str
    form: str = ""  # verbs: base, past, ing
    agent: str = ""  # verbs: keeper or animal


@dataclass(slots=True)
class Node:
    """A step in the phrase tree."""

    next: dict[str, Node] = field(default_factory=dict)
    senses: list[Sense] = field(default_factory=list)


@dataclass(frozen=True, eq=False)
class Vocabulary:
    """All phrases as a tree, the single words they are made of, and ordinary words that are never corrected."""

    tree: Node
    words: tuple[str, ...]
    ordinary: frozenset[str]

    def correct(self, word: str) -> str | None:
        """The one word of the trade that an unknown word of four letters or more is a misspelling of, else None."""
        return _corrected(self, word)


def _table(name: str) -> dict[str, Any]:
    return tomllib.loads(SHIPPED.joinpath(name).read_text(encoding="utf-8"))


@cache
def prey_names() -> frozenset[str]:
    """The names under which the lexicon keeps prey: "cricket", "dubia roach"."""
    return frozenset(_table("prey.toml"))


def _phrases() -> Phrases:
    """All phrases of the shipped lexicon with what they stand for; phrases with more than one sense come more than once."""
    for name, entry in _table("verbs.toml").items():
        yield from _verb_phrases(name, **entry)
    for name, entry in _table("things.toml").items():
        yield from ((form, Sense("thing", name)) for word in entry["words"] for form in plurals(word))
    for name, words in _table("prey.toml").items():
        yield from ((form, Sense("prey", name)) for word in words for form in plurals(word))
    for name, words in _table("signs.toml").items():
        yield from ((word, Sense("sign", name)) for word in words)
    for category, values in _table("phrases.toml").items():
        yield from ((word, Sense(category, value)) for value, words in values.items() for word in words)


def _verb_phrases(name: str, *, agent: str, words: list[str], past: tuple[str, ...] = ()) -> Phrases:
    """The forms of a verb's words: irregular ones written out with "|" between, regular ones by rule, odd pasts as they are."""
    for word in words:
        forms = parts_of_irregular(word) if "|" in word else [(text, form) for form, text in inflections(word).items()]
        first = dict(reversed(forms))  # a form that looks like an earlier one counts only as a past
        yield from ((text, Sense("verb", name, form, agent)) for text, form in forms if form in {"past", first[text]})
    yield from ((word, Sense("verb", name, "past", agent)) for word in past)


def keys_of(phrase: str) -> tuple[str, ...]:
    """The token texts that a written phrase is compared by."""
    words = phrase.split(" ")
    plain = phrase.isascii() and phrase.islower() and all(map(str.isalpha, words)) and CHANGING.isdisjoint(words)
    return tuple(words) if plain else tuple(token.text for token in tokenise(phrase))


@cache
def vocabulary() -> Vocabulary:
    """The shipped lexicon, read and built once."""
    root, words = Node(), set[str]()
    for phrase, sense in _phrases():
        node, keys = root, keys_of(phrase)
        words.update(keys)
        for key in keys:
            following = node.next.get(key)
            if following is None:
                following = node.next[key] = Node()
            node = following
        if sense not in node.senses:
            node.senses.append(sense)
    ordinary = frozenset(SHIPPED.joinpath("common.txt").read_text(encoding="utf-8").split())
    long = sorted(word for word in words if len(word) >= 4 and word.isalpha())
    return Vocabulary(root, tuple(long), ordinary | words)


def is_ordinary(word: str) -> bool:
    """Whether a word is an everyday one or of the trade, also with an ending (closing, closed, closes)."""
    ordinary = vocabulary().ordinary
    if word in ordinary or word in UNITS or word in ONES or word in TENS:
        return True
    return any(stem in ordinary for stem in stems(word))


def is_english(word: str) -> bool:
    """Whether it is a common English word of five letters or more, though none of the trade."""
    return word in _english()


def longest_match(tree: Node, tokens: tuple[Token, ...], at: int) -> tuple[int, list[Sense]] | None:
    """The longest phrase starting at a token: its end (exclusive) and senses."""
    node, best = tree, None
    for index in range(at, len(tokens)):
        following = node.next.get(tokens[index].text)
        if following is None:
            break
        node = following
        if node.senses:
            best = (index + 1, node.senses)
    return best


def means(word: str, category: str, *values: str) -> bool:
    """Whether a word by itself has a sense of a category, of one of the values if any are given."""
    node = vocabulary().tree.next.get(word)
    senses = node.senses if node is not None else ()
    return any(sense.category == category and (not values or sense.value in values) for sense in senses)


@lru_cache(maxsize=REMEMBERED)
def _corrected(book: Vocabulary, word: str) -> str | None:
    if word.endswith("in") and len(word) > 4 and word not in book.ordinary and word + "g" in book.ordinary:
        return word + "g"
    if word.endswith("d") and word not in book.ordinary and len(word) > 3 and f"{word[:-1]}ed" in book.ordinary:
        return f"{word[:-1]}ed"  # "mistd", "refusd"
    if len(word) < 6 or not word.isalpha() or is_ordinary(word):
        return None
    allowed = 1 if len(word) < 8 else 2
    close = process.extract(word, book.words, scorer=DamerauLevenshtein.distance, score_cutoff=allowed, limit=4)
    if not close or word in _english() or word.startswith(("un", "non")):
        return None  # "unchecked" is not "checked"
    return _clearly(book, [found for found, distance, _ in close if distance == close[0][1]])


@cache
def _english() -> frozenset[str]:
    """Everyday words that are no slips, whatever word of the trade they look like; read when first needed."""
    lines = SHIPPED.joinpath("english.txt").read_text(encoding="utf-8").splitlines()
    return frozenset(word for line in lines if not line.startswith("#") for word in line.split())


def _clearly(book: Vocabulary, close: list[str]) -> str | None:
    """The nearest word, when it is the only one or all that are as near mean the same (weigh, weighs, weighed)."""
    if len(close) == 1:
        return close[0]
    meanings = {_meaning(book, word) for word in close}
    return close[0] if len(meanings) == 1 and () not in meanings else None


def _meaning(book: Vocabulary, word: str) -> tuple[object, ...]:
    """What a word by itself can stand for; empty for one that only longer phrases have."""
    if word not in book.tree.next:
        return (word,)
    return tuple((sense.category, sense.value) for sense in book.tree.next[word].senses)
