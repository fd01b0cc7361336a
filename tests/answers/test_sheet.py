"""The care sheet is told whole, each value with where it came from."""

from __future__ import annotations

from bot.care.sheet import load_sheets
from storage import roster
from tests.answers.conftest import Keeper, day


def test_every_value_has_its_source(keeper: Keeper) -> None:
    """Every row and value of the sheet is there, and each line names its source in brackets."""
    lines = keeper.text("sheet", "Duchess").splitlines()
    plain = load_sheets()["plain"]
    assert lines[0] == f"Duchess: neither species nor name says what it is, so this is the {plain.title}."
    assert [line for line in lines if line.endswith("(now):")] == ["Juvenile, under 30 mm (now):"]
    values = [line for line in lines if line.startswith("- ")]
    assert len(values) > 5 * len(plain.rows)
    assert all(line.endswith(")") and "common practice" in line for line in values)


def test_species_size_and_own_words_show(keeper: Keeper) -> None:
    """The genus chooses the sheet, the last size the row, and the keeper's words stand above it with their day."""
    roster.set_species(keeper.session, keeper.animals["Ada"], "Grammostola pulchripes")
    keeper.write(day(4, 5), "measurement", ["Ada"], measure="body", value=[34, 34])
    keeper.plan("feeding", ["Ada"], told=day(4, 1), every_days=12)
    keeper.write(None, "rule", ["Ada"], mood="plan", told=day(4, 2), humidity_pct=[55, 65])
    said = keeper.text("sheet", "Ada")
    assert said.startswith("Ada: Grammostola goes with the sheet “arid communal theraphosid”.")
    assert "Subadult, under 50 mm (now):\n- feeding: every 12 days (your own words, 1 Apr 2026)" in said
    assert "- humidity: 55 to 65 % (your own words, 2 Apr 2026)" in said
    assert "No size is written" not in said


def test_who_shares_a_tub_has_the_whole_sheet(keeper: Keeper) -> None:
    """Asked of the tub, the sheets of all who live in it are told, misting and all; of an empty one none."""
    said = keeper.text("sheet", "tub 1")
    assert said.count("- misting: ") == 2
    assert keeper.text("sheet", "glass cube") == "Nobody lives in glass cube, so no care sheet holds there."


def test_of_all_only_which_sheet(keeper: Keeper) -> None:
    """Without a name one line for each: which sheet, and why."""
    assert [line.split(":")[0] for line in keeper.text("sheet").splitlines()] == ["group B", "Ada", "Dot", "Duchess"]
