"""The values of a document on their way in: rows by name become rows by number, and what does not fit is named by its place."""

from __future__ import annotations

from collections import Counter
from collections.abc import Callable, Iterable, Iterator, Mapping, Sequence
from dataclasses import dataclass, field
from datetime import UTC, date, datetime, time
from typing import TYPE_CHECKING, Any
from zoneinfo import ZoneInfo, ZoneInfoNotFoundError

from sqlalchemy import insert

from storage.faults import StorageFault
from storage.moving_form import CLOCK, DAY, MOMENT, NAMED, PLAIN, REFERRING, SECTIONS, Part, Section
from storage.moving_names import Names
from storage.moving_out import BATCH

if TYPE_CHECKING:
    from sqlalchemy.orm import Session

Row = Mapping[str, Any]
Place = tuple[str | int, ...]
"""Where a value stands in the document: ("entries", 3, "on")."""

_BY_NAME = {section.name: section for section in SECTIONS}


class Misfit(StorageFault):
    """The document cannot be brought in; `str(fault)` is one sentence, with the place as a JSON pointer (RFC 6901)."""

    def __init__(self, place: Place, what: str) -> None:
        super().__init__(f"Nothing was brought in: {pointer(place)} {what}.")


class SeparateWays(Misfit):
    """The file and the collection each have something of their own under one name."""

    def __init__(self, place: Place, sort: str) -> None:
        super().__init__(
            place,
            f"is another {sort} than the one that is called so here. The file and this collection have gone separate "
            "ways; bring it in as a collection of its own",
        )


@dataclass(slots=True)
class Arriving:
    """A document on its way into a collection.

    `fresh`: the collection was empty and becomes a copy. `admit`: members whose address nobody has here may write from it.
    `added` counts the rows by section; `remarks` are sentences for the keeper on what is other than the document says.
    """

    session: Session
    collection_id: int
    names: Names
    now: datetime
    fresh: bool = False
    admit: bool = False
    added: Counter[str] = field(default_factory=Counter)
    remarks: list[str] = field(default_factory=list)

    def row_of(self, section: str, name: str, place: Place) -> int:
        """The number of the row that is called so. Raises Misfit where there is none."""
        found = self.names.find(_BY_NAME[section], name)
        if found is None:
            raise Misfit(place, f"names {name!r}, and nothing among {section} is called so")
        return found

    def columns(self, row: Row, parts: Sequence[Part], place: Place) -> dict[str, Any]:
        """The columns of a row of the document, absent ones None. Raises Misfit."""
        return {part.column: self._read(row.get(part.name), part.sort, (*place, part.name)) for part in parts}

    def insert(self, section: Section, rows: Sequence[tuple[str, dict[str, Any]]]) -> None:
        """Write rows, told by name and columns, and remember the names."""
        if not rows:
            return
        model: Any = section.model
        statement = insert(model).returning(model.id, sort_by_parameter_order=True)
        ids = self.session.scalars(statement, [columns for _name, columns in rows]).all()
        self.names.learn(section, zip((name for name, _columns in rows), ids, strict=True))
        self.added[section.name] += len(rows)

    def _read(self, value: Any, sort: str, place: Place) -> Any:  # noqa: ANN401 - any column's value
        if value is None or sort == PLAIN:
            return value
        if sort == NAMED:
            return {key: self._named(key, told, (*place, key)) for key, told in value.items()}
        if sort in _READERS:
            return _moment_like(sort, value, place)
        return self.row_of(sort, value, place)

    def _named(self, key: str, value: Any, place: Place) -> Any:  # noqa: ANN401 - any JSON value
        if key not in REFERRING or value is None:
            return value
        if not isinstance(value, str):
            raise Misfit(place, "must be the name of a row, as text")
        return self.row_of(REFERRING[key], value, place)


def known_rows(arriving: Arriving, section: Section, rows: Iterable[Row]) -> Iterator[dict[int, tuple[int, Row]]]:
    """The rows that are here already, some at a time: by their number here, each with its place among the rows."""
    here: dict[int, tuple[int, Row]] = {}
    for number, row in enumerate(rows):
        found = arriving.names.find(section, row["id"])
        if found is not None:
            here[found] = (number, row)
        if len(here) == BATCH:
            yield here
            here = {}
    yield here


def moment(text: str) -> datetime:
    """A moment as the document has it. ValueError for one that is none."""
    found = datetime.fromisoformat(text)
    if found.tzinfo is None:
        raise ValueError("a moment needs a time zone")
    return found.astimezone(UTC)


def known_zone(zone: str, place: Place) -> str:
    """The zone itself. Raises Misfit where this machine knows none of that name."""
    try:
        ZoneInfo(zone)
    except (ZoneInfoNotFoundError, ValueError, OSError) as fault:
        raise Misfit(place, f"is {zone!r}, which is no time zone that this machine knows") from fault
    return zone


def pointer(place: Place) -> str:
    """A place in the document as a JSON pointer (RFC 6901); the document itself is "the file"."""
    steps = (str(step).replace("~", "~0").replace("/", "~1") for step in place)
    return "".join(f"/{step}" for step in steps) or "the file"


_READERS: Mapping[str, Callable[[str], date | time | datetime]] = {
    DAY: date.fromisoformat,
    CLOCK: time.fromisoformat,
    MOMENT: moment,
}
_SORTS = {DAY: "a day like 2026-03-02", CLOCK: "a time of day like 21:30", MOMENT: "a moment like 2026-03-02T19:05:00Z"}


def _moment_like(sort: str, text: str, place: Place) -> date | time | datetime:
    try:
        return _READERS[sort](text)
    except (ValueError, OverflowError) as fault:
        raise Misfit(place, f"is {text!r}, which is not {_SORTS[sort]}") from fault
