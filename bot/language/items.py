"""Tokens to items: names, dates, quantities and words of the trade, in the order they stand in the message."""

from __future__ import annotations

import re
from dataclasses import dataclass, replace
from typing import TYPE_CHECKING

from bot.language.dates import DateSpan, read_dates
from bot.language.names import NameSpan, find_names
from bot.language.quantities import Quantity, read_quantity
from bot.language.roster_index import RosterIndex, roster_index
from bot.language.tokens import Token, tokenise
from bot.language.units import MM_IN
from bot.language.vocabulary import Node, Sense, longest_match, vocabulary

if TYPE_CHECKING:
    from collections.abc import Iterable, Mapping
    from datetime import datetime

    from bot.language.roster import Roster

CALENDAR_NAMES = frozenset(
    "january february march april may june july august september october november december"
    " jan feb mar apr jun jul aug sep sept oct nov dec monday tuesday wednesday thursday friday saturday sunday"
    " mon tue tues wed weds thu thur thurs fri sat sun summer autumn winter spring noon midnight dawn".split()
)
CALENDAR_LEADS = {"in", "since", "until", "till", "during", "next", "last", "early", "late", "mid", "on", "this", "every", "by", "from", "of", "to", "through", "coming"}  # fmt: skip
MONTH_LEADS = {"in", "since", "until", "till", "during", "next", "last", "early", "late", "mid", "this"}
CALENDAR_PARTS = {"morning", "evening", "night", "afternoon", "am", "pm", "eve"}
NOT_COUNTED = {"only", "the", "that", "this", "other", "big", "little", "small", "every", "another", "last", "first", "new", "old", "no", "any", "same", "wrong", "right", "good", "bad", "sad", "tough"}
MASK = "\u0000"


@dataclass(frozen=True, slots=True)
class Item:
    """One piece of a message: `kind` is name, date, number, word (of the trade), mark or plain.

    first and last count tokens (last exclusive), start and end characters. A word may have several senses.
    """

    kind: str
    text: str
    first: int
    last: int
    start: int
    end: int
    senses: tuple[Sense, ...] = ()
    name: NameSpan | None = None
    date: DateSpan | None = None
    quantity: Quantity | None = None
    raw: str = ""
    possessive: bool = False

    def sense(self, category: str, *values: str) -> Sense | None:
        """The first sense of a category, of one of the values if any are given."""
        for sense in self.senses:
            if sense.category == category and (not values or sense.value in values):
                return sense
        return None

    def verb(self, *values: str) -> bool:
        """Whether it is one of these verbs."""
        return self.sense("verb", *values) is not None

    @property
    def forms(self) -> frozenset[str]:
        """The forms it may be as a verb: base, past, ing, third; empty for anything else."""
        return frozenset(sense.form for sense in self.senses if sense.category == "verb") if self.kind == "word" else frozenset()

    def thing(self, *values: str) -> bool:
        """Whether it is one of these nouns."""
        return self.sense("thing", *values) is not None

    @property
    def prey(self) -> str | None:
        """The prey it names."""
        sense = self.sense("prey")
        return sense.value if sense else None


@dataclass(frozen=True)
class Tagged:
    """A message taken apart: its tokens, items, and the roster's index."""

    text: str
    tokens: tuple[Token, ...]
    items: tuple[Item, ...]
    index: RosterIndex


def tag(text: str, now: datetime, roster: Roster, prefer: str = "past") -> Tagged:
    """Take a message apart; `prefer` says which way a bare weekday or date points (past for logs, future for plans)."""
    tokens = _taught(tokenise(text), roster.vocabulary)
    index = roster_index(roster)
    names = {span.first: span for span in find_names(tokens, index) if not _is_calendar_word(tokens, span)}
    tokens = _spelt(tokens, names.values())
    masked = _masked(text, tokens, names.values())
    dates = {}
    for span in read_dates(masked, now, "future" if prefer == "future" else "past"):
        covered = [number for number, token in enumerate(tokens) if token.start < span.end and token.end > span.start]
        if covered and span.surely:
            dates[covered[0]] = (span, covered[-1] + 1)
        elif covered and _stands_alone(tokens, covered[0], covered[-1] + 1, span.words):
            dates[covered[0]] = (span, covered[-1] + 1)
    return Tagged(text, tokens, tuple(_items(text, tokens, names, dates)), index)


def _taught(tokens: tuple[Token, ...], words: Mapping[str, str]) -> tuple[Token, ...]:
    """Put what a taught phrase means in its place; every new token points at the keeper's own words."""
    taught = sorted(((tuple(token.text for token in tokenise(phrase)), means) for phrase, means in words.items()), key=lambda pair: -len(pair[0]))
    if not taught:
        return tokens
    out: list[Token] = []
    at = 0
    while at < len(tokens):
        for key, means in taught:
            if key and tuple(token.text for token in tokens[at : at + len(key)]) == key:
                start, end = tokens[at].start, tokens[at + len(key) - 1].end
                out += [Token(token.text, start, end, token.kind, token.raw, token.value) for token in tokenise(means)]
                at += len(key)
                break
        else:
            out.append(tokens[at])
            at += 1
    return tuple(out)


def _spelt(tokens: tuple[Token, ...], names: Iterable[NameSpan]) -> tuple[Token, ...]:
    """Misspelt words of the trade put right, names left alone."""
    named = {at for span in names for at in range(span.first, span.last)}
    book = vocabulary()
    out = []
    for at, token in enumerate(tokens):
        mended = book.correct(token.text) if token.kind == "word" and at not in named else None
        if token.text == "too" and at + 1 < len(tokens) and any(sense.category == "prey" for sense in book.tree.next.get(tokens[at + 1].text, Node()).senses):
            mended = "two"  # as dictation hears it
        out.append(replace(token, text=mended) if mended else token)
    return tuple(out)


def _stands_alone(tokens: tuple[Token, ...], first: int, last: int, words: str) -> bool:
    """Weak dates that their place makes sure: 12/5 or 8.5. opening a message or closing a clause, a day after "that was" or "no"."""
    before = [token.text for token in tokens[max(0, first - 2) : first]]
    if before and before[-1] in {"no", "mean", "meant", "wait", "sorry"} or before[-2:] in (["that", "was"], ["it", "was"], ["no", "the"], ["they", "were"], ["mean", "the"], ["not", "the"]):
        return words.lower() not in {"now"}
    if not re.fullmatch(r"\d{1,2}[/.]\d{1,2}\.?", words):
        return False
    opens = first == 0
    closes = last >= len(tokens) or tokens[last].text in {",", ".", ";", "!", "\n", ":"}
    return (opens and ("/" in words or words.endswith("."))) or (closes and "/" in words and first > 0 and tokens[first - 1].kind == "word")


def _is_calendar_word(tokens: tuple[Token, ...], span: NameSpan) -> bool:
    """Whether a name that is also a month or a weekday is the calendar's here ("in may", "3 june") and not the animal's."""
    if span.last - span.first > 1 or tokens[span.first].text not in CALENDAR_NAMES:
        return False
    before = tokens[span.first - 1].text if span.first else ""
    after = tokens[span.last].text if span.last < len(tokens) else ""
    month = tokens[span.first].text[:3] in {"jan", "feb", "mar", "apr", "may", "jun", "jul", "aug", "sep", "oct", "nov", "dec"}
    dated = before == "of" and span.first > 1 and (tokens[span.first - 2].text in {"st", "nd", "rd", "th"} or tokens[span.first - 2].text.endswith(("st", "th", "nd", "rd")))
    lead = dated or before in (MONTH_LEADS if month else CALENDAR_LEADS) or before.isdigit() or (before in {"th", "st", "nd", "rd"} and span.first > 1)
    ordinal = after.isdigit() and span.last + 1 < len(tokens) and tokens[span.last + 1].text in {"th", "st", "nd", "rd"}
    return lead or ordinal or after in CALENDAR_PARTS


def _masked(text: str, tokens: tuple[Token, ...], names: object) -> str:
    """The text with names blanked out, so that no date is read across "tub 4 friday"."""
    chars = list(text)
    for span in names:  # type: ignore[attr-defined]
        for position in range(tokens[span.first].start, tokens[span.last - 1].end):
            chars[position] = "\u25a0"
    return "".join(chars)


def _items(text: str, tokens: tuple[Token, ...], names: dict[int, NameSpan], dates: dict[int, tuple[DateSpan, int]]) -> list[Item]:
    items: list[Item] = []
    at = 0
    while at < len(tokens):
        item = _item_at(text, tokens, at, names, dates)
        items.append(item)
        at = max(item.last, at + 1)
    return items


def _item_at(text: str, tokens: tuple[Token, ...], at: int, names: dict[int, NameSpan], dates: dict[int, tuple[DateSpan, int]]) -> Item:
    token = tokens[at]
    stop = _next_taken(at, names, dates, len(tokens))
    if at in dates and not (at in names and names[at].last >= dates[at][1]):
        span, last = dates[at]
        return Item("date", span.words, at, last, span.start, span.end, date=span, raw=span.words)
    phrase = _phrase(tokens, at, names, dates, stop)
    if at in names:
        return _named(text, tokens, names[at], phrase)
    quantity = read_quantity(tokens[:stop], at)
    if quantity and _is_quantity(tokens, quantity, phrase, at):
        return _piece("number", text, tokens, at, quantity[1], quantity=quantity[0])
    if phrase:
        last, senses = phrase
        return _piece("word", text, tokens, at, last, senses=tuple(senses))
    return _piece("mark" if token.kind == "mark" else "plain", text, tokens, at, at + 1)


def _phrase(tokens: tuple[Token, ...], at: int, names: dict[int, NameSpan], dates: dict[int, tuple[DateSpan, int]], stop: int) -> tuple[int, list[Sense]] | None:
    """The longest phrase of the trade; it may run over a name only when it holds all of it ("fruit flies" and a colony called flies)."""
    whole = longest_match(vocabulary().tree, tokens, at)
    if whole is None or at in names or whole[0] <= stop:
        return whole
    inside = [span for first, span in names.items() if at < first < whole[0]]
    if all(span.last <= whole[0] for span in inside) and not any(at < first < whole[0] for first in dates):
        return whole
    return longest_match(vocabulary().tree, tokens[:stop], at)


def _is_quantity(tokens: tuple[Token, ...], quantity: tuple[Quantity, int], phrase: tuple[int, list[Sense]] | None, at: int) -> bool:
    """A number, unless a longer phrase of the trade starts with the same word ("one corner", "a bit")."""
    value, last = quantity
    if tokens[at].text == "one" and at and tokens[at - 1].text in NOT_COUNTED:
        return False
    if phrase is None:
        return True
    if value.article and phrase[0] > last:
        return False
    return phrase[0] <= last or (phrase[0] - at <= 1) or value.unit in MM_IN


def _next_taken(at: int, names: dict[int, NameSpan], dates: dict[int, tuple[DateSpan, int]], size: int) -> int:
    """Where the next name or date begins: no phrase or number reaches into it."""
    following = [position for position in (*names, *dates) if position > at]
    return min(following, default=size)


def _named(text: str, tokens: tuple[Token, ...], span: NameSpan, phrase: tuple[int, list[Sense]] | None) -> Item:
    """A name; where its words are also words of the trade (a colony called "crickets") it keeps those senses too."""
    senses: tuple[Sense, ...] = ()
    if phrase and phrase[0] >= span.last and span.how not in {"all"}:
        if phrase[0] > span.last:
            return _piece("word", text, tokens, span.first, phrase[0], senses=tuple(phrase[1]))
        senses = tuple(phrase[1])
    return _piece("name", text, tokens, span.first, span.last, senses=senses, name=span)


def _piece(kind: str, text: str, tokens: tuple[Token, ...], first: int, last: int, *, senses: tuple[Sense, ...] = (), name: NameSpan | None = None, quantity: Quantity | None = None) -> Item:  # noqa: PLR0913 - the parts of an Item
    start, end = tokens[first].start, tokens[last - 1].end
    words = " ".join(token.text for token in tokens[first:last])
    return Item(kind, words, first, last, start, end, senses, name, None, quantity, text[start:end], any(token.possessive for token in tokens[first:last]))
