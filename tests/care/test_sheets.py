"""The care sheets: every value has its source, every kind of the trade has a sheet, and the keeper's words stand above."""

from __future__ import annotations

from dataclasses import fields
from itertools import pairwise

import pytest

from bot.care.rules import effective, rules_of
from bot.care.sheet import CareSheet, Row, Sourced, load_sheets, suggest, suggestion
from tests.care.tale import Tale

KINDS = {
    "arid communal theraphosid",
    "moist fossorial theraphosid",
    "arboreal theraphosid",
    "whip spider",
    "scorpion",
    "mantis",
    "social spider",
    "gecko",
    "snake",
    "isopod culture",
    "feeder culture",
}


def test_every_kind_has_its_sheet() -> None:
    """The eleven kinds and the plain sheet for the rest."""
    assert {sheet.title for sheet in load_sheets().values()} == KINDS | {"plain terrestrial sheet"}


@pytest.mark.parametrize("sheet", load_sheets().values(), ids=lambda sheet: sheet.key)
def test_every_value_has_a_source(sheet: CareSheet) -> None:
    """Each value of the sheet and of its rows says where it comes from; ranges run from low to high."""
    things: list[CareSheet | Row] = [sheet, *sheet.rows]
    values = [getattr(thing, one.name) for thing in things for one in fields(thing)]
    sourced = [value for value in values if isinstance(value, Sourced)] + list(sheet.notes.values())
    assert len(sourced) > 5
    assert all(value.source for value in sourced)
    ranges = [value.value for value in sourced if isinstance(value.value, tuple) and len(value.value) == 2]
    assert all(low <= high for low, high in ranges)


@pytest.mark.parametrize("sheet", load_sheets().values(), ids=lambda sheet: sheet.key)
def test_rows_go_up_to_no_limit(sheet: CareSheet) -> None:
    """Limits rise, the last row has none, and larger animals are never fed more often than smaller ones."""
    limits = [row.upto_mm for row in sheet.rows]
    assert limits[-1] is None
    assert all(low < high for low, high in pairwise(limits[:-1]) if low and high)
    assert all(small.feeding.value[0] <= large.feeding.value[0] for small, large in pairwise(sheet.rows))


def test_spiders_go_from_pre_killed_to_live_at_12_mm() -> None:
    """Common practice: pre-killed for the smallest, live from about 12 mm body length."""
    for key in ("arid_theraphosid", "moist_fossorial_theraphosid", "arboreal_theraphosid"):
        states = [load_sheets()[key].row(size).prey_state for size in (11.9, 12)]
        assert [state.value for state in states if state] == ["pre-killed", "live"]


def test_no_two_sheets_claim_one_genus() -> None:
    """Each genus leads to one sheet."""
    genera = [genus for sheet in load_sheets().values() for genus in sheet.genera]
    assert len(genera) == len(set(genera))


@pytest.mark.parametrize(
    ("species", "kind", "name", "key"),
    [
        ("Neoholothele incei", "group", "B", "arid_theraphosid"),
        ("poecilotheria metallica", "animal", "P", "arboreal_theraphosid"),
        ("Damon variegatus", "group", "Stilts", "whip_spider"),
        (None, "group", "the whip spiders", "whip_spider"),
        (None, "animal", "gecko house", "gecko"),
        ("leopard gecko", "animal", "Nim", "gecko"),
        ("Shelfordella lateralis", "group", "stock", "feeder_culture"),
        ("Folsomia candida", "group", "jar", "isopod_culture"),
        (None, "animal", "Flint", "plain"),
    ],
)
def test_species_or_name_suggest_a_sheet(species: str | None, kind: str, name: str, key: str) -> None:
    """By genus first, then by words of species and name, else the plain sheet."""
    assert suggest(species, kind, name).key == key


def test_a_suggestion_says_why() -> None:
    """The reason names the genus or the word; the plain sheet says that it is only that."""
    assert suggestion("Neoholothele incei", "group", "B").because.startswith("Neoholothele goes with the sheet")
    plain = suggestion(None, "animal", "Flint")
    assert not plain.sure
    assert "plain terrestrial sheet" in plain.because


def test_cautions_go_by_genus() -> None:
    """Hairs for a genus that kicks them, a significant bite or sting for genera known for it, none where none is known."""
    assert suggest("Brachypelma hamorii", "animal", "x").cautions.kinds == {"hairs"}
    assert suggest("Poecilotheria regalis", "animal", "x").cautions.significant
    assert suggest("Androctonus australis", "animal", "x").cautions.significant
    assert not suggest("Euscorpius italicus", "group", "x").cautions.significant
    assert suggest("Neoholothele incei", "group", "x").cautions.kinds == set()


def test_own_words_stand_above_the_sheet() -> None:
    """Intervals, amounts, bands and days told by the keeper carry the keeper's words as their source."""
    tale = Tale()
    tale.plan("feeding", 2, every_days=10)
    tale.plan("rule", 2, task="misting", every_days=7, amount="light")
    tale.plan("rule", 3, humidity_pct=[55, 65])
    tale.plan("rule", 3, temperature_c=[24, 26], settling_days=4, look_in_days=[1, 3, 7])
    tale.plan("watering", 3, every_days=2)
    tale.plan("cleaning", 3, every_days=9)
    tale.plan("cleaning", 3, every_days=200, scope="full")
    tale.plan("count", 3, every_days=60)
    sheet = effective(tale.sheet, rules_of(tale.plans))
    assert {row.feeding for row in sheet.rows} == {Sourced((10.0, 10.0), "your own words, 2 Mar 2026")}
    assert sheet.misting == Sourced((7.0, 7.0), "your own words, 2 Mar 2026")
    assert sheet.misting_amount is not None
    assert sheet.misting_amount.value == "light"
    assert sheet.humidity_pct == Sourced((55.0, 65.0), "your own words, 3 Mar 2026")
    assert sheet.settling_days == Sourced(4, "your own words, 3 Mar 2026")
    assert sheet.look_in_days == Sourced((1, 3, 7), "your own words, 3 Mar 2026")
    spans = (sheet.temperature_c, sheet.watering, sheet.spot_clean, sheet.full_clean, sheet.recount)
    assert [one.value[0] for one in spans if one] == [24, 2, 9, 200, 60]


def test_an_amount_alone_changes_the_amount_alone() -> None:
    """“mist C, but lightly” leaves the interval to the sheet."""
    tale = Tale("Damon variegatus")
    tale.plan("rule", 2, task="misting", amount="light")
    sheet = effective(tale.sheet, rules_of(tale.plans))
    assert sheet.misting == tale.sheet.misting
    assert sheet.misting_amount == Sourced("light", "your own words, 2 Mar 2026")


def test_back_to_the_care_sheet() -> None:
    """All that was told of the sheet's own values is dropped; plans for a day and weighings stay."""
    tale = Tale()
    tale.plan("feeding", 2, every_days=10)
    tale.plan("rule", 2, humidity_pct=[55, 65])
    tale.plan("stop", 2, of="misting")
    tale.plan("measurement", 2, every_days=14)
    tale.plan("check", 2, on=9)
    tale.plan("rule", 3, back=True)
    rules = rules_of(tale.plans)
    assert effective(tale.sheet, rules) == tale.sheet
    assert (set(rules.repeats), rules.stops, len(rules.dated)) == ({"measurement"}, (), 1)
    tale.plan("feeding", 4, every_days=8)
    assert effective(tale.sheet, rules_of(tale.plans)).rows[0].feeding.value == (8.0, 8.0)
