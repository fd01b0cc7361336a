"""All of them, and all but some: "everyone", "all tubs", "both geckos", "all the slings except 12"."""

from __future__ import annotations

from dataclasses import replace

from bot.language.names.exact import JOINERS, exact, key_at
from bot.language.names.near import near
from bot.language.names.numbered import is_told_of, numbered, starts_amount
from bot.language.names.span import NameSpan
from bot.language.roster_index import ARTICLES, RosterIndex, forms_of
from bot.language.tokens import Token, stands, text_at
from bot.language.vocabulary import means, vocabulary

EVERYONE = {"everyone", "everybody", "everything"}
QUANTIFIERS = {*EVERYONE, "everyones", "all", "both", "every", "each", "whole"}
ALL_NOUNS = {
    "tubs", "boxes", "pots", "enclosures", "animals", "spiders", "occupants", "tanks", "vivs", "places", "rack", "room",
    "collection", "tub", "enclosure", "animal", "spider", "inverts", "beasts", "critters", "creatures", "you", "lot",
    "lads", "gang", "crew", "kids", "shelves", "racks", "units",
}  # fmt: skip
GROUP_NOUNS = {"groups", "group", "communals", "colonies"}
BOTH = 2
CROWDS = {"lot", "gang", "crew"}
FIXTURES = {"dish", "dishes", "bowl", "bowls", "waters"}
"""What each place has one of: "all water dishes" are those of everybody."""

SO_MANY = {
    "two": 2, "three": 3, "four": 4, "five": 5, "six": 6, "seven": 7, "eight": 8, "nine": 9, "ten": 10,
    **{f"{number}": number for number in range(2, 11)},
}  # fmt: skip
PASSED = {"of", "the", "my", "our", "lots", "other", "single", *SO_MANY}
"""Words between "all" and its noun: "all of my other four tubs"."""

ROUNDS = ("mist", "feed", "clean", "water", "fill")
WATERED = {"water", "dish", "dishes", "bowls"}
AFTER_ALL = {
    "",
    "with",
    "of",
    ",",
    ".",
    "!",
    "today",
    "tonight",
    "yesterday",
    "last",
    "some",
    "on",
    "at",
    "this",
}
"""What may follow an "all" that stands for everyone, right after its verb ("misted all today")."""

EXCEPT = (
    "but, except, except for, bar, barring, apart from, besides, excluding, minus, other than, save, save for, aside from, but not, not,"
    " with the exception of, excepting, without, excl, not counting, though not, except the, leaving out, skipped, skipping, left out"
)
EXCEPT_PHRASES = sorted((tuple(words.split()) for words in EXCEPT.split(", ")), key=len, reverse=True)
EXCEPT_FIRST = {words[0] for words in EXCEPT_PHRASES}
WEAK_EXCEPT = {"not", "without", ",", "save", "but"}
"""Words that take nothing away from names told one by one: "fed tubs 1-3 but not …" goes on with something else."""


def everyone(tokens: tuple[Token, ...], at: int, index: RosterIndex) -> NameSpan | None:
    """Read "everyone", "all tubs", "all the slings", "both geckos", each with "but …" after it."""
    found = _everyone(tokens, at, index)
    return found if found is None or _as_many_as_said(tokens, found) else None


def _as_many_as_said(tokens: tuple[Token, ...], found: NameSpan) -> bool:
    """Whether they are as many as a number says ("all three"); where they are not, those told before are meant."""
    alone = tokens[found.first].text == "all" and found.last == found.first + 1
    follows = text_at(tokens, found.last) in SO_MANY and text_at(tokens, found.last + 1) not in {"-", "to", "or", "x"}
    counted = alone and follows and not starts_amount(tokens, found.last)
    said = [token.text for token in tokens[found.first : found.last + counted]]
    number = next((SO_MANY[text] for text in said[1:] if text in SO_MANY), None)
    open_to_others = found.without or {"other", "rest"} & set(said) or (said[-1].isdigit() and not counted)
    return number is None or bool(open_to_others) or number == len(found.subjects)


def _everyone(tokens: tuple[Token, ...], at: int, index: RosterIndex) -> NameSpan | None:
    text = tokens[at].text
    length = _everyone_after_act(tokens, at)
    if length:
        return less(tokens, NameSpan(at, at + length, index.everyone, "all"), index)
    if text not in QUANTIFIERS or (text == "everything" and text_at(tokens, at + 1) in {"on", "about"}):
        return None
    cursor = at + 1
    while text_at(tokens, cursor) in PASSED:
        cursor += 1
    named = _several(tokens, cursor, index) if text not in EVERYONE else None
    if named and _counts_prey(tokens, at, cursor):
        return None  # "all three crickets" are food, whatever the colony is called
    named = named or _all_with(tokens, cursor, index, text)
    if named and text == "both" and len(named.subjects) > BOTH:
        return None
    if named:
        how = "many" if len(named.subjects) > 1 else named.how
        return less(tokens, replace(named, first=at, how=how), index)
    whole = _whole(tokens, at, cursor, index)
    return less(tokens, whole, index) if whole else None


def _everyone_after_act(tokens: tuple[Token, ...], at: int) -> int:
    """How many words mean everyone only after an act: "fed anyone", "fed the lot", "water everywhere"; 0 where none do."""
    text = tokens[at].text
    if text == "everywhere":
        near = tokens[max(0, at - 5) : at]
        return int(any(_is_round(token.text) or means(token.text, "thing", "leftovers") for token in near))
    if text == "the" and text_at(tokens, at + 1) == "lot":
        return 2 if at and _is_round(tokens[at - 1].text) else 0
    return int(text in {"anyone", "anybody"} and at > 0 and _is_act(tokens[at - 1].text))


def _is_round(text: str) -> bool:
    """Whether a word is of a round that goes everywhere: misting, watering, feeding."""
    return means(text, "verb", *ROUNDS) or text in WATERED


def _counts_prey(tokens: tuple[Token, ...], at: int, cursor: int) -> bool:
    counted = any(
        token.text in PASSED - {"of", "the", "my", "our", "lots", "other", "single"}
        for token in tokens[at + 1 : cursor]
    )
    placed = at > 0 and tokens[at - 1].text in {"in", "into", "of", "from"}  # "water in all three pods"
    return counted and not placed and cursor < len(tokens) and means(tokens[cursor].text, "prey")


def _all_with(tokens: tuple[Token, ...], at: int, index: RosterIndex, text: str) -> NameSpan | None:
    """All whose names have a word: "both vivs" for the left viv and the right viv."""
    noun = text_at(tokens, at)
    if text not in {"all", "both"} or not noun.endswith("s"):
        return None
    names = index.partial.get(noun[:-1], ())
    return NameSpan(at, at + 1, names, "many") if len(names) > 1 else None


def _several(tokens: tuple[Token, ...], at: int, index: RosterIndex) -> NameSpan | None:
    return numbered(tokens, at, index) or exact(tokens, at, index)


def _is_act(text: str) -> bool:
    """Whether a word by itself is something that keepers do."""
    node = vocabulary().tree.next.get(text)
    return node is not None and any(sense.category == "verb" and sense.agent == "keeper" for sense in node.senses)


def _whole(tokens: tuple[Token, ...], at: int, cursor: int, index: RosterIndex) -> NameSpan | None:
    """Whom "all" and its like mean before a noun (at the cursor) that is no name."""
    text, noun = tokens[at].text, text_at(tokens, cursor)
    if noun in GROUP_NOUNS and index.groups and text != "everyone":
        return NameSpan(at, cursor + 1, index.groups, "many")
    if text in EVERYONE:
        return NameSpan(at, at + 1, index.everyone, "all")
    based = _based(noun, index) if text in {"all", "every", "both", "each"} else ()
    if len(based) > 1:
        return NameSpan(at, cursor + 1, based, "many")
    if text in {"all", "every", "whole"} and noun in ALL_NOUNS and not _those_told(tokens, at, cursor):
        return NameSpan(at, cursor + 1, index.everyone, "all")
    fixture = cursor + (text_at(tokens, cursor) in {"water", "drinking"})
    if text in {"all", "every"} and text_at(tokens, fixture) in FIXTURES:
        return NameSpan(at, fixture + 1, index.everyone, "all")
    return NameSpan(at, at + 1, index.everyone, "all") if text == "all" and _bare_all(tokens, at, noun) else None


def _those_told(tokens: tuple[Token, ...], at: int, cursor: int) -> bool:
    """Whether a crowd is that of those told before: "gave B a waxworm, whole lot feeding in a huddle", "all the gang of them"."""
    of_them = text_at(tokens, cursor + 1) == "of" and text_at(tokens, cursor + 2) in {"them", "em"}
    crowd = tokens[at].text == "whole" and text_at(tokens, cursor) in CROWDS
    return of_them or (crowd and not any(_is_act(token.text) for token in tokens[max(0, at - 2) : at]))


def _based(noun: str, index: RosterIndex) -> tuple[str, ...]:
    """All that are numbered after a noun ("all tubs")."""
    bases = (words for words in index.numbered if len(words) == 1 and len(noun) > 2 and noun in forms_of(words[0]))
    base = next(bases, None)
    return tuple(dict.fromkeys(index.numbered[base].values())) if base else ()


def _bare_all(tokens: tuple[Token, ...], at: int, noun: str) -> bool:
    """Whether "all" stands for everyone by itself: after its verb, or before an exception."""
    after_act = at > 0 and _is_act(tokens[at - 1].text) and noun in AFTER_ALL
    acted = at + 1 + _is_act(noun)  # "all watered except B"
    return after_act or _past_exception(tokens, acted) is not None


# ---- exceptions -----------------------------------------------------------------------------------------------------


def less(tokens: tuple[Token, ...], span: NameSpan, index: RosterIndex, *, plainly: bool = False) -> NameSpan:
    """Take away what an exception names; an exception that names nobody on the roster changes nothing.

    `plainly` says that the names were told one by one: then only words that can be nothing else except.
    """
    cursor = _past_exception(tokens, span.last)
    if cursor is None or (plainly and tokens[span.last].text in WEAK_EXCEPT):
        return span
    gone, last = _gone(tokens, cursor, span, index)
    if not gone:
        return span
    places = {index.place_of[name] for name in gone}
    kept = tuple(name for name in span.subjects if index.place_of[name] not in places)
    return replace(span, subjects=kept, last=last, how="many", without=gone)


def _past_exception(tokens: tuple[Token, ...], at: int) -> int | None:
    """The token after words such as "except for", longest first; None where there are none."""
    start = at + (text_at(tokens, at) == ",")
    if text_at(tokens, start) not in EXCEPT_FIRST:
        return None
    return next((start + len(words) for words in EXCEPT_PHRASES if stands(tokens, start, words)), None)


def _gone(tokens: tuple[Token, ...], at: int, span: NameSpan, index: RosterIndex) -> tuple[tuple[str, ...], int]:
    """Whom an exception names, one or a list of them, and the token after them."""
    gone: tuple[str, ...] = ()
    cursor = last = at
    while True:
        while text_at(tokens, cursor) in ARTICLES | {"for", "those", "in", "on"}:
            cursor += 1
        named = _excepted(tokens, cursor, span, index) if cursor < len(tokens) else None
        if named is None or (gone and is_told_of(tokens, named.last)):
            return gone, last
        gone += named.subjects
        last = named.last
        link = text_at(tokens, last)
        if link not in JOINERS or (link == "," and means(text_at(tokens, last + 1), "prey")):
            return gone, last
        cursor = last + 1


def _excepted(tokens: tuple[Token, ...], at: int, span: NameSpan, index: RosterIndex) -> NameSpan | None:
    return _several(tokens, at, index) or near(tokens, at, index) or _bare_number(tokens, at, span, index)


def _bare_number(tokens: tuple[Token, ...], at: int, span: NameSpan, index: RosterIndex) -> NameSpan | None:
    """A number that ends the name of one of those meant: "slings bar 12"."""
    label = key_at(tokens, at)
    if not label.isdigit() or starts_amount(tokens, at):
        return None  # "fed everyone bar B, 3 crickets each"
    places = {index.place_of[name] for name in span.subjects}
    members = (members for members in index.numbered.values() if label in members)
    named = next((those[label] for those in members if index.place_of[those[label]] in places), None)
    return NameSpan(at, at + 1, (named,)) if named else None
