"""The sections of a sheet in words: each a title with sentences, a table, or pictures."""

from __future__ import annotations

from collections.abc import Callable, Mapping
from dataclasses import dataclass

from bot.handover.eating import feeding_lines, feeding_table
from bot.handover.facts import EXTRAS, OWN, SECTIONS, Facts, Lot, Moult, Picture, Quote, Selection, Size
from bot.handover.home import housing_lines
from bot.handover.numbers import head_lines
from bot.handover.past import origin_lines
from bot.wording import join_names, say_full_day, say_measure, say_number, say_range
from bot.wording.terms import SIGNS

NOT_APART = " (told of several together)"

EMERGENCY = "In an emergency call your local emergency number or poison centre, and say what animal it was."
FOR_BOTH = (
    "Local rules, permits and papers are for both sides to check.",
    "The records are what the keeper wrote down; what is not written is not known.",
)

PUT_OUT = "Other animals, places and people are put out of them: […]."


@dataclass(frozen=True, slots=True)
class Table:
    """Rows under a header; `line` says a row as one line of plain text."""

    header: tuple[str, ...]
    rows: tuple[tuple[str, ...], ...]
    line: str


@dataclass(frozen=True, slots=True)
class Section:
    """One section: its key, its title, sentences, then a table or pictures, where it has any."""

    key: str
    title: str
    lines: tuple[str, ...] = ()
    table: Table | None = None
    pictures: tuple[Picture, ...] = ()


def heading(facts: Facts) -> tuple[str, ...]:
    """What stands under the name: species, whom the sheet is of, which days it is about."""
    species = facts.species or "species not written"
    said = [f"{species}, {'a group' if facts.kind == 'group' else 'one animal'}"]
    said += [_lot(lot, facts.kind) for lot in facts.lots]
    if facts.lots and facts.kind == "group":
        said.append("The records are those of the whole group up to that day")
    since = "" if facts.since is None else f"from {say_full_day(facts.since)} "
    return (*said, f"Made on {say_full_day(facts.made_on)}, from records {since}up to {say_full_day(facts.until)}")


def _lot(lot: Lot, kind: str) -> str:
    day = say_full_day(lot.on)
    if kind == "animal":
        return f"It left on {day}"
    if lot.number is None:
        return f"For those of them that left on {day}; how many was not written"
    return f"For {say_range(lot.number)} of them, that left on {day}"


def sections(facts: Facts, selection: Selection) -> tuple[Section, ...]:
    """The sections that are wanted, in their order; one that cannot be of such a one (heads of a lone animal) is left out."""
    wanted = (key for key in (*SECTIONS, *EXTRAS) if key in selection)
    found = (_MADE[key](facts, selection) for key in wanted)
    return tuple(section for section in found if section is not None)


def _origin(facts: Facts, _selection: Selection) -> Section:
    return Section("origin", "Origin and brood", origin_lines(facts))


def _heads(facts: Facts, _selection: Selection) -> Section | None:
    return None if facts.heads is None else Section("heads", "Head count and losses", head_lines(facts))


def _moults(facts: Facts, _selection: Selection) -> Section:
    lines = [] if facts.premoult is None else [f"Last seen in premoult {say_full_day(facts.premoult)}."]
    if not facts.moults:
        return Section("moults", "Moults", ("No moult was written.", *lines))
    days = len({one.on for one in facts.moults})
    last = say_full_day(facts.moults[-1].on)
    lines.insert(0, f"Moults on {days} days, the last {last}." if days > 1 else f"Moults on one day, {last}.")
    rows = tuple((say_full_day(one.on), _say_moult(one, facts.kind)) for one in facts.moults)
    return Section("moults", "Moults", tuple(lines), Table(("Day", "What was found"), rows, "{0}: {1}"))


def _say_moult(moult: Moult, kind: str) -> str:
    if moult.told == "shared":
        return "a moult in an enclosure that it shared: it, or one it lived with"
    number = moult.number if moult.told == OWN else None
    if kind == "animal":
        return "moulted"
    return "moulted, how many was not written" if number is None else f"{say_range(number)} moulted"


def _sizes(facts: Facts, _selection: Selection) -> Section:
    if not facts.sizes:
        return Section("sizes", "Measurements", ("No measurement was written.",))
    sorts: dict[tuple[str, str], list[Size]] = {}
    for one in facts.sizes:
        sorts.setdefault((one.name, one.unit_of), []).append(one)
    lines = [_course(name, told, facts.units) for (name, _unit), told in sorted(sorts.items())]
    rows = tuple(
        (say_full_day(one.on), one.name, f"{_value(one, facts.units)}{'' if one.told == OWN else NOT_APART}")
        for one in facts.sizes
    )
    table = Table(("Day", "Measure", "Value"), rows, "{0}: {1} {2}")
    return Section("sizes", "Measurements", (*lines, *facts.growth), table)


def _course(name: str, told: list[Size], units: str) -> str:
    """The last size of a sort, and how it came from the first."""
    first, last = told[0], told[-1]
    now = f"{name[:1].upper()}{name[1:]}: {_value(last, units)} on {say_full_day(last.on)}"
    if len(told) < 2 or first.on == last.on or not _middle(first):
        return f"{now}."
    times = say_number(round(_middle(last) / _middle(first), 2))
    return f"{now}, {times} times the first ({_value(first, units)} on {say_full_day(first.on)})."


def _middle(size: Size) -> float:
    edges = [edge for edge in size.value if edge is not None]
    return sum(edges) / len(edges) if edges else 0.0


def _value(size: Size, units: str) -> str:
    return say_measure(size.value, size.unit_of, units)


def _feeding(facts: Facts, _selection: Selection) -> Section:
    if not facts.feedings:
        return Section("feeding", "Feeding", feeding_lines(facts))
    header, rows = feeding_table(facts)
    line = "{0}: {1}" if len(header) == 2 else "{0}: {1} in the last 90 days, {2} in all"
    return Section("feeding", "Feeding", feeding_lines(facts), Table(header, rows, line))


def _housing(facts: Facts, _selection: Selection) -> Section:
    return Section("housing", "Enclosure and climate", housing_lines(facts))


def _pictures(facts: Facts, _selection: Selection) -> Section:
    lines = [] if facts.pictures else ["No photo that shows it alone is kept." if not facts.unseen else ""]
    if facts.older:
        lines.append(f"The newest {len(facts.pictures)}; older ones are left out.")
    if facts.unseen:
        lines.append(f"{facts.unseen} photo{'' if facts.unseen == 1 else 's'} could not be printed.")
    return Section("pictures", "Pictures", tuple(line for line in lines if line), pictures=facts.pictures)


def _cautions(facts: Facts, _selection: Selection) -> Section:
    seen = ", ".join(f"{SIGNS.get(one.what, one.what)} on {say_full_day(one.on)}" for one in facts.signs)
    lines = [f"Seen in the last 90 days: {seen}."] if seen else []
    said = any("local emergency" in line for line in facts.cautions)
    for_all = FOR_BOTH if said else (EMERGENCY, *FOR_BOTH)
    return Section("cautions", "Cautions", (*lines, *facts.cautions, *for_all))


def _notes(facts: Facts, _selection: Selection) -> Section:
    if not facts.notes:
        return Section("notes", "The keeper's notes", ("No note of it alone was written.",))
    return Section("notes", "The keeper's notes", (PUT_OUT,), _quoted(facts.notes))


def _names(facts: Facts, _selection: Selection) -> Section:
    by = f"Written down by {join_names(facts.told_by)}." if facts.told_by else "Who wrote the records is not known."
    lines = (by,) if facts.named else (by, "From whom it came was not written.")
    return Section("names", "From whom", lines, _quoted(facts.named) if facts.named else None)


def _quoted(quotes: tuple[Quote, ...]) -> Table:
    rows = tuple((say_full_day(one.on), f"“{one.words}”") for one in quotes)
    return Table(("Day", "As it was told"), rows, "{0}: {1}")


_MADE: Mapping[str, Callable[[Facts, Selection], Section | None]] = {
    "origin": _origin,
    "heads": _heads,
    "moults": _moults,
    "sizes": _sizes,
    "feeding": _feeding,
    "housing": _housing,
    "pictures": _pictures,
    "cautions": _cautions,
    "notes": _notes,
    "names": _names,
}
