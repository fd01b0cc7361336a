"""From the journal to the facts of a hand-over sheet: of one animal or group, up to a day, and of nobody else."""

from __future__ import annotations

from collections.abc import Iterable, Iterator, Sequence
from dataclasses import dataclass
from datetime import date

from bot.answers.growing import growth_of, moults_of, series_of, sort_of
from bot.answers.growth_words import say_growth
from bot.answers.handover_home import enclosure_of, readings_in
from bot.answers.handover_origin import first_known, happenings_of, parents_of
from bot.answers.handover_photos import Album, album_of
from bot.answers.handover_told import Company, Eraser
from bot.answers.heads import events_of, number_of
from bot.answers.samples import measurements, own, size_of
from bot.answers.view import Target, View
from bot.care.cautions import caution_line, cites_note
from bot.care.headcount import Event, headcount
from bot.care.sheet import suggestion
from bot.handover import Facts, Feeding, Happening, HeadCount, HeadEvent, Lot, Moult, Quote, Selection, Size
from bot.handover.facts import OWN, SHARED
from bot.handover.summary import lately
from bot.language.vocabulary import prey_names
from bot.wording.terms import MEASURES
from storage import households
from storage.journal import EntryRow
from storage.roster import OccupantRow

OTHER_PREY = "other prey"
STATES = frozenset({"pre-killed", "live", "frozen-thawed"})
OF_TROUBLE = frozenset({"mites", "injured", "lethargic", "mould", "fighting"})
"""Signs that whoever takes it over is told of."""

NO_CAUTION = "No caution is kept for this kind. That does not say that it is harmless."
NOT_KNOWN = (
    "What kind of animal it is was not written, so no caution can be told. That does not say that it is harmless."
)
_LEFT = frozenset({"death", "departure", "split"})
_ALL = 1_000_000


@dataclass(frozen=True, slots=True)
class Wanted:
    """Of whom a sheet is, from when to when, and for which that left (`lots`, the departures, oldest first)."""

    row: OccupantRow
    until: date
    since: date | None = None
    lots: tuple[EntryRow, ...] = ()


def facts_of(view: View, wanted: Wanted, selection: Selection) -> Facts:
    """Gather all that the sheet of one may tell; pictures and own words only where they are wanted."""
    row, target, company = wanted.row, Target(occupant=wanted.row), Company(view, wanted.row)
    known_since, told_on = first_known(view, row)
    place = enclosure_of(view, row, wanted.until)
    eraser = Eraser.of(view, row, members="names" not in selection) if selection.wanted & {"notes", "names"} else None
    noted = eraser if "notes" in selection else None
    album = album_of(view, row, wanted.since, wanted.until, noted) if "pictures" in selection else Album()
    growth = () if wanted.lots or wanted.since or wanted.until != view.today else tuple(_growth(view, target))
    return Facts(
        name=row.name,
        kind=row.kind,
        species=row.species,
        made_on=view.today,
        until=wanted.until,
        since=wanted.since,
        units=view.units,
        known_since=known_since,
        told_on=told_on,
        lots=tuple(
            Lot(one.on or view.today, number_of(one) if company.told(one) == OWN else None) for one in wanted.lots
        ),
        parents=parents_of(view, row, wanted.until),
        happenings=happenings_of(view, row, wanted.until),
        heads=_heads(view, wanted),
        moults=tuple(_moults(view, wanted, company)),
        premoult=_premoult(view, wanted, company),
        sizes=tuple(_sizes(view, wanted, company)),
        growth=growth,
        feedings=tuple(_feedings(view, wanted, company)),
        enclosure=place,
        readings=readings_in(view, target, lately(wanted.until), wanted.until),
        pictures=album.pictures,
        unseen=album.unseen,
        older=album.older,
        signs=tuple(_signs(view, wanted, company)),
        cautions=tuple(_cautions(row, view.today)),
        notes=() if noted is None else tuple(_notes(view, wanted, company, noted)),
        told_by=_told_by(view, target) if "names" in selection else (),
        named=tuple(_named(view, wanted, company, eraser)) if eraser and "names" in selection else (),
    )


def _history(view: View, wanted: Wanted, *kinds: str) -> list[EntryRow]:
    """The entries of some kinds within the days of the sheet, oldest first."""
    found = view.history(Target(occupant=wanted.row), kinds, wanted.since, wanted.until, _ALL)
    return [entry for entry in reversed(found) if entry.on is not None]


def _heads(view: View, wanted: Wanted) -> HeadCount | None:
    """The head count of a group as it was then; of an animal only that it died or left."""
    if wanted.row.kind == "animal":
        gone = [
            _event(Event(entry.kind, entry.on)) for entry in _history(view, wanted, "death", "departure") if entry.on
        ]
        return HeadCount(0, 0, known=True, losses=tuple(gone)) if gone else None
    before = wanted.lots[0] if wanted.lots else None
    events = [event for event in events_of(view, wanted.row, before) if event.on <= wanted.until]
    count = headcount(events)
    return HeadCount(
        low=count.low,
        high=count.high,
        known=count.known,
        basis=None if count.basis is None else _event(count.basis),
        floors=tuple(map(_event, count.floors)),
        since=tuple(map(_event, count.since)),
        apart=tuple(map(_event, count.apart)),
        losses=tuple(_event(event) for event in events if event.what in _LEFT),
        unfit=bool(count.surprises),
    )


def _event(event: Event) -> HeadEvent:
    return HeadEvent(event.what, event.on, event.number)


def _moults(view: View, wanted: Wanted, company: Company) -> Iterator[Moult]:
    for entry in _history(view, wanted, "moult"):
        if entry.on is not None:
            yield Moult(entry.on, number_of(entry), company.told(entry))


def _premoult(view: View, wanted: Wanted, company: Company) -> date | None:
    seen = [
        entry.on
        for entry in _history(view, wanted, "observation")
        if "premoult" in (entry.fields.get("signs") or ()) and company.told(entry) != SHARED
    ]
    return seen[-1] if seen else None


def _sizes(view: View, wanted: Wanted, company: Company) -> Iterator[Size]:
    """The measurements; those of animals that left are not of a group that stayed, and are of the lot that left."""
    target = Target(occupant=wanted.row)
    told = measurements(view, target)
    kept = told if wanted.lots else own(view, target, told)
    for entry in sorted(kept, key=lambda one: (one.on or date.min, one.id)):
        size = size_of(entry)
        if entry.on is None or size is None or not (wanted.since or date.min) <= entry.on <= wanted.until:
            continue
        name, _measure, unit_of = sort_of(entry)
        known = unit_of in MEASURES
        yield Size(entry.on, name if known else "size", unit_of if known else "body", size, company.told(entry))


def _growth(view: View, target: Target) -> Iterable[str]:
    """How much a moult adds, by its own moults: what is usual of its kind is no history of it."""
    series = series_of(view, target)
    growth = growth_of(view, target, moults_of(view, target), series)
    if growth is None or growth.factor.source != "own" or growth.series.unit_of not in MEASURES:
        return ()
    return say_growth(view, growth)


def _feedings(view: View, wanted: Wanted, company: Company) -> Iterator[Feeding]:
    for entry in _history(view, wanted, "feeding"):
        if entry.on is None:
            continue
        prey, state, outcome = (entry.fields.get(name) for name in ("prey", "prey_state", "outcome"))
        yield Feeding(
            on=entry.on,
            prey=None if prey is None else str(prey) if prey in prey_names() else OTHER_PREY,
            state=state if state in STATES else None,
            quantity=_span(entry.fields.get("quantity")),
            each=bool(entry.fields.get("each")),
            outcome=outcome if outcome in {"ate", "partly", "refused"} else None,
            told=company.told(entry),
        )


def _span(value: object) -> tuple[float | None, float | None] | None:
    if not isinstance(value, list | tuple) or len(value) != 2:
        return None
    low, high = (None if edge is None else float(edge) for edge in value)
    return low, high


def _signs(view: View, wanted: Wanted, company: Company) -> Iterator[Happening]:
    """Signs of trouble seen lately, each with the last day of it."""
    last: dict[str, date] = {}
    for entry in _history(view, wanted, "observation"):
        if entry.on is not None and entry.on >= lately(wanted.until) and company.told(entry) != SHARED:
            last |= {sign: entry.on for sign in entry.fields.get("signs") or () if sign in OF_TROUBLE}
    return (Happening(sign, on) for sign, on in sorted(last.items()))


def _cautions(row: OccupantRow, today: date) -> Iterator[str]:
    found = suggestion(row.species, row.kind, row.name)
    if not found.sure:
        yield NOT_KNOWN
    else:
        yield caution_line(found.sheet) or NO_CAUTION
    listed = cites_note(row.species, today)
    if listed is not None:
        yield listed


def _notes(view: View, wanted: Wanted, company: Company, eraser: Eraser) -> Iterator[Quote]:
    """The notes on it alone: what was told of several, or of a place it shared, may be about the others."""
    for entry in _history(view, wanted, "note"):
        if entry.on is not None and company.told(entry) == OWN:
            yield Quote(entry.on, eraser.erased(entry.words))


def _named(view: View, wanted: Wanted, company: Company, eraser: Eraser) -> Iterator[Quote]:
    """The words in which it came in, and for a lot those in which it left: they say from whom and to whom."""
    arrived = [entry for entry in _history(view, wanted, "arrival") if company.told(entry) == OWN]
    for entry in (*arrived, *wanted.lots):
        if entry.on is not None:
            yield Quote(entry.on, eraser.erased(entry.words))


def _told_by(view: View, target: Target) -> tuple[str, ...]:
    names = {one.id: one.name for one in households.everyone(view.session, view.collection_id)}
    tellers: Sequence[int | None] = [entry.member_id for entry in reversed(view.history(target, limit=_ALL))]
    return tuple(dict.fromkeys(names[teller] for teller in tellers if teller in names))
