"""What a hand-over sheet is made of, as plain values.

No name of anybody else is among them: a parent is its species, a place its size, and what was told of several at once says so.
"""

from __future__ import annotations

from collections.abc import Collection
from dataclasses import dataclass, field
from datetime import date

Range = tuple[float | None, float | None]
"""From low to high; high None is "at least"."""

SECTIONS = ("origin", "heads", "moults", "sizes", "feeding", "housing", "pictures", "cautions")
"""What a sheet holds unless the keeper leaves it out, in its order."""

EXTRAS = ("notes", "names")
"""What a sheet holds only where the keeper asks for it: own notes, and who it came from and who wrote of it."""

OWN, TOGETHER, SHARED = "own", "together", "shared"
"""Of whom something was told: of this one alone; of it and others by name; of an enclosure that it shared."""


@dataclass(frozen=True, slots=True)
class Selection:
    """What the keeper wants on the sheet."""

    wanted: frozenset[str] = frozenset(SECTIONS)

    @classmethod
    def of(
        cls, only: Collection[str] = (), without: Collection[str] = (), including: Collection[str] = ()
    ) -> Selection:
        """All sections, or `only` some; `without` some of them; `including` what is left out unless asked for."""
        chosen = set(only) or set(SECTIONS)
        return cls(frozenset((chosen | set(including)) - set(without)))

    def __contains__(self, section: str) -> bool:
        return section in self.wanted


@dataclass(frozen=True, slots=True)
class Happening:
    """Something that happened on a day: `what` is an arrival, a sac's stage, a pairing, a sign; `number` of heads where told."""

    what: str
    on: date
    number: Range | None = None


@dataclass(frozen=True, slots=True)
class Parent:
    """What it came of: `how` is split, join or brood; `species` and `kind` are the other's, `on` the day it was parted or set up.

    `happenings` are the other's egg sacs and arrivals up to then, oldest first; `parents` what that one came of in turn.
    """

    how: str
    kind: str
    species: str | None
    on: date | None
    happenings: tuple[Happening, ...] = ()
    parents: tuple[Parent, ...] = ()


@dataclass(frozen=True, slots=True)
class HeadEvent:
    """What bears on the number of heads: start, count, arrival, joined, death, departure, split, merged or gone."""

    what: str
    on: date
    number: Range | None = None


@dataclass(frozen=True, slots=True)
class HeadCount:
    """How many there are by the book, and what that rests on.

    `basis` is the count or set-up it starts from, `floors` counts of at least so many, `since` the gains and losses after it;
    `apart` are hatchings since, whose young are not among them; `unfit` where a count and the book did not agree. `losses` are
    all deaths and departures on record.
    """

    low: int
    high: int | None
    known: bool
    basis: HeadEvent | None = None
    floors: tuple[HeadEvent, ...] = ()
    since: tuple[HeadEvent, ...] = ()
    apart: tuple[HeadEvent, ...] = ()
    losses: tuple[HeadEvent, ...] = ()
    unfit: bool = False


@dataclass(frozen=True, slots=True)
class Lot:
    """Heads that were sold or given on from a group: how many, and when. None where no number was told."""

    on: date
    number: Range | None


@dataclass(frozen=True, slots=True)
class Moult:
    """A moult, or cast skins; `told` of whom: OWN, TOGETHER or SHARED."""

    on: date
    number: Range | None = None
    told: str = OWN


@dataclass(frozen=True, slots=True)
class Size:
    """A measurement: `name` in words (legspan, weight, …), `unit_of` the measure whose unit it has, `value` in mm or g."""

    on: date
    name: str
    unit_of: str
    value: Range
    told: str = OWN


@dataclass(frozen=True, slots=True)
class Feeding:
    """A feeding: `outcome` is ate, refused, partly, or None where nobody wrote it; `prey` None where none was named.

    `each`: the quantity is for each head.
    """

    on: date
    prey: str | None = None
    state: str | None = None
    quantity: Range | None = None
    each: bool = False
    outcome: str | None = None
    told: str = OWN


@dataclass(frozen=True, slots=True)
class Reading:
    """A reading of the air where it lived: °C and per cent."""

    on: date
    temperature_c: Range | None = None
    humidity_pct: Range | None = None


@dataclass(frozen=True, slots=True)
class Enclosure:
    """Where it lives: width, depth, height in cm, None where not told; since when; whether it lives there with others.

    The bands are what the keeper set, None where the keeper set none; `bands_known` False: nobody can tell any more.
    """

    size_cm: tuple[float, float, float] | None = None
    since: date | None = None
    shared: bool = False
    humidity_pct: Range | None = None
    temperature_c: Range | None = None
    bands_known: bool = True


@dataclass(frozen=True, slots=True)
class Picture:
    """A photo, ready to be printed: JPEG bytes with their size in pixels, and what was told with it where notes are wanted."""

    on: date
    content: bytes
    width: int
    height: int
    words: str = ""


@dataclass(frozen=True, slots=True)
class Quote:
    """The keeper's own words of a day, with others' names put out."""

    on: date
    words: str


@dataclass(frozen=True, slots=True)
class Facts:
    """Everything on one animal or group that a sheet may tell, lists from old to new.

    `made_on` is the day of the sheet, `until` the last day it is about (earlier for what was handed over before); `since` the
    first, None for all. `known_since` is the first day in its place, None where it was there before the records, which then
    began on `told_on`. `cautions` are whole sentences. `unseen` counts photos that could not be printed; `older`: there are more than those.
    """

    name: str
    kind: str
    species: str | None
    made_on: date
    until: date
    since: date | None = None
    units: str = "metric"
    known_since: date | None = None
    told_on: date | None = None
    lots: tuple[Lot, ...] = ()
    parents: tuple[Parent, ...] = ()
    happenings: tuple[Happening, ...] = ()
    heads: HeadCount | None = None
    moults: tuple[Moult, ...] = ()
    premoult: date | None = None
    sizes: tuple[Size, ...] = ()
    growth: tuple[str, ...] = ()
    feedings: tuple[Feeding, ...] = ()
    enclosure: Enclosure = field(default_factory=Enclosure)
    readings: tuple[Reading, ...] = ()
    pictures: tuple[Picture, ...] = ()
    unseen: int = 0
    older: bool = False
    signs: tuple[Happening, ...] = ()
    cautions: tuple[str, ...] = ()
    notes: tuple[Quote, ...] = ()
    told_by: tuple[str, ...] = ()
    named: tuple[Quote, ...] = ()
