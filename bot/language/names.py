"""Finding the roster's names in a message: one by one, lists, ranges, tags, species, everyone, all but."""

from __future__ import annotations

from dataclasses import dataclass, replace
from typing import TYPE_CHECKING

from bot.language.units import UNITS
from bot.language.roster_index import ARTICLES, NUMBER_WORDS, NameNode, RosterIndex, near_words
from bot.language.vocabulary import is_ordinary, longest_match, vocabulary

if TYPE_CHECKING:
    from bot.language.tokens import Token

ALL_WORDS = {"everyone", "everybody", "everything", "everyones", "all"}
ALL_NOUNS = {"tubs", "boxes", "pots", "enclosures", "animals", "spiders", "occupants", "tanks", "vivs", "places", "rack", "room", "collection", "tub", "enclosure", "animal", "spider", "inverts", "beasts", "critters", "creatures", "them", "you", "lot", "lads", "gang", "crew", "kids", "shelves", "racks", "units"}  # fmt: skip
EXCEPT = {("but",), ("except",), ("except", "for"), ("bar",), ("barring",), ("apart", "from"), ("besides",), ("excluding",), ("minus",), ("other", "than"), ("save",), ("save", "for"), ("aside", "from"), ("but", "not"), ("not",), ("with", "the", "exception", "of"), ("excepting",), ("without",), ("excl",), ("not", "counting"), ("though", "not"), ("except", "the"), ("leaving", "out")}  # fmt: skip
JOINERS = {",", "and", "+", "&", "/", "plus"}
RANGES = {"-", "to", "through", "thru", "till", "until"}
COUNT_WORDS = {"two", "three", "four", "five", "six", "seven", "eight", "nine", "ten", "2", "3", "4", "5", "6", "7", "8", "9", "10"}


@dataclass(frozen=True, slots=True)
class NameSpan:
    """Roster names that some tokens stand for. `how` is name, many, all, either (only one of several is meant) or near."""

    first: int
    last: int
    subjects: tuple[str, ...]
    how: str = "name"
    typo: bool = False
    part: bool = False  # only one word of a longer name was said ("the box")
    places: frozenset[str] = frozenset()  # the enclosures they stand for
    groups: bool = False  # all of them are groups, not single animals
    animals: bool = False  # all of them are single animals, by their own names


def find_names(tokens: tuple[Token, ...], index: RosterIndex) -> list[NameSpan]:
    """All names in a message, in order; lists of names are one span."""
    spans: list[NameSpan] = []
    at = 0
    while at < len(tokens):
        span = _span_at(tokens, at, index)
        if span is None:
            at += 1
            continue
        spans.append(replace(span, places=frozenset(index.place_of[name] for name in span.subjects), groups=all(name in index.groups for name in span.subjects), animals=all(name in index.animals for name in span.subjects)))
        at = span.last
    return spans


def _span_at(tokens: tuple[Token, ...], at: int, index: RosterIndex) -> NameSpan | None:
    token = tokens[at]
    if token.kind == "mark" or (token.glued and at and tokens[at - 1].kind == "number" and len(token.text) == 1):
        return None
    everyone = _everyone(tokens, at, index)
    if everyone:
        return everyone
    numbered = _numbered(tokens, at, index)
    single = _exact(tokens, at, index)
    if numbered and (single is None or numbered.last >= single.last):
        return _less(tokens, numbered, index, plainly=True) if len(numbered.subjects) > 1 else numbered
    if single:
        return _less(tokens, single, index, plainly=True) if single.how == "many" else single
    return _near(tokens, at, index) or _unknown_number(tokens, at, index) or _part_of_name(tokens, at, index)


def _unknown_number(tokens: tuple[Token, ...], at: int, index: RosterIndex) -> NameSpan | None:
    """ "pot 9" where there are pots but no pot 9: a place that is not on the roster."""
    base = tokens[at].text
    members = index.numbered.get((base,))
    after = tokens[at + 1] if at + 1 < len(tokens) else None
    if len(base) < 2 or members is None or after is None or after.kind != "number" or not after.raw.isdigit():
        return None
    known = any(label.isdigit() for label in members)
    return NameSpan(at, at + 2, (), "unknown") if known and after.text not in members and not _starts_amount(tokens, at + 1) else None


def _text(tokens: tuple[Token, ...], at: int) -> str:
    return tokens[at].text if at < len(tokens) else ""


def _key(token: Token, first: bool) -> str:
    return token.text if first else NUMBER_WORDS.get(token.text, "2" if token.text == "too" else token.text)


def _exact(tokens: tuple[Token, ...], at: int, index: RosterIndex) -> NameSpan | None:
    """The longest name that starts here, skipping a "#" or "no" before a number."""
    node: NameNode = index.tree
    best: NameSpan | None = None
    cursor = at
    while cursor < len(tokens):
        text = _key(tokens[cursor], first=cursor == at)
        if text in {"#", "no", "number", "nr"} and text not in node.next and cursor > at and _text(tokens, cursor + 1).isdigit():
            cursor += 1
            continue
        if text not in node.next:
            break
        node = node.next[text]
        cursor += 1
        if node.subjects is not None:
            best = NameSpan(at, cursor, node.subjects, {"tag": "many", "species": "many", "either": "either"}.get(node.how, "name"), part=node.how == "either")
    if best and len(best.subjects) == 1 and best.how != "name":
        best = replace(best, how="name")
    if best and best.last == at + 1 and tokens[at].text in {"may", "will"} and _modal(tokens, at):
        return None
    if best and best.last == at + 1 and len(tokens[at].text) == 1 and not _letter_is_name(tokens, at):
        return None
    return best


def _modal(tokens: tuple[Token, ...], at: int) -> bool:
    """ "may need", "will be" : the verb, not an animal called May or Will."""
    return tokens[at].raw.islower() and _text(tokens, at + 1) in {"need", "be", "have", "not", "well", "want", "eat", "moult", "molt", "also", "just", "go"}


def _letter_is_name(tokens: tuple[Token, ...], at: int) -> bool:
    """Whether a lone letter is a name here: "A" is also an article, "I" a pronoun, and letters stand beside units."""
    token = tokens[at]
    if at and tokens[at - 1].kind == "number" and tokens[at - 1].end == token.start:
        return False
    if token.possessive or token.text not in {"a", "i"}:
        return True
    if token.text == "i":
        return False
    after = _text(tokens, at + 1)
    follows = tokens[at + 1] if at + 1 < len(tokens) else None
    if token.raw == "A":
        starts = at == 0 or tokens[at - 1].text in {".", "!", "?", "\n", ";"}
        return not starts or follows is None or follows.kind != "word" or _is_verb(after) or after in JOINERS or after in {"is", "are", "was", "were", "all"}
    listed = after in {",", "+", "&"} and at + 2 < len(tokens) and len(tokens[at + 2].text) == 1
    joined = after == "and" and at + 2 < len(tokens) and len(tokens[at + 2].text) == 1
    before_list = at > 1 and tokens[at - 1].text in {"and", "+", "&", ","} and len(tokens[at - 2].text) == 1
    return listed or joined or before_list or follows is None or follows.kind == "number" or (follows.kind == "mark" and after != "-")


def _is_verb(text: str) -> bool:
    node = vocabulary().tree.next.get(text)
    return node is not None and any(sense.category == "verb" and sense.form in {"past", "third"} for sense in node.senses)


def _numbered(tokens: tuple[Token, ...], at: int, index: RosterIndex) -> NameSpan | None:
    """Numbered names: "tubs 2-5", "tubs 1, 2 and 4", "groups A to C", "t1-t3"."""
    for base, members in sorted(index.numbered.items(), key=lambda pair: -len(pair[0])):
        cursor, plural = _base(tokens, at, base)
        if cursor is None:
            continue
        labels, last = _labels(tokens, cursor, base, members, plural=plural)
        if not labels and plural and len(set(members.values())) > 1 and _exact(tokens, at, index) is None and base[-1] not in {"group", "t"} and len(base[-1]) > 2:
            return NameSpan(at, cursor, tuple(dict.fromkeys(members.values())), "many")
        if labels:
            subjects = tuple(dict.fromkeys(members[label] for label in labels if label in members))
            if subjects:
                return NameSpan(at, last, subjects, "many" if len(subjects) > 1 else "name")
    return None


def _base(tokens: tuple[Token, ...], at: int, base: tuple[str, ...]) -> tuple[int | None, bool]:
    plural = False
    for offset, word in enumerate(base):
        text = _text(tokens, at + offset)
        if text in {word + "s", word + "es"} and len(word) > 1:
            plural = True
        elif text != word:
            return None, False
    cursor = at + len(base)
    while _text(tokens, cursor) in {"#", "no", "number", "numbers", "nr", "nos"} and _key(tokens[min(cursor + 1, len(tokens) - 1)], first=False).isdigit():
        cursor += 1
    return cursor, plural


def _labels(tokens: tuple[Token, ...], at: int, base: tuple[str, ...], members: dict[str, str], *, plural: bool) -> tuple[list[str], int]:
    """Numbers or letters after a base word, with ranges between; the base may be said again ("tub 1 and tub 2")."""
    labels: list[str] = []
    cursor, last, span_from = at, at, None
    while cursor < len(tokens):
        label = _label(tokens, cursor, members)
        if label is None or (labels and span_from is None and not plural and _starts_amount(tokens, cursor)):
            break
        labels += _between(span_from, label, members) if span_from else [label]
        last = cursor + 1
        link, after = _link(tokens, last)
        if link is None and plural and last < len(tokens) and _label(tokens, last, members) is not None and tokens[last].kind == "word" and not _starts_amount(tokens, last):
            link, after = " ", last  # dictated: "tanks one two three"
        if link is None:
            break
        span_from = label if link in RANGES else None
        repeat, _ = _base(tokens, after, base)
        if repeat is None and len(base) > 1:
            repeat, _ = _base(tokens, after, base[-1:])  # "drawers A1 to A4" says only the end of the base again
        cursor = repeat if repeat is not None and repeat < len(tokens) else after
    return labels, last


def _label(tokens: tuple[Token, ...], at: int, members: dict[str, str]) -> str | None:
    token = tokens[at]
    text = _key(token, first=False)
    if text in members:
        return text
    before = tokens[at - 1].text if at else ""
    ranged = before in RANGES and at > 1 and tokens[at - 2].kind == "number"
    return text if ranged and text.isdigit() and any(label.isdigit() for label in members) else None


def _link(tokens: tuple[Token, ...], at: int) -> tuple[str | None, int]:
    text = _text(tokens, at)
    if text in RANGES:
        return text, at + 1
    if text in JOINERS:
        after = at + 1
        return text, after + (_text(tokens, after) in JOINERS)
    return None, at


def _starts_amount(tokens: tuple[Token, ...], at: int) -> bool:
    """Whether a number belongs to what follows ("tub 1, 2 crickets") rather than to the list of places."""
    after = _text(tokens, at + 1)
    if not after or tokens[at + 1].kind == "mark":
        return after in {"%", '"'}
    if after in {"in", "for", "from", "to"}:
        return True
    if after in UNITS and after != "in":
        return True
    for ahead in range(at + 1, min(at + 4, len(tokens))):
        match = longest_match(vocabulary().tree, tokens, ahead)
        if match and any(sense.category in {"prey", "state", "thing"} for sense in match[1]):
            return True
        if match or tokens[ahead].kind != "word" or tokens[ahead].text in JOINERS | RANGES | ARTICLES:
            return False
    return False


def _between(low: str, high: str, members: dict[str, str]) -> list[str]:
    if low.isdigit() and high.isdigit():
        return [label for label in sorted(members, key=lambda text: int(text) if text.isdigit() else 0) if label.isdigit() and int(low) < int(label) <= int(high)]
    return [label for label in sorted(members) if low < label <= high and not label.isdigit()]


def _everyone(tokens: tuple[Token, ...], at: int, index: RosterIndex) -> NameSpan | None:
    """ "everyone", "all tubs", "all the slings", "both geckos", each with "but …" after it."""
    text = tokens[at].text
    if text in {"anyone", "anybody"} and at and _acts(tokens[at - 1].text):
        return _less(tokens, NameSpan(at, at + 1, index.everyone, "all"), index)
    if text in ALL_WORDS | {"both", "every", "each", "whole"}:
        cursor = at + 1
        while cursor < len(tokens) and (_text(tokens, cursor) in {"of", "the", "my", "our", "lots", "other", "single"} or _text(tokens, cursor) in COUNT_WORDS):
            cursor += 1
        named = _numbered(tokens, cursor, index) or _exact(tokens, cursor, index) if cursor < len(tokens) and cursor > at else None
        if named and text not in {"everyone", "everybody", "everything"}:
            how = "many" if len(named.subjects) > 1 else named.how
            return _less(tokens, replace(named, first=at, how=how), index)
        return _whole(tokens, at, cursor, index)
    return None


def _is_prey(text: str) -> bool:
    node = vocabulary().tree.next.get(text)
    return node is not None and any(sense.category == "prey" for sense in node.senses)


def _acts(text: str) -> bool:
    node = vocabulary().tree.next.get(text)
    return node is not None and any(sense.category == "verb" and sense.agent == "keeper" for sense in node.senses)


def _whole(tokens: tuple[Token, ...], at: int, cursor: int, index: RosterIndex) -> NameSpan | None:
    text, noun = tokens[at].text, _text(tokens, cursor)
    if noun in {"groups", "group", "communals", "colonies"} and index.groups and text != "everyone":
        return _less(tokens, NameSpan(at, cursor + 1, index.groups, "many"), index)
    if text in {"everyone", "everybody", "everything"}:
        return _less(tokens, NameSpan(at, at + 1, index.everyone, "all"), index)
    base = next((members for words, members in index.numbered.items() if noun in {words[-1] + "s", words[-1] + "es", words[-1]} and len(words) == 1 and len(noun) > 2), None)
    if base and len(set(base.values())) > 1 and text in {"all", "every", "both", "each"}:
        return _less(tokens, NameSpan(at, cursor + 1, tuple(dict.fromkeys(base.values())), "many"), index)
    if text in {"all", "every", "whole"} and noun in ALL_NOUNS - {"them"}:
        return _less(tokens, NameSpan(at, cursor + 1, index.everyone, "all"), index)
    after_act = text == "all" and at > 0 and _acts(tokens[at - 1].text) and (not noun or noun in {"with", "of", ",", ".", "!", "today", "tonight", "yesterday", "last", "some", "their", "on", "at", "this"})
    if after_act:
        return _less(tokens, NameSpan(at, at + 1, index.everyone, "all"), index)
    excepted = text == "all" and _exception(tokens, at + 1) is not None
    return _less(tokens, NameSpan(at, at + 1, index.everyone, "all"), index) if excepted else None


def _exception(tokens: tuple[Token, ...], at: int) -> int | None:
    """The token after words such as "except for", longest first; None where there are none."""
    start = at + (_text(tokens, at) == ",")
    for words in sorted(EXCEPT, key=len, reverse=True):
        if all(_text(tokens, start + offset) == word for offset, word in enumerate(words)):
            return start + len(words)
    return None


def _less(tokens: tuple[Token, ...], span: NameSpan, index: RosterIndex, *, plainly: bool = False) -> NameSpan:
    """Take away what an exception names; an exception that names nobody on the roster changes nothing."""
    cursor = _exception(tokens, span.last)
    if cursor is None or (plainly and _text(tokens, span.last) in {"not", "without", ",", "save", "but"}):
        return span
    gone: set[str] = set()
    last = span.last
    while cursor < len(tokens):
        while _text(tokens, cursor) in ARTICLES | {"for", "those", "in", "on"}:
            cursor += 1
        if cursor >= len(tokens):
            break
        named = _numbered(tokens, cursor, index) or _exact(tokens, cursor, index) or _near(tokens, cursor, index) or _bare_number(tokens, cursor, span, index)
        if named is None:
            break
        gone |= {index.place_of[name] for name in named.subjects}
        last = named.last
        if _text(tokens, last) not in JOINERS or (_text(tokens, last) == "," and _is_prey(_text(tokens, last + 1))):
            break
        cursor = last + 1
    if not gone:
        return span
    kept = tuple(name for name in span.subjects if index.place_of[name] not in gone)
    return replace(span, subjects=kept, last=last, how="many")


def _bare_number(tokens: tuple[Token, ...], at: int, span: NameSpan, index: RosterIndex) -> NameSpan | None:
    """ "slings bar 12": a number that ends the name of one of those meant."""
    label = _key(tokens[at], first=False)
    if not label.isdigit():
        return None
    places = {index.place_of[name] for name in span.subjects}
    named = [members[label] for members in index.numbered.values() if label in members and index.place_of[members[label]] in places]
    return NameSpan(at, at + 1, (named[0],)) if named else None


def _near(tokens: tuple[Token, ...], at: int, index: RosterIndex) -> NameSpan | None:
    """A name with one typo; two names that fit alike make it a question."""
    token = tokens[at]
    text = token.text
    if token.kind != "word" or len(text) < 3 or not text.isalpha() or is_ordinary(text):
        return None
    near = near_words(index.words, text)
    subjects: list[str] = []
    last, how = at + 1, "name"
    for word in near:
        mended = (*tokens[:at], replace(token, text=word), *tokens[at + 1 :])
        span = _numbered(mended, at, index) or _exact(mended, at, index) or _part_of_name(mended, at, index)
        if span:
            subjects += [name for name in span.subjects if name not in subjects]
            last, how = max(last, span.last), span.how
    if not subjects:
        return None
    return NameSpan(at, last, tuple(subjects), "either" if len(near) > 1 and len(subjects) > 1 else how, typo=True)


def _part_of_name(tokens: tuple[Token, ...], at: int, index: RosterIndex) -> NameSpan | None:
    """One word of a longer name ("the tower"): the one that has it, or a question between several; "a tank" is no name."""
    names = index.partial.get(tokens[at].text)
    before = tokens[at - 1].text if at else ""
    if names is None or before in {"a", "an", "new", "bigger", "larger", "smaller", "another", "spare", "fresh", "taller", "different", "big", "small", "tall"}:
        return None
    return NameSpan(at, at + 1, names, "name" if len(names) == 1 else "either", part=True)
