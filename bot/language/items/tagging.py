"""Taking a message apart: tokens with taught phrases and misspellings put right, then names, dates, numbers and words."""

from __future__ import annotations

from bisect import bisect_left, bisect_right
from collections import defaultdict
from collections.abc import Collection, Iterator, Mapping
from dataclasses import dataclass, replace
from functools import cached_property
from typing import TYPE_CHECKING

from bot.language.dates import DateSpan, read_dates
from bot.language.dates.scan import MASK
from bot.language.items.calendar_words import is_calendar_word, stands_alone
from bot.language.items.item import Item, Tagged
from bot.language.names import NameSpan, find_names
from bot.language.quantities import Quantity, may_open, read_quantity
from bot.language.roster_index import roster_index
from bot.language.tokens import Token, text_at, tokenise
from bot.language.units import MM_IN
from bot.language.vocabulary import Sense, longest_match, means, vocabulary

if TYPE_CHECKING:
    from datetime import datetime

    from bot.language.roster import Roster

NOT_COUNTED = {
    "only", "single", "the", "that", "this", "other", "big", "little", "small", "every", "another", "last", "first", "new", "old", "no", "any", "same",
    "wrong", "right", "good", "bad", "sad", "tough",
}  # fmt: skip
"""Words before a "one" that is no number."""

LONGEST_QUANTITY = 40  # tokens

Phrase = tuple[int, list[Sense]]  # the token after it, and what it can stand for


@dataclass(frozen=True)
class _Message:
    """A message's tokens with the names and dates found in them, by the token they begin at; dates with the token after."""

    text: str
    tokens: tuple[Token, ...]
    names: dict[int, NameSpan]
    dates: dict[int, tuple[DateSpan, int]]

    @cached_property
    def _taken(self) -> list[int]:
        return sorted({*self.names, *self.dates})

    def next_taken(self, at: int) -> int:
        """Where the next name or date begins: no phrase or number reaches into it."""
        following = bisect_right(self._taken, at)
        return self._taken[following] if following < len(self._taken) else len(self.tokens)

    def piece(
        self,
        kind: str,
        first: int,
        last: int,
        *,
        senses: tuple[Sense, ...] = (),
        name: NameSpan | None = None,
        quantity: Quantity | None = None,
    ) -> Item:
        """The item of some tokens, last exclusive."""
        those = self.tokens[first:last]
        start, end = those[0].start, those[-1].end
        words = " ".join(token.text for token in those)
        possessive = any(token.possessive for token in those)
        return Item(
            kind, words, first, last, start, end, senses, name, None, quantity, self.text[start:end], possessive
        )


def tag(text: str, now: datetime, roster: Roster, prefer: str = "past") -> Tagged:
    """Take a message apart; `prefer` says which way a bare weekday or date points (past for logs, future for plans)."""
    tokens = _taught(tokenise(text), roster.vocabulary)
    index = roster_index(roster)
    names = {span.first: span for span in find_names(tokens, index) if not is_calendar_word(tokens, span)}
    tokens = _spelt(tokens, names.values())
    spans = read_dates(_masked(text, tokens, names.values()), now, "future" if prefer == "future" else "past")
    message = _Message(text, tokens, names, _placed(tokens, spans))
    return Tagged(text, tokens, tuple(_items(message)), index)


def _taught(tokens: tuple[Token, ...], words: Mapping[str, str]) -> tuple[Token, ...]:
    """Put what a taught phrase means in its place; every new token points at the keeper's own words."""
    if not words:
        return tokens
    taught: dict[str, list[tuple[tuple[str, ...], str]]] = defaultdict(list)
    for phrase, meaning in words.items():
        key = tuple(token.text for token in tokenise(phrase))
        if key:
            taught[key[0]].append((key, meaning))
    out: list[Token] = []
    at = 0
    while at < len(tokens):
        fitting = [pair for pair in taught.get(tokens[at].text, ()) if _texts(tokens, at, len(pair[0])) == pair[0]]
        key, meaning = max(fitting, key=lambda pair: len(pair[0]), default=((), ""))
        out += _in_place(meaning, tokens[at].start, tokens[at + len(key) - 1].end) if key else [tokens[at]]
        at += max(len(key), 1)
    return tuple(out)


def _texts(tokens: tuple[Token, ...], at: int, size: int) -> tuple[str, ...]:
    return tuple(token.text for token in tokens[at : at + size])


def _in_place(meaning: str, start: int, end: int) -> list[Token]:
    return [Token(token.text, start, end, token.kind, token.raw, token.value) for token in tokenise(meaning)]


def _spelt(tokens: tuple[Token, ...], names: Collection[NameSpan]) -> tuple[Token, ...]:
    """Misspelt words of the trade put right, names left alone."""
    named = {at for span in names for at in range(span.first, span.last)}
    book = vocabulary()
    out = list(tokens)
    for at, token in enumerate(tokens):
        mended = book.correct(token.text) if token.kind == "word" and at not in named else None
        if token.text == "too" and means(text_at(tokens, at + 1), "prey"):
            mended = "two"  # as dictation hears it
        if mended:
            out[at] = replace(token, text=mended)
    return tuple(out)


def _masked(text: str, tokens: tuple[Token, ...], names: Collection[NameSpan]) -> str:
    """The text with names blanked out, so that no date is read across "tub 4 friday"."""
    chars = list(text)
    for span in names:
        start, end = tokens[span.first].start, tokens[span.last - 1].end
        chars[start:end] = MASK * (end - start)
    return "".join(chars)


def _placed(tokens: tuple[Token, ...], spans: Collection[DateSpan]) -> dict[int, tuple[DateSpan, int]]:
    """The dates that are sure, by themselves or by their place, by their first token, each with the token after it."""
    starts, ends = [token.start for token in tokens], [token.end for token in tokens]
    dates = {}
    for span in spans:
        first, last = bisect_right(ends, span.start), bisect_left(starts, span.end)
        if first < last and (span.surely or stands_alone(tokens, first, last, span.words)):
            dates[first] = (span, last)
    return dates


def _items(message: _Message) -> Iterator[Item]:
    at = 0
    while at < len(message.tokens):
        item = _item_at(message, at)
        yield item
        at = max(item.last, at + 1)


def _item_at(message: _Message, at: int) -> Item:
    """What begins at a token: a date, a name, a number, a phrase of the trade, or a mark or plain word."""
    name, date = message.names.get(at), message.dates.get(at)
    if date and not (name and name.last >= date[1]):
        span, last = date
        return Item("date", span.words, at, last, span.start, span.end, date=span, raw=span.words)
    phrase = _phrase(message, at)
    if name:
        return _named(message, name, phrase)
    quantity = _quantity(message, at)
    if quantity and _is_quantity(message.tokens, quantity, phrase, at):
        return message.piece("number", at, quantity[1], quantity=quantity[0])
    if phrase:
        return message.piece("word", at, phrase[0], senses=tuple(phrase[1]))
    return message.piece("mark" if message.tokens[at].kind == "mark" else "plain", at, at + 1)


def _phrase(message: _Message, at: int) -> Phrase | None:
    """The longest phrase of the trade; it may run over a name only when it holds all of it ("fruit flies" and a colony called flies)."""
    tree, stop = vocabulary().tree, message.next_taken(at)
    whole = longest_match(tree, message.tokens, at)
    if whole is not None and _halves(message.tokens, whole[0]):
        whole = longest_match(tree, message.tokens[: whole[0] - 1], at)  # "ate | half a dozen"
    if whole is None or at in message.names or whole[0] <= stop:
        return whole
    inside = range(at + 1, whole[0])
    held = all(message.names[first].last <= whole[0] for first in inside if first in message.names)
    if held and not any(first in message.dates for first in inside):
        return whole
    return longest_match(tree, message.tokens[:stop], at)


def _halves(tokens: tuple[Token, ...], last: int) -> bool:
    """Whether a phrase ends with the "half" of "half a dozen"."""
    return tokens[last - 1].text == "half" and text_at(tokens, last) in {"a", "an", "dozen"}


def _quantity(message: _Message, at: int) -> tuple[Quantity, int] | None:
    """The quantity that begins at a token, and the token after it; only the tokens near by are looked at."""
    if not may_open(message.tokens[at]):
        return None
    start, stop = max(0, at - 2), min(message.next_taken(at), at + LONGEST_QUANTITY)
    found = read_quantity(message.tokens[start:stop], at - start)
    return (found[0], found[1] + start) if found else None


def _is_quantity(tokens: tuple[Token, ...], quantity: tuple[Quantity, int], phrase: Phrase | None, at: int) -> bool:
    """A number, unless a longer phrase of the trade starts with the same word ("one corner", "a bit")."""
    value, last = quantity
    if tokens[at].text == "one" and text_at(tokens, at - 1) in NOT_COUNTED and text_at(tokens, at + 1) != "of":
        return False
    if phrase is None or phrase[0] <= last:
        return True
    return not value.article and (phrase[0] - at <= 1 or value.unit in MM_IN)


def _named(message: _Message, span: NameSpan, phrase: Phrase | None) -> Item:
    """A name; where its words are also words of the trade (a colony called "crickets") it keeps those senses too."""
    senses: tuple[Sense, ...] = ()
    if phrase and phrase[0] >= span.last and span.how != "all":
        senses = tuple(phrase[1])
        many = all(sense.form == "third" for sense in senses)  # "whips out" is where they are, not what somebody does
        if phrase[0] > span.last and not many:
            return message.piece("word", span.first, phrase[0], senses=senses)
    return message.piece("name", span.first, span.last, senses=senses, name=span)
