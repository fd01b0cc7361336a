"""The tables of a collection, opened as a keeper would: by the standard library's reader and by pandas."""

from __future__ import annotations

import csv
from datetime import timedelta
from pathlib import Path

import pandas as pd
import pytest

from bot.cli_export import exported
from bot.moving.cells import undone
from bot.moving.csv_journal import HEADINGS
from bot.moving.csv_roster import TABLES
from tests.front import ANA, BEN, Front
from tests.moving.test_collection_photos import options

Row = dict[str, str]

SAID = (
    (ANA, 24, "fed marigolds and larches 8 pk crickets, 2 left over"),
    (ANA, 24, "slate box 24.5C 70 to 75%"),
    (ANA, 0, "rushes: counted 31"),
    (ANA, 0, "saw at least 12 larches"),
    (BEN, 24, "moved the larches into the tall crate"),
    (BEN, 24, "flint 18.5g"),
    (BEN, 24, "fed larches 3 crickets"),
    (BEN, 0, "make that 5"),
    (ANA, 24, "fed sedges 4 crickets"),
    (ANA, 0, "undo"),
    (ANA, 24, "=1+1 is what is written on slate box"),
    (ANA, 0, "mist slate box every 3 days"),
    (ANA, 0, "RR means red runner roach"),
    (ANA, 0, "2 moults in rushes, legspan of the biggest 41 to 43 mm"),
)


@pytest.fixture
def folder(front: Front, tmp_path: Path) -> Path:
    for address, hours, words in SAID:
        front.clock.pass_time(timedelta(hours=hours, minutes=2))
        front.hear(front.message(words, address))
    list(exported(front.household, options(csv=tmp_path / "tables")))
    return tmp_path / "tables"


def table(folder: Path, name: str) -> list[Row]:
    """The rows by heading, texts as they were."""
    with (folder / f"{name}.csv").open(encoding="utf-8-sig", newline="") as opened:
        return [{key: undone(cell) for key, cell in row.items()} for row in csv.DictReader(opened, strict=True)]


def of(folder: Path, words: str) -> list[Row]:
    """The entries that words made."""
    return [row for row in table(folder, "entries") if row["words"] == words]


def test_every_table_is_there(folder: Path) -> None:
    """With its headings, whether or not it has rows; and nothing else."""
    assert {path.name for path in folder.iterdir()} == {f"{name}.csv" for name in (*HEADINGS, *TABLES)}
    for path in folder.iterdir():
        first = path.read_bytes().split(b"\r\n")[0].removeprefix(b"\xef\xbb\xbf").decode()
        headings = next(csv.reader([first]))
        assert len(headings) == len(set(headings)) >= 3


def test_one_row_for_each_that_an_entry_names(folder: Path) -> None:
    """And how many were named together, so that nobody counts prey twice."""
    rows = of(folder, SAID[0][2])
    assert [(row["who"], row["species"], row["place"]) for row in rows] == [
        ("Marigolds", "Neoholothele incei", "low box"),
        ("Larches", "Neoholothele incei", "bark box"),
    ]
    assert {(row["prey"], row["prey state"], row["prey offered"], row["left over"]) for row in rows} == {
        ("cricket", "pre-killed", "8", "2")
    }
    assert {row["named together"] for row in rows} == {"2"}
    assert rows[0]["date"] == "2026-03-04"
    assert rows[0]["told at"] == "2026-03-04 19:07"
    assert rows[0]["told by"] == "Ana"


def test_values_stand_under_their_units(folder: Path) -> None:
    """A range has a second cell; one without an upper end says so."""
    (reading,) = of(folder, "slate box 24.5C 70 to 75%")
    assert reading["temperature (°C)"] == "24.5"
    assert reading["temperature, at most (°C)"] == ""
    assert (reading["humidity (%)"], reading["humidity, at most (%)"]) == ("70", "75")
    (weighed,) = of(folder, "flint 18.5g")
    assert weighed["weight (g)"] == "18.5"
    (some,) = [row for row in table(folder, "counts") if row["words"] == "saw at least 12 larches"]
    assert (some["number"], some["number, at most"]) == ("12", "or more")
    (size,) = table(folder, "sizes")[1:]
    assert (size["leg span (mm)"], size["leg span, at most (mm)"]) == ("41", "43")


def test_the_place_is_where_it_then_lived(folder: Path) -> None:
    """Before the move and after it."""
    assert {row["place"] for row in of(folder, SAID[0][2]) if row["who"] == "Larches"} == {"bark box"}
    assert {row["place"] for row in of(folder, "fed larches 3 crickets")} == {"tall crate"}
    stays = [row for row in table(folder, "stays") if row["who"] == "Larches"]
    assert [(row["place"], row["from"], row["until"]) for row in stays] == [
        ("bark box", "", "2026-03-06"), ("tall crate", "2026-03-06", ""),
    ]  # fmt: skip


def test_what_holds_no_more_is_there_and_says_so(folder: Path) -> None:
    """Corrected, taken back, and which entry a correction corrects."""
    first, second = of(folder, "fed larches 3 crickets")
    assert (first["state"], first["prey offered"], second["state"], second["prey offered"]) == (
        "corrected",
        "3",
        "holds",
        "5",
    )
    assert second["corrects"] == first["entry"]
    assert [row["state"] for row in of(folder, "fed sedges 4 crickets")] == ["taken back"]


def test_words_that_look_like_a_formula_are_words(folder: Path) -> None:
    """In the file they begin with an apostrophe."""
    assert any(row["words"] == "=1+1 is what is written on slate box" for row in table(folder, "messages"))
    raw = b"".join(path.read_bytes() for path in folder.iterdir())
    assert b"'=1+1 is what" in raw
    assert b",=1+1" not in raw
    assert b'"=1+1' not in raw


def test_plans_say_when_they_fall_due(folder: Path) -> None:
    (plan,) = [row for row in table(folder, "plans") if row["kind"] == "misting"]
    assert (plan["every (days)"], plan["state"], plan["who"]) == ("3", "holds", "slate box")
    assert plan["next due"] >= "2026-03-10"


def test_animals_places_words_members(folder: Path) -> None:
    """As they are now; addresses are left out."""
    animals = {row["name"]: row for row in table(folder, "animals")}
    assert animals["Larches"]["place"] == "tall crate"
    assert animals["Larches"]["last fed"] == "2026-03-08"
    assert animals["Rushes"]["heads"] == "31"
    assert animals["Rushes"]["last moult"] == "2026-03-10"
    places = {row["name"]: row for row in table(folder, "places")}
    assert (places["low box"]["width (cm)"], places["low box"]["tags"]) == ("45", "left shelf; boxes")
    assert [(row["phrase"], row["means"]) for row in table(folder, "words")] == [("RR", "red runner roach")]
    members = table(folder, "members")
    assert [(row["name"], row["role"], row["service"]) for row in members] == [
        ("owner", "owner", "console"), ("Ana", "owner", "telegram"), ("Ben", "keeper", "telegram"),
    ]  # fmt: skip
    assert not any("address" in heading or "chat" in heading for heading in members[0])


def test_addresses_are_there_where_they_are_asked_for(front: Front, tmp_path: Path) -> None:
    list(exported(front.household, options(csv=tmp_path / "tables", with_addresses=True)))
    assert [row["address"] for row in table(tmp_path / "tables", "members")] == ["owner", ANA, BEN]


def test_a_table_reads_as_numbers_in_a_library_of_tables(folder: Path) -> None:
    """By pandas: columns of numbers are numbers, days are days."""
    entries = pd.read_csv(folder / "entries.csv", parse_dates=["date"])
    assert entries["prey offered"].dtype == "float64"
    assert str(entries["date"].dtype).startswith("datetime64")
    held = entries[(entries["state"] == "holds") & (entries["who"] == "Larches") & (entries["kind"] == "feeding")]
    assert held["prey offered"].sum() == 13


def test_nothing_is_written_over_unless_it_may(front: Front, tmp_path: Path) -> None:
    """One file that is there already is enough; nothing of the others is written then."""
    (tmp_path / "tables").mkdir()
    (tmp_path / "tables" / "stays.csv").write_text("mine")
    with pytest.raises(Exception, match=r"stays\.csv is there already; nothing was written"):
        list(exported(front.household, options(csv=tmp_path / "tables", json=tmp_path / "records.json")))
    assert [path.name for path in (tmp_path / "tables").iterdir()] == ["stays.csv"]
    assert not (tmp_path / "records.json").exists()
    list(exported(front.household, options(csv=tmp_path / "tables", replace=True)))
    assert (tmp_path / "tables" / "stays.csv").read_text(encoding="utf-8-sig").startswith("who,")


@pytest.mark.both_databases
def test_all_files_show_one_moment(front: Front, tmp_path: Path) -> None:
    """What is said while they are written is in none of them."""
    writing = exported(front.household, options(json=tmp_path / "records.json", csv=tmp_path / "tables"))
    next(writing)
    front.household.say("fed sedges 4 crickets")
    list(writing)
    assert not of(tmp_path / "tables", "fed sedges 4 crickets")
    assert "fed sedges 4 crickets" not in (tmp_path / "records.json").read_text()
    list(exported(front.household, options(csv=tmp_path / "tables", replace=True)))
    assert of(tmp_path / "tables", "fed sedges 4 crickets")
