"""The lexicon as the tagger uses it: a tree of phrases, each leading to what it stands for."""

from __future__ import annotations

import tomllib
from dataclasses import dataclass, field
from functools import cache
from importlib import resources

from rapidfuzz import process
from rapidfuzz.distance import DamerauLevenshtein

from bot.language.quantities import ONES, TENS, UNITS
from bot.language.tokens import Token, tokenise

VOWELS = "aeiou"


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


@dataclass(frozen=True)
class Vocabulary:
    """All phrases as a tree, the single words they are made of, and ordinary words that are never corrected."""

    tree: Node
    words: tuple[str, ...]
    ordinary: frozenset[str]

    def correct(self, word: str) -> str | None:
        """The one word of the trade that an unknown word of four letters or more is a misspelling of, else None."""
        return _corrected(self, word)


def _table(name: str) -> dict[str, object]:
    return tomllib.loads(resources.files("bot.language.lexicon").joinpath(name).read_text(encoding="utf-8"))


def inflections(word: str) -> dict[str, str]:
    """Past, ing and s forms of a regular verb; a phrase inflects its first word ("fill up" -> "filled up")."""
    head, _, tail = word.partition(" ")
    rest = f" {tail}" if tail else ""
    if head.endswith("e"):
        past, ing = head + "d", head[:-1] + "ing"
    elif head.endswith("y") and head[-2] not in VOWELS:
        past, ing = head[:-1] + "ied", head + "ing"
    elif _doubles(head):
        past, ing = head + head[-1] + "ed", head + head[-1] + "ing"
    else:
        past, ing = head + "ed", head + "ing"
    third = head[:-1] + "ies" if head.endswith("y") and head[-2] not in VOWELS else head + ("es" if head.endswith(("s", "sh", "ch", "x", "z")) else "s")
    return {"base": word, "past": past + rest, "ing": ing + rest, "third": third + rest}


def _doubles(head: str) -> bool:
    """A short vowel before one last consonant doubles it: swap -> swapped; offer, water and open do not."""
    return (
        len(head) >= 3
        and head[-1] not in "aeiouwxyh"
        and head[-2] in VOWELS
        and head[-3] not in VOWELS
        and sum(letter in VOWELS for letter in head) == 1
    )


def plurals(word: str) -> tuple[str, ...]:
    """A noun and its plural, by rule."""
    if word.endswith(("s", "x", "ch", "sh")):
        return (word, word + "es") if not word.endswith("s") else (word,)
    if word.endswith("y") and word[-2] not in VOWELS:
        return word, word[:-1] + "ies", word + "s"
    if word.endswith("fly"):
        return word, word[:-1] + "ies"
    return word, word + "s"


def _verb_phrases(name: str, entry: dict[str, object]) -> list[tuple[str, Sense]]:
    agent = str(entry["agent"])
    phrases: list[tuple[str, Sense]] = []
    for word in entry["words"]:  # type: ignore[attr-defined]
        if "|" in word:
            base, past, participle, ing = word.split("|")
            head, _, tail = base.partition(" ")
            third = head + ("es" if head.endswith(("s", "sh", "ch")) else "s") + (f" {tail}" if tail else "")
            forms = [(base, "base"), (past, "past"), (participle, "past"), (ing, "ing"), (third, "third")]
        else:
            forms = [(text, form) for form, text in inflections(word).items()]
        seen: set[str] = set()
        for text, form in forms:
            if text not in seen or form == "past":
                seen.add(text)
                phrases.append((text, Sense("verb", name, form, agent)))
    phrases.extend((word, Sense("verb", name, "past", agent)) for word in entry.get("past", ()))  # type: ignore[attr-defined]
    return phrases


def _phrases() -> list[tuple[str, Sense]]:
    found: list[tuple[str, Sense]] = []
    for name, entry in _table("verbs.toml").items():
        found += _verb_phrases(name, entry)  # type: ignore[arg-type]
    for name, entry in _table("things.toml").items():
        found += [(form, Sense("thing", name)) for word in entry["words"] for form in plurals(word)]  # type: ignore[index]
    for name, words in _table("prey.toml").items():
        found += [(form, Sense("prey", name)) for word in words for form in plurals(word)]  # type: ignore[attr-defined]
    for name, words in _table("signs.toml").items():
        found += [(word, Sense("sign", name)) for word in words]  # type: ignore[attr-defined]
    for category, values in _table("phrases.toml").items():
        for value, words in values.items():  # type: ignore[attr-defined]
            found += [(word, Sense(category, value)) for word in words]
    return found


def is_ordinary(word: str) -> bool:
    """Whether a word is an everyday one or of the trade, also with an ending (closing, closed, closes)."""
    ordinary = vocabulary().ordinary
    if word in ordinary or word in UNITS or word in ONES or word in TENS:
        return True
    stems = [word[: -len(ending)] for ending in ("s", "es", "ed", "d", "ing", "ly", "er", "est", "y", "ish") if word.endswith(ending) and len(word) > len(ending) + 2]
    return any(stem in ordinary or stem + "e" in ordinary or (len(stem) > 3 and stem[-1] == stem[-2] and stem[:-1] in ordinary) for stem in stems)


def keys_of(phrase: str) -> tuple[str, ...]:
    """The token texts that a written phrase is compared by."""
    return tuple(token.text for token in tokenise(phrase))


@cache
def vocabulary() -> Vocabulary:
    """The shipped lexicon, read and built once."""
    root, words = Node(), set()
    for phrase, sense in _phrases():
        node = root
        for key in keys_of(phrase):
            words.add(key)
            node = node.next.setdefault(key, Node())
        if sense not in node.senses:
            node.senses.append(sense)
    ordinary = frozenset(resources.files("bot.language.lexicon").joinpath("common.txt").read_text(encoding="utf-8").split())
    return Vocabulary(root, tuple(sorted(word for word in words if len(word) >= 4 and word.isalpha())), ordinary | words)


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


@cache
def _corrections() -> dict[str, str | None]:
    return {}


def _corrected(book: Vocabulary, word: str) -> str | None:
    if word.endswith("in") and len(word) > 4 and word not in book.ordinary and word + "g" in book.ordinary:
        return word + "g"
    if len(word) < 6 or not word.isalpha() or is_ordinary(word):
        return None
    memory = _corrections()
    if word not in memory:
        if len(memory) > 5000:
            memory.clear()
        allowed = 1 if len(word) < 8 else 2
        close = process.extract(word, book.words, scorer=DamerauLevenshtein.distance, score_cutoff=allowed, limit=4)
        memory[word] = _clearly(book, [found for found, distance, _ in close if distance == close[0][1]])
    return memory[word]


def _clearly(book: Vocabulary, close: list[str]) -> str | None:
    """The nearest word, when it is the only one or all that are as near mean the same (weigh, weighs, weighed)."""
    meanings = {tuple((sense.category, sense.value) for sense in book.tree.next[word].senses) if word in book.tree.next else (word,) for word in close}
    return close[0] if len(close) == 1 or (len(meanings) == 1 and () not in meanings) else None
