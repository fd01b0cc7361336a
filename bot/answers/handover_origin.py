"""Where an animal or a group came from, as a hand-over sheet takes it: parents without their names, arrivals, egg sacs."""

from __future__ import annotations

from collections.abc import Iterator
from datetime import date

from bot.answers.handover_told import Company
from bot.answers.heads import number_of
from bot.answers.view import Target, View
from bot.handover import Happening, Parent
from bot.handover.facts import OWN, SHARED
from bot.handover.past import SAC_STAGES
from storage import journal, lineage, stays
from storage.roster import OccupantRow

_DEEPEST = 4
"""Generations that are told of: farther back a sheet says no more of the animal."""

_ALL = 1_000_000


def parents_of(view: View, row: OccupantRow, until: date, seen: frozenset[int] = frozenset()) -> tuple[Parent, ...]:
    """What it came of up to a day, each with what that came of; groups that joined each other in turn are told once."""
    seen |= {row.id}
    if len(seen) > _DEEPEST:
        return ()
    found = lineage.parents(view.session, row.id)
    return tuple(
        _parent(view, link, other, seen)
        for link in found
        if link.parent_id not in seen and (link.on is None or link.on <= until)
        for other in [next((one for one in view.roster.occupants if one.id == link.parent_id), None)]
        if other is not None
    )


def _parent(view: View, link: lineage.LineageRow, other: OccupantRow, seen: frozenset[int]) -> Parent:
    until = link.on or view.today
    return Parent(
        how=link.how,
        kind=other.kind,
        species=other.species,
        on=link.on,
        happenings=happenings_of(view, other, until),
        parents=parents_of(view, other, until, seen) if link.how == "split" else (),
    )


def happenings_of(view: View, row: OccupantRow, until: date) -> tuple[Happening, ...]:
    """Arrivals, pairings and egg sacs of one up to a day, oldest first; what was told of a shared enclosure is left out."""
    company = Company(view, row)
    found = view.history(Target(occupant=row), ("arrival", "pairing", "sac"), until=until, limit=_ALL)
    return tuple(one for entry in reversed(found) for one in _happenings(company, entry))


def _happenings(company: Company, entry: journal.EntryRow) -> Iterator[Happening]:
    told = company.told(entry)
    what = entry.fields.get("stage") if entry.kind == "sac" else entry.kind
    if entry.on is None or told == SHARED or (entry.kind == "sac" and what not in SAC_STAGES):
        return
    yield Happening(str(what), entry.on, number_of(entry) if told == OWN else None)


def first_known(view: View, row: OccupantRow) -> tuple[date | None, date | None]:
    """The day since when it is on record, None where it was there before; and the day on which that was told."""
    first = next(iter(stays.stays(view.session, row.id)), None)
    if first is None:
        return None, None
    told = journal.entry(view.session, first.entry_id).told_at.astimezone(view.zone).date()
    return first.since, told
