"""Endings by rule: the forms of a regular verb, a noun's plural, the stems that an inflected word may have."""

from __future__ import annotations

VOWELS = "aeiou"
HISSING = ("s", "sh", "ch", "x", "z")
ENDINGS = ("s", "es", "ed", "d", "ing", "ly", "er", "est", "y", "ish")


def inflections(phrase: str) -> dict[str, str]:
    """Base, past, ing and third-person forms of a regular verb; a phrase inflects its first word ("fill up" -> "filled up")."""
    head, space, tail = phrase.partition(" ")
    rest = space + tail
    return {"base": phrase, "past": _past(head) + rest, "ing": _ing(head) + rest, "third": _third(head) + rest}


def parts_of_irregular(written: str) -> list[tuple[str, str]]:
    """Forms of "take out|took out|taken out|taking out" (base, past, participle, ing), each with its name."""
    base, past, participle, ing = written.split("|")
    head, space, tail = base.partition(" ")
    third = head + ("es" if head.endswith(("s", "sh", "ch")) else "s") + space + tail
    return [(base, "base"), (past, "past"), (participle, "past"), (ing, "ing"), (third, "third")]


def plurals(word: str) -> tuple[str, ...]:
    """A noun and its plural, by rule."""
    if word.endswith("s"):
        return (word,)
    if word.endswith(("x", "ch", "sh")):
        return word, word + "es"
    if _ends_in_consonant_and_y(word):
        return word, word[:-1] + "ies", word + "s"
    return word, word + "s"


def stems(word: str) -> list[str]:
    """What a word may be without its ending (closing -> clos, close; stopped -> stop); at least three letters stay."""
    bare = [word[: -len(ending)] for ending in ENDINGS if word.endswith(ending) and len(word) > len(ending) + 2]
    undoubled = [stem[:-1] for stem in bare if len(stem) > 3 and stem[-1] == stem[-2]]
    return [*bare, *(stem + "e" for stem in bare), *undoubled]


def _past(head: str) -> str:
    if head.endswith("e"):
        return head + "d"
    if _ends_in_consonant_and_y(head):
        return head[:-1] + "ied"
    return head + (head[-1] if _doubles(head) else "") + "ed"


def _ing(head: str) -> str:
    if head.endswith("e"):
        return head[:-1] + "ing"
    return head + (head[-1] if _doubles(head) else "") + "ing"


def _third(head: str) -> str:
    if _ends_in_consonant_and_y(head):
        return head[:-1] + "ies"
    return head + ("es" if head.endswith(HISSING) else "s")


def _ends_in_consonant_and_y(word: str) -> bool:
    return word.endswith("y") and word[-2] not in VOWELS


def _doubles(head: str) -> bool:
    """A short vowel before one last consonant doubles it: swap -> swapped; offer, water and open do not."""
    return (
        len(head) >= 3
        and head[-1] not in "aeiouwxyh"
        and head[-2] in VOWELS
        and head[-3] not in VOWELS
        and sum(letter in VOWELS for letter in head) == 1
    )
