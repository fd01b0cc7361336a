"""Rows of a table as things told: each cell by what its column holds, put into the words that the parser reads."""

from __future__ import annotations

import re
from collections import Counter
from collections.abc import Iterator, Mapping, Sequence
from datetime import UTC, datetime
from typing import Any

from bot.language.roster import Roster, RosterFault, roster_from_table
from bot.moving.dated_lines import DAY_END
from bot.moving.tables import Row, Table
from bot.moving.told import Contents, ImportFault, Told, numbered
from bot.moving.written_days import DayAt, Order, OrderFor, day_at, time_at

Cells = Mapping[str, str]
"""What a row holds, by role; cells left empty are not in it."""

_UNIX = re.compile(r"\d{10}(?:\d{3})?")
_NUMBER = re.compile(r"-?\d+(?:\.\d+)?")
_COMMA = re.compile(r"(?<![\d,.])(\d+),(\d{1,2})(?![\d,.])")
_THOUSANDS = re.compile(r"(?<![\d,.])\d{1,3},\d{3}(?![\d,.])")
_REFUSED = re.compile(r"refus|reject|declin|not (?:eat|ate|taken)|(?:did|does)(?: not|n.?t) eat", re.IGNORECASE)
_NOT_EATEN = re.compile(r"no|n|0|false|refused|not eaten|none|-", re.IGNORECASE)
_EATEN = re.compile(r"yes|y|1|true|eaten|all|accepted|ok|x|ate|taken", re.IGNORECASE)
PARTLY = "partly eaten"
_PARTLY = re.compile(r"part(?:ly|ial|ially)?|some|half", re.IGNORECASE)
_FED = re.compile(r"feed(?:ing)?s?|fed|food|ate|eaten|meal", re.IGNORECASE)
_MOVED = re.compile(r"moved?|moving|re-?hous(?:e|ed|ing)|transfer(?:red)?", re.IGNORECASE)
_DEAD = re.compile(r"died|deaths?|dead|losses|loss", re.IGNORECASE)
_COUNTED = re.compile(r"count(?:ed)?|head ?count|census", re.IGNORECASE)
_MEASURED = re.compile(r"weigh|measur|size|leg ?span|growth", re.IGNORECASE)
_PLAIN: Sequence[tuple[re.Pattern[str], str]] = tuple(
    (re.compile(pattern, re.IGNORECASE), said)
    for pattern, said in (
        (r"(?:pre-?)mou?lt", "{who}: premoult"),
        (r"mou?lt(?:ed|ing)?s?|shed(?:ding)?|ecdysis", "{who} moulted"),
        (r"mist(?:ed|ing)?s?|spray(?:ed|ing)?", "misted {where}"),
        (r"water(?:ed|ing)?s?|water dish|filled (?:the )?dish", "watered {where}"),
        (r"spot[ -]?clean(?:ed|ing)?", "spot cleaned {where}"),
        (r"clean(?:ed|ing)?s?", "cleaned {where}"),
    )
)
_OF_PLACES = re.compile(r"mist|spray|water|clean|dish", re.IGNORECASE)
_UNITS = {"weight g": "g", "weight oz": "oz", "size mm": "mm", "size cm": "cm", "size in": "in"}
_KINDS = {
    "group": "group", "communal": "group", "colony": "group",
    "animal": "animal", "single": "animal", "individual": "animal",
}  # fmt: skip


def read_rows(table: Table, roles: Sequence[str], order_for: OrderFor) -> Contents:
    """The rows of a table of records as things told."""
    unreadable = list(table.unreadable)
    rows = [(row, _cells(row, roles)) for row in table.rows]
    order = order_for(list(_days(rows)), False)  # noqa: FBT003 - as OrderFor has it
    left_out: Counter[str] = Counter()
    told = tuple(numbered(_told(rows, order, left_out, unreadable)))
    return Contents("a table", "", told, left_out, tuple(unreadable), records=True)


def read_roster(table: Table, roles: Sequence[str], zone: str) -> Roster:
    """The rows of a table without days as a roster. Raises ImportFault with the line that cannot be used."""
    places: dict[str, dict[str, Any]] = {}
    animals = []
    if table.unreadable:
        raise ImportFault(table.unreadable[0])
    for row in table.rows:
        cells = _cells(row, roles)
        if "animal" not in cells or "place" not in cells:
            raise ImportFault(f"Line {row.line}: an animal and its place are needed in each row of a roster.")
        place = places.setdefault(cells["place"].lower(), {"name": cells["place"], "tags": []})
        place["tags"] += [tag.strip() for tag in cells.get("tags", "").split(";") if tag.strip() not in place["tags"]]
        animals.append(_animal(row, cells, place["name"]))
    try:
        return roster_from_table({"zone": zone, "enclosures": list(places.values()), "occupants": animals})
    except RosterFault as fault:
        raise ImportFault(str(fault)) from fault


def _animal(row: Row, cells: Cells, place: str) -> dict[str, Any]:
    animal: dict[str, Any] = {"name": cells["animal"], "enclosure": place}
    if "species" in cells:
        animal["species"] = cells["species"]
    if "count" in cells:
        if not cells["count"].isdecimal():
            raise ImportFault(f"Line {row.line}: “{cells['count']}” is no number of heads.")
        animal["count"] = int(cells["count"])
    if "kind" in cells:
        kind = _KINDS.get(cells["kind"].lower())
        if kind is None:
            raise ImportFault(f"Line {row.line}: “{cells['kind']}” is neither a group nor an animal.")
        animal["kind"] = kind
    return animal


def _cells(row: Row, roles: Sequence[str]) -> dict[str, str]:
    """What stands in a row, by role; of several notes or texts all, one after the other."""
    cells: dict[str, str] = {}
    for role, cell in zip(roles, row.cells, strict=True):
        if cell and role != "ignore":
            cells[role] = f"{cells[role]}. {cell}" if role in cells else cell
    return cells


def _days(rows: Sequence[tuple[Row, Cells]]) -> Iterator[DayAt]:
    for row, cells in rows:
        found = day_at(cells.get("date", cells.get("date and time", "")))
        if found is not None:
            yield f"line {row.line}", found[0]


def _told(
    rows: Sequence[tuple[Row, Cells]], order: Order, left_out: Counter[str], unreadable: list[str]
) -> Iterator[Told]:
    for row, cells in rows:
        where = f"line {row.line}"
        try:
            at = _at(cells, order)
            said = list(_said(cells))
        except ValueError as fault:
            unreadable.append(f"{where}: {fault}.")
            continue
        if not said and "note" not in cells:
            left_out["rows in which nothing is told"] += 1
        for text, about in said:
            yield Told(at, text, "", where, about=about)
        if "note" in cells:
            yield Told(at, cells["note"], "", where, about=cells.get("animal", cells.get("place")), note=True)


def _at(cells: Cells, order: Order) -> datetime:
    """When it was; without a time the end of the day. Raises ValueError."""
    written = cells.get("date and time", cells.get("date"))
    if written is None:
        raise ValueError("there is no day in it")
    if "date and time" in cells:
        if _UNIX.fullmatch(written):
            return datetime.fromtimestamp(int(written) / (1000 if len(written) == 13 else 1), UTC)
        if "T" in written or "+" in written:
            try:
                return datetime.fromisoformat(written)
            except ValueError:
                raise ValueError(f"“{written}” is no day and time such as 2026-03-02T21:15") from None
    found = day_at(written)
    if found is None:
        raise ValueError(f"“{written}” is no day such as 2026-03-02")
    try:
        day = found[0].day(order)
    except ValueError:
        raise ValueError(f"{found[0].words} is no day of the calendar") from None
    rest = cells.get("time", written[found[1] :].strip(" ,T"))
    clock = time_at(rest, 0)
    if rest and clock is None:
        raise ValueError(f"“{rest}” is no time such as 21:15")
    return datetime.combine(day, clock[0] if clock else DAY_END)


def _said(cells: Cells) -> Iterator[tuple[str, str | None]]:
    """The sentences of a row, each with whom it is about. Raises ValueError for a number that may mean two things."""
    for cell in (cells.get(role, "") for role in ("amount", "left over", "count", *_UNITS)):
        if _THOUSANDS.search(cell):
            raise ValueError(f"“{cell}” may be a fraction or thousands; write it without the comma")
    who = cells.get("animal", cells.get("place"))
    where = cells.get("place", cells.get("animal"))
    if who is not None and where is not None:
        happened = cells.get("happening", "")
        act = _act(cells, happened, who, where)
        if act:
            yield act, where if _OF_PLACES.search(happened) else who
        yield from ((size, who) for size in _sizes(cells, who))
        if "temperature C" in cells or "temperature F" in cells or "humidity" in cells:
            yield f"{where}: {_air(cells)}", where
    if "text" in cells:
        text = cells["text"]
        named = who is None or re.search(rf"(?<!\w){re.escape(who)}(?!\w)", text, re.IGNORECASE)
        yield (text, None) if named else (f"{who}: {text}", who)


def _act(cells: Cells, happened: str, who: str, where: str) -> str:
    """What was done or seen, as a keeper would say it; empty where the row tells of none."""
    amount, prey, eaten = (_decimal(cells.get(role, "")) for role in ("amount", "prey", "eaten"))
    count = cells.get("count", "")
    if _REFUSED.search(happened) or (eaten and _NOT_EATEN.fullmatch(eaten)):
        return f"{who} refused {prey}".strip()
    if _FED.fullmatch(happened) or (not happened and (amount or prey or eaten)):
        return _feeding(cells, f"fed {who} {amount} {prey}", eaten)
    known = _counted(happened, who, count) or _plain(cells, happened, who, where)
    if known or not happened or (_MEASURED.match(happened) and any(role in cells for role in _UNITS)):
        return known
    return " ".join(f"{who}: {happened} {count} {amount} {prey}".split())


def _counted(happened: str, who: str, count: str) -> str:
    """A row about heads: those that died, or those that were counted."""
    if _DEAD.fullmatch(happened):
        return f"{who}: {count} dead" if count else f"{who} died"
    return f"counted {who}: {count}" if count and (not happened or _COUNTED.fullmatch(happened)) else ""


def _plain(cells: Cells, happened: str, who: str, where: str) -> str:
    if _MOVED.fullmatch(happened):
        return f"moved {who} to {cells['place']}" if cells.keys() >= {"place", "animal"} else f"moved {who}"
    said = next((said for pattern, said in _PLAIN if pattern.fullmatch(happened)), "")
    return said.format(who=who, where=where)


def _feeding(cells: Cells, fed: str, eaten: str) -> str:
    words = " ".join(fed.split())
    left = _decimal(cells.get("left over", ""))
    if left and left != "0":
        return f"{words}, {left} left over"
    if not eaten or _EATEN.fullmatch(eaten):
        return f"{words}, all eaten" if eaten or left else words
    return f"{words}, {PARTLY if _PARTLY.fullmatch(eaten) else eaten}"


def _sizes(cells: Cells, who: str) -> Iterator[str]:
    for role, unit in _UNITS.items():
        if role in cells:
            size = _with_unit(cells[role], f" {unit}")
            yield f"{who} weighed {size}" if role.startswith("weight") else f"measured {who}: {size}"


def _air(cells: Cells) -> str:
    degrees = [_with_unit(cells[f"temperature {unit}"], unit) for unit in "CF" if f"temperature {unit}" in cells]
    damp = [_with_unit(cells["humidity"], "%")] if "humidity" in cells else []
    return " ".join(degrees + damp)


def _with_unit(cell: str, unit: str) -> str:
    """A number with the unit of its column, unless the cell has one of its own."""
    number = _decimal(cell)
    return f"{number}{unit}" if _NUMBER.fullmatch(number) else number


def _decimal(cell: str) -> str:
    """A cell with the point for a decimal comma."""
    return _COMMA.sub(r"\1.\2", cell)
