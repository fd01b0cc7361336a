"""Which ones did and which did not: "who hasn't eaten in two weeks", "which ones moulted this month"."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from datetime import date

from bot.answers.span import Span, span_of
from bot.answers.view import PLACE_KINDS, Place, Target, View, refused
from bot.conversation.reply import Reply
from bot.language.meaning import Ask
from bot.wording import noun, nouns
from storage.journal import EntryRow
from storage.roster import OccupantRow


@dataclass(frozen=True, slots=True)
class _Standing:
    """One line of the answer: a place (or some who live there), its last matching entry, and a refusal since then."""

    label: str
    last: EntryRow | None
    inside: bool
    refusal: EntryRow | None = None


def answer(ask: Ask, view: View) -> Reply:
    """Tell for each place with somebody in it whether the kind is written in the span, with the last date of each."""
    span = span_of(ask, view.today)
    places = _places(ask, view)
    by_place = [_of_place(ask, view, place, span) for place in places]
    lines = [line for standings in by_place for line in standings]
    inside = [line for line in lines if line.inside]
    outside = sorted(
        (line for line in lines if not line.inside and line.last), key=lambda line: _day(line.last) or date.min
    )
    never = [line for line in lines if not line.inside and line.last is None]
    full = sum(all(line.inside for line in standings) for standings in by_place)
    head = f"{nouns(ask.kind).capitalize()} {span.said(view.today)}: {full} of {len(places)} occupied places."
    did = _block(view, "Written:", inside)
    not_did = [*_block(view, f"No {noun(ask.kind)} in that time:", outside), *_never(never)]
    # "Not in the last n days" asks for those without; "this month" asks for those with. Both are told, in that order.
    blocks = [*not_did, *did] if ask.days is not None else [*did, *not_did]
    return Reply("\n".join([head, *blocks]))


def _places(ask: Ask, view: View) -> list[Place]:
    """Every occupied place, or those in which the subjects live."""
    if not ask.subjects:
        return list(view.places)
    asked = view.targets(ask.subjects)
    occupants = {one.occupant.id for target in asked for one in view.animals(target) if one.occupant}
    return [place for place in view.places if any(one.id in occupants for one in place.residents)]


def _of_place(ask: Ask, view: View, place: Place, span: Span) -> list[_Standing]:
    """Work out one line for a place; two where those who share it differ."""
    if ask.kind in PLACE_KINDS and place.enclosure is not None:
        return [_standing(ask, view, Target(enclosure=place.enclosure), place.label(), span)]
    each = [(one, _standing(ask, view, Target(occupant=one), "", span)) for one in place.residents]
    parts = [[pair for pair in each if pair[1].inside], [pair for pair in each if not pair[1].inside]]
    return [_joined(place, part) for part in parts if part]


def _joined(place: Place, part: Sequence[tuple[OccupantRow, _Standing]]) -> _Standing:
    newest = max((standing for _one, standing in part), key=lambda standing: _day(standing.last) or date.min)
    label = place.label([one for one, _standing in part])
    return _Standing(label, newest.last, newest.inside, newest.refusal)


def _standing(ask: Ask, view: View, target: Target, label: str, span: Span) -> _Standing:
    feeding = ask.kind == "feeding"
    last = view.last_taken(target, span.until) if feeding else view.last(target, ask.kind, span.until)
    latest = view.last(target, ask.kind, span.until) if feeding else None
    inside = last is not None and (span.since is None or (last.on is not None and last.on >= span.since))
    return _Standing(label, last, inside, latest if latest is not None and refused(latest) else None)


def _block(view: View, title: str, lines: Sequence[_Standing]) -> list[str]:
    return [title, *(f"- {line.label}: {_last_of(view, line)}" for line in lines)] if lines else []


def _last_of(view: View, line: _Standing) -> str:
    said = [] if line.last is None else [f"{'' if line.inside else 'last '}{view.day(_day(line.last))}"]
    said += [f"refused {view.day(line.refusal.on)}"] if line.refusal else []
    return "; ".join(said)


def _never(lines: Sequence[_Standing]) -> list[str]:
    """Those with nothing on record apart: that is not known, which is not the same as long ago."""
    return ["None on record at all:", *(f"- {line.label}" for line in lines)] if lines else []


def _day(entry: EntryRow | None) -> date | None:
    return None if entry is None else entry.on
