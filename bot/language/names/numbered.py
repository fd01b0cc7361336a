"""Numbered names: "tubs 2-5", "tubs 1, 2 and 4", "groups A to C", "t1-t3"."""

from __future__ import annotations

from bot.language.names.exact import JOINERS, exact, key_at
from bot.language.names.span import NameSpan
from bot.language.roster_index import ARTICLES, Base, RosterIndex, forms_of
from bot.language.tokens import Token, text_at
from bot.language.units import UNITS
from bot.language.vocabulary import longest_match, means, vocabulary

RANGES = {"-", "to", "through", "thru", "till", "until"}
NUMBER_SIGNS = {"#", "no", "number", "numbers", "nr", "nos"}
WARMING = {
    "warm",
    "warmed",
    "heat",
    "heated",
    "cool",
    "cooled",
    "raise",
    "raised",
    "lower",
    "lowered",
    "bring",
    "brought",
}
SPANS = {"day", "days", "week", "weeks", "month", "months", "hour", "hours", "minute", "minutes", "times", "wks", "hrs"}
COUNTED = {"prey", "state", "thing"}
BEING = {"is", "are", "was", "were", "has", "have", "looks", "seems", "got", "all"}
"""What may be said of a name right after it, besides verbs and looks."""

NO_NOUN = JOINERS | RANGES | ARTICLES


def numbered(tokens: tuple[Token, ...], at: int, index: RosterIndex) -> NameSpan | None:
    """Names that a base word and numbers or letters after it stand for; a bare plural of the base stands for all of them."""
    if at >= len(tokens):
        return None
    for base in index.bases.get(tokens[at].text, ()):
        found = _after_base(tokens, at, base, index)
        if found is not None:
            return found
    return None


def _after_base(tokens: tuple[Token, ...], at: int, base: Base, index: RosterIndex) -> NameSpan | None:
    cursor, plural = _base(tokens, at, base.words)
    if cursor is None:
        return None
    labels, last = _labels(tokens, cursor, base, plural=plural)
    if not labels and plural and _means_all(base) and exact(tokens, at, index) is None:
        return NameSpan(at, cursor, tuple(dict.fromkeys(base.members.values())), "many")
    subjects = tuple(dict.fromkeys(base.members[label] for label in labels if label in base.members))
    return NameSpan(at, last, subjects, "many" if len(subjects) > 1 else "name") if subjects else None


def _means_all(base: Base) -> bool:
    """Whether the plural alone ("the tubs") means all that have the base; "groups" may be others, short bases are no words."""
    return len(set(base.members.values())) > 1 and base.words[-1] != "group" and len(base.words[-1]) > 2


def _base(tokens: tuple[Token, ...], at: int, words: tuple[str, ...]) -> tuple[int | None, bool]:
    """The token after a base and a number sign, None where the base does not stand here; and whether it was a plural."""
    plural = False
    for offset, word in enumerate(words):
        text = text_at(tokens, at + offset)
        if text != word:
            if text not in forms_of(word):
                return None, False
            plural = True
    cursor = at + len(words)
    while text_at(tokens, cursor) in NUMBER_SIGNS and key_at(tokens, min(cursor + 1, len(tokens) - 1)).isdigit():
        cursor += 1
    return cursor, plural


def _labels(tokens: tuple[Token, ...], at: int, base: Base, *, plural: bool) -> tuple[list[str], int]:
    """Numbers or letters after a base word, with ranges between; the base may be said again ("tub 1 and tub 2")."""
    labels: list[str] = []
    if plural and _counts_range(tokens, at, at - len(base.words) - 1):
        return labels, at
    cursor, last, range_from = at, at, None
    while cursor < len(tokens):
        label = _label(tokens, cursor, base.members)
        chain = _chain(tokens[cursor], base.members) if plural else []
        if chain:
            labels += chain[:-1]
            label = chain[-1]
        if label is None or (range_from is None and _counts(tokens, cursor, len(labels), plural=plural)):
            break
        if range_from is not None and (
            _is_warmth(tokens, at, cursor)
            or _runs_down(tokens, cursor, range_from, label)
            or _follows_dash(tokens, cursor, plural=plural)
        ):
            break
        labels += _between(range_from, label, base.members) if range_from else [label]
        last = cursor + 1
        link, after = _link(tokens, last)
        if link == "," and _begins_clause(tokens, at, _past_repeat(tokens, after, base.words), base.members):
            break
        if link is None:
            if not plural or not _goes_on(tokens, last, base.members):
                break
            after = last
        range_from = label if link in RANGES else None
        cursor = _past_repeat(tokens, after, base.words)
    return labels, last


def is_told_of(tokens: tuple[Token, ...], at: int) -> bool:
    """Whether something is told of the name before this token: "all but B and C, the golds webbing like mad"."""
    text = text_at(tokens, at)
    return means(text, "verb") or means(text, "sign") or means(text, "outcome") or text in BEING


def _begins_clause(tokens: tuple[Token, ...], first: int, at: int, members: dict[str, str]) -> bool:
    """Whether the labels after a comma are told of themselves, after an act: "sprayed pots 1 to 3, pot 4 has mould"."""
    acted = any(means(token.text, "verb") and token.kind == "word" for token in tokens[max(0, first - 12) : first])
    cursor = at
    while cursor < len(tokens) and (
        _label(tokens, cursor, members) is not None or text_at(tokens, cursor) in {"and", "&"}
    ):
        cursor += 1
    return acted and cursor > at and is_told_of(tokens, cursor)


def _counts_range(tokens: tuple[Token, ...], at: int, lead: int) -> bool:
    """Whether a range after "the slings" is an amount: "fed the slings 2-3 crickets"; "slings 2-3" alone are two of them."""
    ranged = text_at(tokens, at + 1) in RANGES and at + 2 < len(tokens) and tokens[at + 2].kind == "number"
    return ranged and lead >= 0 and tokens[lead].text in ARTICLES and starts_amount(tokens, at + 2)


def _runs_down(tokens: tuple[Token, ...], at: int, low: str, high: str) -> bool:
    """Whether "tub 5 to tub 4" goes from one place to another, for no range runs down."""
    moved = text_at(tokens, at - 1) == "to" or text_at(tokens, at - 2) == "to"
    return moved and low.isdigit() and high.isdigit() and int(high) < int(low)


def _follows_dash(tokens: tuple[Token, ...], at: int, *, plural: bool) -> bool:
    """Whether a dash with room around it stands before an amount, and in no range: "tub 1 - 6 roaches"."""
    dash = tokens[at - 1]
    return dash.text == "-" and not dash.glued and not plural


def _is_warmth(tokens: tuple[Token, ...], first: int, at: int) -> bool:
    """Whether the number after "to" is the temperature a place is brought to: "warm tub 4 to 26"."""
    warmed = any(token.text in WARMING for token in tokens[max(0, first - 4) : first])
    return text_at(tokens, at - 1) == "to" and (warmed or text_at(tokens, at + 1) in {"c", "f", "°"})


def _chain(token: Token, members: dict[str, str]) -> list[str]:
    """The labels of "tubs 1,2", which is written like a decimal number."""
    parts = token.raw.split(",") if token.kind == "number" else []
    return parts if len(parts) > 1 and all(part in members for part in parts) else []


def _goes_on(tokens: tuple[Token, ...], at: int, members: dict[str, str]) -> bool:
    """Whether a list goes on without commas, as it is dictated: "tanks one two three", "boxes 1 3 and 4"."""
    return (
        at < len(tokens)
        and (tokens[at].kind == "word" or tokens[at].raw.isdigit())
        and _label(tokens, at, members) is not None
        and not starts_amount(tokens, at)
        and not (text_at(tokens, at + 1) in RANGES and starts_amount(tokens, at + 2))  # "pots 2 to 4 2-3 crickets"
    )


def _past_repeat(tokens: tuple[Token, ...], at: int, words: tuple[str, ...]) -> int:
    """The token after the base said again, or the end of it ("drawers A1 to A4"); the same token where it is not."""
    repeat, _ = _base(tokens, at, words)
    if repeat is None and len(words) > 1:
        repeat, _ = _base(tokens, at, words[-1:])
    return repeat if repeat is not None and repeat < len(tokens) else at


def _label(tokens: tuple[Token, ...], at: int, members: dict[str, str]) -> str | None:
    """The number or letter that stands here; after a range also one that nobody has ("tubs 2-99")."""
    text = key_at(tokens, at)
    if text in members:
        return text
    ranged = at > 1 and tokens[at - 1].text in RANGES and tokens[at - 2].kind == "number"
    return text if ranged and text.isdigit() and any(label.isdigit() for label in members) else None


def _link(tokens: tuple[Token, ...], at: int) -> tuple[str | None, int]:
    """The word that goes on a list or a range, and the token after it; two joiners (", and") are one."""
    text = text_at(tokens, at)
    if text in RANGES:
        return text, at + 1
    if text in JOINERS:
        return text, at + 1 + (text_at(tokens, at + 1) in JOINERS)
    return None, at


def _counts(tokens: tuple[Token, ...], at: int, before: int, *, plural: bool) -> bool:
    """Whether the number is an amount and no label, with so many labels before it.

    A first one is only after a plural ("groups 4 crickets each"); a plural has no label alone ("tubs 1 and 4 crickets").
    """
    if before == 0:
        return plural and text_at(tokens, at + 1) not in RANGES and starts_amount(tokens, at)
    return not (plural and before == 1) and starts_amount(tokens, at)


def starts_amount(tokens: tuple[Token, ...], at: int) -> bool:
    """Whether a number belongs to what follows ("tub 1, 2 crickets") rather than to the list of places."""
    after = text_at(tokens, at + 1)
    if not after or tokens[at + 1].kind == "mark":
        return after in {"%", '"'}
    if after == "to":
        return at + 2 < len(tokens) and tokens[at + 2].kind != "number"
    return (
        after in {"in", "into", "for", "from", "x", "more", "dead", "died", "left", "seen", "visible", "missing"}
        or after in UNITS
        or after in SPANS
        or _noun_follows(tokens, at + 1)
    )


def _noun_follows(tokens: tuple[Token, ...], at: int) -> bool:
    """Whether one of the next three words is something that is counted, with only plain words before it."""
    for ahead in range(at, min(at + 3, len(tokens))):
        match = longest_match(vocabulary().tree, tokens, ahead)
        if match:
            return any(sense.category in COUNTED for sense in match[1])
        if tokens[ahead].kind != "word" or tokens[ahead].text in NO_NOUN:
            return False
    return False


def _between(low: str, high: str, members: dict[str, str]) -> list[str]:
    """The labels of a range after its first: numbers by value, letters by the alphabet."""
    if low.isdigit() and high.isdigit():
        figures = sorted((label for label in members if label.isdigit()), key=int)
        return [label for label in figures if int(low) < int(label) <= int(high)]
    return [label for label in sorted(members) if low < label <= high and not label.isdigit()]
