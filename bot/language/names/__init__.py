"""Finding the roster's names in a message: one by one, lists, ranges, tags, species, everyone, all but."""

from __future__ import annotations

from dataclasses import replace

from bot.language.names.everyone import everyone, less
from bot.language.names.exact import exact, one_of_group, part_of_name
from bot.language.names.near import are_others, is_owned, lone_letter, near, packs_food, unknown_number
from bot.language.names.numbered import numbered
from bot.language.names.span import NameSpan
from bot.language.roster_index import RosterIndex
from bot.language.tokens import Token

__all__ = ["NameSpan", "find_names"]


def find_names(tokens: tuple[Token, ...], index: RosterIndex) -> list[NameSpan]:
    """All names in a message, in order; lists of names are one span."""
    spans: list[NameSpan] = []
    at = 0
    while at < len(tokens):
        span = _span_at(tokens, at, index)
        if span is None:
            at += 1
        else:
            spans.append(_described(span, index))
            at = span.last
    return spans


def _described(span: NameSpan, index: RosterIndex) -> NameSpan:
    """The span with its places, and whether it names only groups or only single animals."""
    return replace(
        span,
        places=frozenset(index.place_of[name] for name in span.subjects),
        groups=all(name in index.groups for name in span.subjects),
        animals=all(name in index.animals for name in span.subjects),
    )


def _span_at(tokens: tuple[Token, ...], at: int, index: RosterIndex) -> NameSpan | None:
    token = tokens[at]
    if token.kind == "mark" or (token.glued and at and tokens[at - 1].kind == "number" and len(token.text) == 1):
        return None
    if packs_food(tokens, at) or are_others(tokens, at) or is_owned(tokens, at):
        return None
    sure = everyone(tokens, at, index) or lone_letter(tokens, at, index)
    if sure:
        return sure
    several, single = numbered(tokens, at, index), exact(tokens, at, index)
    if several and (single is None or several.last >= single.last):
        return less(tokens, several, index, plainly=True) if len(several.subjects) > 1 else several
    if single:
        return less(tokens, single, index, plainly=True) if single.how == "many" else single
    one = one_of_group(tokens, at, index) or near(tokens, at, index)
    return one or unknown_number(tokens, at, index) or part_of_name(tokens, at, index)
