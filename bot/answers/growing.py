"""From the journal to growth: series of sizes, moults, how much comes with each moult, and when the next may come."""

from __future__ import annotations

import re
from collections.abc import Iterator, Sequence
from dataclasses import dataclass

from bot.answers.heads import count_of, number_of
from bot.answers.samples import Sample, measure_of, measurements, newest, own, size_of
from bot.answers.view import Target, View
from bot.care.due.scene import BODY_OF_LEGSPAN
from bot.care.growth import Factor, Moult, Size, growth_factor, size_after, stretches
from bot.care.next_moult import Window, distinct, next_moult
from bot.care.sheet import PLAIN, suggest
from bot.wording.terms import MEASURES
from storage import journal
from storage.journal import EntryRow

OF_SKIN = re.compile(r"\bexuvi|\bskin\b", re.IGNORECASE)
OF_CARAPACE = re.compile(r"\bcarapace|\bprosoma", re.IGNORECASE)
INSTAR = re.compile(
    r"(?<![\w'-])(?:(?:i|l|n|fh)-?\d{1,2}|instar \d{1,2}|\d{1,2}(?:st|nd|rd|th)? instar|(?:first|second|third|fourth|fifth|sixth)"
    r" instar)(?![\w-])",
    re.IGNORECASE,
)
"""Instars in a keeper's own words; they are told as they stand, since each keeper counts from another skin."""

SAID_IN = ("moult", "note", "measurement", "arrival", "count")


@dataclass(frozen=True, slots=True)
class Series:
    """Sizes of one sort, newest first: `name` in words; `measure` legspan, body, weight, carapace or exuvia, as growth takes it."""

    name: str
    measure: str
    unit_of: str
    entries: tuple[EntryRow, ...]

    @property
    def sizes(self) -> list[Size]:
        """Each as one number; a range as its middle."""
        found = [(entry.on, size_of(entry)) for entry in self.entries]
        return [Size(on, (size[0] + size[1]) / 2) for on, size in found if on is not None and size is not None]


@dataclass(frozen=True, slots=True)
class Growth:
    """How an animal or a group grows by one series: the factor of a moult, and the size after the next (low, middle, high).

    `unmeasured` are the moults since the last size, which the size after the next takes in.
    """

    series: Series
    factor: Factor
    following: tuple[float, float, float]
    unmeasured: int


def series_of(view: View, target: Target) -> list[Series]:
    """The sizes of an occupant by their sort, sorts in the order of their names; those of animals that left it are left out."""
    sorts: dict[tuple[str, str, str], list[EntryRow]] = {}
    told = measurements(view, target)
    for entry in own(view, target, told) if told else ():
        sorts.setdefault(sort_of(entry), []).append(entry)
    return [Series(*sort, tuple(entries)) for sort, entries in sorted(sorts.items())]


def sort_of(entry: EntryRow) -> tuple[str, str, str]:
    """What a measurement is of: its name in words, the measure that growth takes it for, and the measure of its unit."""
    measure = measure_of(entry)
    if OF_SKIN.search(entry.words):
        return f"exuvia, {MEASURES.get(measure, measure)}", "exuvia", measure
    if measure == "body" and OF_CARAPACE.search(entry.words):
        return "carapace", "carapace", measure
    return MEASURES.get(measure, measure), measure, measure


def moults_of(view: View, target: Target) -> list[EntryRow]:
    """The moults of an occupant with a day, oldest first."""
    found = view.history(target, ("moult",), limit=journal.WHOLE)
    return sorted((entry for entry in found if entry.on is not None), key=lambda entry: (entry.on, entry.id))


def samples_of(series: Series) -> Iterator[Sample]:
    """The samples of a group's series, the newest first."""
    left = list(series.entries)
    while left:
        sample = newest(left, series.unit_of)
        if sample is None:
            return
        yield sample
        taken = {entry.id for entry in sample.entries}
        left = [entry for entry in left if entry.id not in taken]


def growth_of(view: View, target: Target, moults: Sequence[EntryRow], series: Sequence[Series]) -> Growth | None:
    """Reckon growth by the series that says most of it; None without a moult, or of a group whose moults have no numbers."""
    shares = _shares(view, target, moults)
    if not shares or not series:
        return None
    stage = stage_of(target, series)
    best: Growth | None = None
    for one in series:
        sizes = one.sizes
        found = stretches(sizes, shares, one.measure)
        factor = growth_factor(found, one.measure, stage)
        unmeasured = round(sum(moult.share for moult in shares if moult.on > sizes[0].on))
        if best is None or factor.basis > best.factor.basis:
            best = Growth(one, factor, size_after(sizes[0].value, factor, unmeasured + 1), unmeasured)
    return best


def _shares(view: View, target: Target, moults: Sequence[EntryRow]) -> list[Moult]:
    """The moults of an animal; of a group each with the share of it that moulted, none where a number is lacking."""
    if target.occupant is None or target.occupant.kind == "animal":
        return [Moult(day) for day in distinct(entry.on for entry in moults if entry.on is not None)]
    heads = count_of(view, target.occupant) if moults else None
    if heads is None or heads.high is None or not heads.high:
        return []
    middle = max(1.0, (heads.low + heads.high) / 2)
    told = [(entry.on, number_of(entry)) for entry in moults]
    if any(number is None or not number[0] for _on, number in told):
        return []
    return [
        Moult(on, min(1.0, (number[0] or 0) / middle)) for on, number in told if on is not None and number is not None
    ]


def stage_of(target: Target, series: Sequence[Series]) -> str | None:
    """The stage by the care sheet and the last size: sling, juvenile, subadult or adult; None where either is not known."""
    occupant = target.occupant
    lengths = {one.measure: one.sizes[0].value for one in series if one.measure in {"body", "legspan"}}
    body = lengths.get("body") or (lengths["legspan"] * BODY_OF_LEGSPAN if "legspan" in lengths else None)
    if occupant is None or body is None:
        return None
    sheet = suggest(occupant.species, occupant.kind, occupant.name)
    return None if sheet.key == PLAIN else sheet.row(body).stage


def window_of(target: Target, moults: Sequence[EntryRow], series: Sequence[Series]) -> Window | None:
    """The window of an animal's next moult; None where the journal does not say enough, and for a group."""
    if target.occupant is None or target.occupant.kind != "animal":
        return None
    return next_moult([entry.on for entry in moults if entry.on is not None], stage_of(target, series))


def instar_of(view: View, target: Target) -> tuple[str, EntryRow] | None:
    """The instar last told, in the keeper's own words, with the entry that holds them."""
    names = {word.casefold() for row in view.roster.occupants for word in (row.name, *row.aliases)}
    names |= {word.casefold() for row in view.roster.enclosures for word in (row.name, *row.aliases)}
    for entry in view.history(target, SAID_IN, limit=journal.WHOLE):
        found = (match[0] for match in INSTAR.finditer(entry.words))
        said = next((words for words in found if words.casefold() not in names), None)
        if said is not None:
            return said, entry
    return None
