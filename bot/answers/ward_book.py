"""From what was read of the journal to the wards of each place."""

from __future__ import annotations

from collections import defaultdict
from collections.abc import Iterable, Iterator, Mapping, Sequence
from dataclasses import dataclass, replace
from datetime import date
from typing import Any

from bot.answers.heads import count_of
from bot.answers.view import PLACE_KINDS, Place, View
from bot.care.due import Fact, Ward
from bot.care.facts import middle, order
from bot.care.rules import SHEET_TASKS
from bot.care.sheet import CareSheet, suggest
from storage import journal
from storage.journal import EntryRow, Subject
from storage.latest import Latest, Noted
from storage.roster import OccupantRow

PLACE_TASKS = frozenset({"misting", "watering", "cleaning"})
"""Tasks done to an enclosure, once for all who live in it."""

_FOR_ALL = frozenset({"stop", "rule"})
"""Plans that hold for everybody where they name nobody: "no reminders till April"."""

_NO_TASKS = frozenset({"away", "skip"})

Told = tuple[Fact, tuple[Subject, ...]]
"""A plan with the subjects that its words name."""


def by_subject(told: Iterable[Told]) -> Mapping[Subject, Sequence[Fact]]:
    """Put plans under each subject that they name."""
    found: dict[Subject, list[Fact]] = defaultdict(list)
    for fact, subjects in told:
        for subject in dict.fromkeys(subjects):
            found[subject].append(fact)
    return found


@dataclass(frozen=True, slots=True)
class Book:
    """What was read for some wards: entries, plans by subject, and plans that name nobody."""

    view: View
    noted: Latest
    told: Mapping[Subject, Sequence[Fact]]
    unnamed: Sequence[Fact]

    def wards_of(self, place: Place) -> Iterator[Ward]:
        """The wards of one place: of its only occupant, or of the place's own plans and of each occupant."""
        of_place = self._told_of(place)
        if len(place.residents) == 1:
            yield self._ward(place, place.residents[0], of_place, tends=True)
            return
        common = [fact for fact in of_place if not _is_rule(fact)]
        if common and place.enclosure is not None:
            yield self._of_place_alone(place, place.enclosure.name, of_place)
        first = min(place.residents, key=self._since)
        for occupant in place.residents:
            tends = occupant is first
            rules = [fact for fact in of_place if _is_rule(fact) and (tends or fact.kind not in PLACE_TASKS)]
            yield self._ward(place, occupant, rules, tends=tends)

    def nobodys(self) -> list[Ward]:
        """A ward without a name for plans that name nobody; none where there are none."""
        rules = [fact for fact in self.unnamed if fact.kind not in _FOR_ALL | _NO_TASKS]
        if not rules:
            return []
        view, kinds = self.view, {fact.kind for fact in rules}
        done = journal.between(view.session, view.collection_id, min(fact.told for fact in rules), None, kinds=[*kinds])
        facts = [fact for row in done if not row.subjects for fact in _fact_of_row(row)]
        return [
            Ward("", "", "place", suggest(None, "place", ""), facts=_newest_first(facts), rules=tuple(self.unnamed))
        ]

    def _told_of(self, place: Place) -> Sequence[Fact]:
        return self.told.get(Subject(enclosure_id=place.enclosure.id), ()) if place.enclosure else ()

    def _since(self, occupant: OccupantRow) -> date:
        home = self.noted.homes.get(occupant.id)
        return home.since if home and home.since else date.min

    def _ward(self, place: Place, occupant: OccupantRow, rules: Sequence[Fact], *, tends: bool) -> Ward:
        home = self.noted.homes.get(occupant.id)
        facts = self._facts(place, occupant)
        own = self.told.get(Subject(occupant_id=occupant.id), ())
        every = [fact for fact in self.unnamed if fact.kind in _FOR_ALL]
        moved = next((fact for fact in facts if home and fact.id == home.entry_id and fact.kind == "move"), None)
        sheet = suggest(occupant.species, occupant.kind, occupant.name)
        return Ward(
            name=occupant.name,
            place=place.enclosure.name if place.enclosure else "",
            kind=occupant.kind,
            sheet=sheet if tends else _without_place(sheet),
            since=home.since if home else None,
            moved=moved,
            facts=facts,
            rules=tuple({fact.id: fact for fact in (*rules, *own, *every)}.values()),
            count=self._count(occupant, facts),
            tags=place.enclosure.tags if place.enclosure else (),
        )

    def _of_place_alone(self, place: Place, name: str, rules: Sequence[Fact]) -> Ward:
        """A place that several share, for what is planned of it by its own name and is no rule for those who live there."""
        facts = {fact.id: fact for occupant in place.residents for fact in self._facts(place, occupant)}
        kept = tuple(fact for fact in rules if not _is_rule(fact) or fact.kind in {"stop", "skip"})
        tags = place.enclosure.tags if place.enclosure else ()
        sheet = suggest(None, "place", name)
        return Ward(name, name, "place", sheet, facts=_newest_first(facts.values()), rules=kept, tags=tags)

    def _facts(self, place: Place, occupant: OccupantRow) -> tuple[Fact, ...]:
        """What counts for an occupant; of what is done to a place only that of its present one, whoever lived there."""
        since = self._since(occupant)
        of_it = self.noted.of_occupants.get(occupant.id, ())
        of_place = self.noted.of_enclosures.get(place.enclosure.id, ()) if place.enclosure else ()
        found = {note.id: note for note in of_it if note.kind not in PLACE_KINDS or (note.on or since) >= since}
        found.update({note.id: note for note in of_place if note.kind in PLACE_KINDS})
        named = {note.id for note in of_place}
        sharing = len(place.residents)
        facts = (_fact(note, sharing if note.id in named else 1) for note in found.values())
        return _newest_first(self._set_right(place, fact, found[fact.id]) for fact in facts)

    def _set_right(self, place: Place, fact: Fact, note: Noted) -> Fact:
        """A humidity reading as the meter it was made with has it after its checks over salt; any other fact unchanged."""
        if fact.kind != "reading" or not fact.fields.get("humidity_pct"):
            return fact
        enclosures = [place.enclosure.id] if place.enclosure else []
        found = self.view.meters.set_right(fact.fields, fact.on, (fact.moment, note.origin_id), enclosures)
        if found is None or not found.changed:
            return fact
        humidity = [None if edge is None else round(edge) for edge in found.value]
        return replace(fact, fields={**fact.fields, "humidity_pct": humidity})

    def _count(self, occupant: OccupantRow, facts: Sequence[Fact]) -> tuple[int, int | None] | None:
        """The heads of a group in which some have moulted lately: how many, a hold asks; counting all would cost too much."""
        asked = any(fact.kind == "moult" and fact.fields.get("number") for fact in facts)
        return heads_of(self.view, occupant) if asked else None


def heads_of(view: View, occupant: OccupantRow) -> tuple[int, int | None] | None:
    """The head count of a group as a range; None for an animal, or where nothing is known of it."""
    count = count_of(view, occupant) if occupant.kind == "group" else None
    return (count.low, count.high) if count is not None and count.known else None


def _is_rule(fact: Fact) -> bool:
    """Whether a plan for a place that several share is one for each of them, by the sheet's tasks, and no task of its own."""
    return fact.kind in _FOR_ALL | _NO_TASKS or (fact.kind in SHEET_TASKS and fact.fields.get("every_days") is not None)


def _without_place(sheet: CareSheet) -> CareSheet:
    """The sheet of one who shares an enclosure: the place itself is seen to with another's."""
    return replace(sheet, misting=None, watering=None, spot_clean=None, full_clean=None)


def _fact(note: Noted, sharing: int) -> Fact:
    """A logged entry as a fact for one ward; `sharing` is how many live in the place that its words name."""
    fields = note.fields
    if note.kind == "feeding" and fields.get("quantity") and (note.together or sharing > 1):
        fields = _portion(fields, sharing, together=note.together)
    moment = note.moment
    if moment is None:
        raise ValueError(f"entry {note.id} has no day")
    return Fact(note.id, note.kind, note.mood, note.on, moment, fields, note.words, note.at, note.part)


def _portion(fields: Mapping[str, Any], sharing: int, *, together: bool) -> Mapping[str, Any]:
    """The quantity that one ward got: one told for several together says nothing of each; those of one place share it."""
    rest = {name: value for name, value in fields.items() if name not in {"quantity", "each"}}
    quantity = middle(fields.get("quantity"))
    if fields.get("each"):
        return {**rest, "quantity": fields["quantity"], **({} if together else {"each": True})}
    if together or quantity is None:
        return rest
    return {**rest, "quantity": [quantity / sharing, quantity / sharing]}


def _fact_of_row(row: EntryRow) -> Iterator[Fact]:
    if row.moment is not None:
        yield Fact(row.id, row.kind, row.mood, row.on, row.moment, row.fields, row.words, row.at, row.part)


def _newest_first(facts: Iterable[Fact]) -> tuple[Fact, ...]:
    return tuple(sorted(facts, key=order, reverse=True))
