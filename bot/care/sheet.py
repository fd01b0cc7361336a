"""Care sheets: what each kind of animal needs by default, each value with where it comes from.

A sheet is a TOML file in bot/care/sheets. Popular advice on intervals differs two- to five-fold, so every interval is a
range, and the keeper's own words stand above it (`bot.care.rules.effective`).
"""

from __future__ import annotations

import re
import tomllib
from collections.abc import Mapping
from dataclasses import dataclass, field, replace
from functools import cache
from importlib import resources
from types import MappingProxyType
from typing import Any, Generic, TypeVar

ValueT = TypeVar("ValueT")
Span = tuple[float, float]
"""From low to high: days, per cent, °C, or shares of the body length."""

PLAIN = "plain"
"""The key of the sheet for animals of which nothing is known."""

_ROW_VALUES = ("feeding", "prey_share", "prey_state", "after_moult", "premoult")
_VALUES = (
    "misting",
    "misting_amount",
    "watering",
    "water_dish",
    "humidity_pct",
    "temperature_c",
    "settling_days",
    "look_in_days",
    "spot_clean",
    "full_clean",
    "recount",
)
_BY_GENUS = ("bite", "hairs", "sting", "collected")

Table = Mapping[str, Any]


@dataclass(frozen=True, slots=True)
class Sourced(Generic[ValueT]):
    """A value with where it comes from: a citation, "common practice", or "your own words, <date>"."""

    value: ValueT
    source: str


@dataclass(frozen=True, slots=True)
class Row:
    """What holds up to a body length in mm; the last row of a sheet has no limit (None).

    `feeding` is in days, `prey_share` in parts of the body length, `prey_state` pre-killed, live or frozen-thawed.
    `after_moult` is the wait before food in days, `premoult` the days for which premoult signs hold feeding.
    """

    upto_mm: float | None
    stage: str
    feeding: Sourced[Span]
    prey_share: Sourced[Span] | None = None
    prey_state: Sourced[str] | None = None
    after_moult: Sourced[Span] | None = None
    premoult: Sourced[float] | None = None


@dataclass(frozen=True, slots=True)
class Cautions:
    """What the keeper is to be warned of: bite, hairs, sting, collected (wood or leaves brought in from outside).

    `significant`: a bite or sting known to need a doctor at times; its absence never means harmless.
    """

    kinds: frozenset[str] = frozenset()
    significant: bool = False
    source: str = "common practice"


@dataclass(frozen=True, slots=True)
class CareSheet:
    """The defaults for one kind of animal. Intervals are in days, None where the thing is not done by the clock."""

    key: str
    title: str
    rows: tuple[Row, ...]
    assumed_mm: Sourced[float]
    genera: frozenset[str] = frozenset()
    words: frozenset[str] = frozenset()
    misting: Sourced[Span] | None = None
    misting_amount: Sourced[str] | None = None
    watering: Sourced[Span] | None = None
    water_dish: Sourced[str] | None = None
    humidity_pct: Sourced[Span] | None = None
    temperature_c: Sourced[Span] | None = None
    settling_days: Sourced[int] | None = None
    look_in_days: Sourced[tuple[int, ...]] | None = None
    spot_clean: Sourced[Span] | None = None
    full_clean: Sourced[Span] | None = None
    recount: Sourced[Span] | None = None
    cautions: Cautions = field(default_factory=Cautions)
    nocturnal: bool = True
    notes: Mapping[str, Sourced[str]] = field(default_factory=dict)

    def row(self, body_mm: float | None) -> Row:
        """The row for a body length; where none is known, for the length that the sheet assumes."""
        length = self.assumed_mm.value if body_mm is None else body_mm
        return next((row for row in self.rows if row.upto_mm is None or length < row.upto_mm), self.rows[-1])


@dataclass(frozen=True, slots=True)
class Suggestion:
    """A care sheet with why it was chosen, in words; `sure` False: it is only the plain one."""

    sheet: CareSheet
    because: str
    sure: bool


@cache
def load_sheets() -> Mapping[str, CareSheet]:
    """Read all care sheets by their keys, once; cautions that hold for some genera alone are left to `suggest`."""
    return MappingProxyType({key: _sheet(key, table) for key, table in _tables().items()})


def suggest(species: str | None, kind: str, name: str) -> CareSheet:
    """Choose the sheet for an occupant by genus, else by words in its species, kind or name, else the plain one."""
    return suggestion(species, kind, name).sheet


def suggestion(species: str | None, kind: str, name: str) -> Suggestion:
    """Choose the sheet as `suggest` does, and say why."""
    genus = _genus(species)
    sheets = load_sheets()
    for key, sheet in sheets.items():
        if genus and genus in sheet.genera:
            return Suggestion(_cautioned(key, genus), f"{genus} goes with the sheet “{sheet.title}”", sure=True)
    words = re.findall(r"[a-z-]+", " ".join((species or "", kind, name)).lower())
    for word in words:
        for key, sheet in sheets.items():
            if word in sheet.words:
                return Suggestion(_cautioned(key, genus), f"“{word}” goes with the sheet “{sheet.title}”", sure=True)
    plain = sheets[PLAIN]
    return Suggestion(plain, f"neither species nor name says what it is, so this is the {plain.title}", sure=False)


def _genus(species: str | None) -> str:
    """The first word of a scientific name, as it is spelled in the sheets."""
    words = re.findall(r"[A-Za-z]+", species or "")
    return words[0].capitalize() if words else ""


@cache
def _tables() -> Mapping[str, Table]:
    folder = resources.files("bot.care.sheets")
    files = sorted((file for file in folder.iterdir() if file.name.endswith(".toml")), key=lambda file: file.name)
    return {file.name.removesuffix(".toml"): tomllib.loads(file.read_text(encoding="utf-8")) for file in files}


@cache
def _cautioned(key: str, genus: str) -> CareSheet:
    """The sheet with the cautions that hold for a genus."""
    told = _tables()[key].get("cautions", {})
    kinds = {kind for kind in _BY_GENUS if genus and genus in told.get(kind, ())} | set(told.get("kinds", ()))
    significant = genus in told.get("significant", ())
    cautions = Cautions(frozenset(kinds), significant, told.get("source", "common practice"))
    return replace(load_sheets()[key], cautions=cautions)


def _sheet(key: str, table: Table) -> CareSheet:
    told = table.get("cautions", {})
    cautions = Cautions(frozenset(told.get("kinds", ())), source=told.get("source", "common practice"))
    values = {name: _sourced(table[name]) for name in _VALUES if name in table}
    return CareSheet(
        key=key,
        title=table["title"],
        rows=tuple(_row(row) for row in table["rows"]),
        assumed_mm=_sourced(table["assumed_mm"]),
        genera=frozenset(table["genera"]),
        words=frozenset(table["words"]),
        cautions=cautions,
        nocturnal=table.get("nocturnal", True),
        notes=MappingProxyType({name: _sourced(value) for name, value in table.get("notes", {}).items()}),
        **values,
    )


def _row(table: Table) -> Row:
    values = {name: _sourced(table[name]) for name in _ROW_VALUES if name in table}
    return Row(upto_mm=table.get("upto_mm"), stage=table["stage"], **values)


def _sourced(table: Table) -> Sourced[Any]:
    value = table["value"]
    return Sourced(tuple(value) if isinstance(value, list) else value, table["source"])
