"""Names with a typo in them, and numbered places that are not on the roster."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import replace

from bot.language.names.exact import exact, part_of_name
from bot.language.names.numbered import numbered, starts_amount
from bot.language.names.span import NameSpan
from bot.language.quantities import may_open
from bot.language.roster_index import RosterIndex, forms_of, near_words
from bot.language.tokens import Token, text_at
from bot.language.vocabulary import is_english, is_ordinary, means

NUMBERED_PLACES = {
    "tub",
    "box",
    "pot",
    "tank",
    "viv",
    "drawer",
    "cube",
    "jar",
    "tray",
    "vial",
    "cup",
    "enclosure",
    "terrarium",
}
"""What places are called that go by numbers, also where this roster has none of them."""


OTHERS = {
    "deeper",
    "wider",
    "roomier",
    "bigger",
    "larger",
    "smaller",
    "taller",
    "new",
    "fresh",
    "different",
    "individual",
    "separate",
    "own",
    "single",
    "spare",
}
"""Words before a plural that make it no places of the roster: "to bigger pots"."""

LEAST_OF_PART = 3
"""A mistyped word of a longer name has more letters than this: "oat milk" is no gravy boat."""


def packs_food(tokens: tuple[Token, ...], at: int) -> bool:
    """Whether a word for a place counts what food was bought in: "2 tubs of fruit flies"."""
    of_food = text_at(tokens, at + 1) == "of" and any(means(text_at(tokens, at + ahead), "prey") for ahead in (2, 3))
    counted = at > 0 and may_open(tokens[at - 1])
    return of_food and counted and any(tokens[at].text in forms_of(place) for place in NUMBERED_PLACES)


def is_owned(tokens: tuple[Token, ...], at: int) -> bool:
    """Whether a place is told by who lives there, and the number after it counts: "fed Hotta's tank 2 roaches"."""
    owned = at > 0 and tokens[at - 1].possessive and tokens[at].text in NUMBERED_PLACES
    return owned and at + 1 < len(tokens) and starts_amount(tokens, at + 1)


def lone_letter(tokens: tuple[Token, ...], at: int, index: RosterIndex) -> NameSpan | None:
    """The letter that is a name of its own, and stands apart from a number that counts what follows: "gave b 4 locusts"."""
    if len(tokens[at].text) > 1 or at + 1 >= len(tokens) or tokens[at + 1].kind != "number" or tokens[at + 1].glued:
        return None
    return exact(tokens[: at + 1], at, index) if starts_amount(tokens, at + 1) else None


def are_others(tokens: tuple[Token, ...], at: int) -> bool:
    """Whether places are meant that are not on the roster: "to bigger pots"."""
    several = any(tokens[at].text in forms_of(place)[1:] for place in NUMBERED_PLACES)
    return several and at > 0 and tokens[at - 1].text in OTHERS | {"both"}


def near(tokens: tuple[Token, ...], at: int, index: RosterIndex) -> NameSpan | None:
    """A name with one typo; two names that fit alike make it a question."""
    token = tokens[at]
    if token.kind != "word" or len(token.text) < 3 or not token.text.isalpha() or is_ordinary(token.text):
        return None
    if at and tokens[at - 1].kind == "number" and tokens[at - 1].end == token.start:
        return None  # "40ish"
    words = near_words(index.words, token.text)
    if words and not _is_slip(token.text, words):
        return None
    spans = [span for word in words if (span := _as_if(tokens, at, word, index)) is not None]
    subjects = tuple(dict.fromkeys(name for span in spans for name in span.subjects))
    if not subjects:
        return None
    how = "either" if len(words) > 1 and len(subjects) > 1 else spans[-1].how
    return NameSpan(at, max(span.last for span in spans), subjects, how, typo=True)


def _is_slip(written: str, words: Sequence[str]) -> bool:
    """Whether what was written is a slip for words of names: an English word of its own is none, unless for its plural."""
    return not is_english(written) or any(word in {written + "s", written[:-1]} for word in words)


def _as_if(tokens: tuple[Token, ...], at: int, word: str, index: RosterIndex) -> NameSpan | None:
    """What would be found, had this word been written."""
    mended = (*tokens[:at], replace(tokens[at], text=word), *tokens[at + 1 :])
    part = part_of_name(mended, at, index) if len(tokens[at].text) > LEAST_OF_PART else None
    return numbered(mended, at, index) or exact(mended, at, index) or part


def unknown_number(tokens: tuple[Token, ...], at: int, index: RosterIndex) -> NameSpan | None:
    """A place that is not on the roster: "pot 9" where there are pots but no pot 9."""
    base = tokens[at].text
    after = tokens[at + 1] if at + 1 < len(tokens) else None
    if len(base) < 2 or after is None or after.kind != "number" or not after.raw.isdigit():
        return None
    members = index.numbered.get((base,))
    if members is None and base in NUMBERED_PLACES:
        members = {}
    unknown = members is not None and after.text not in members and not starts_amount(tokens, at + 1)
    return NameSpan(at, at + 2, (), "unknown") if unknown and (not members or _has_numbers(members)) else None


def _has_numbers(members: dict[str, str]) -> bool:
    return any(label.isdigit() for label in members)
