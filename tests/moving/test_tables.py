"""Tables: dialects, what columns hold, and rows put into words."""

from __future__ import annotations

import csv
import io
from collections.abc import Mapping
from datetime import UTC, datetime
from pathlib import Path

import pytest
from hypothesis import example, given
from hypothesis import strategies as st

from bot.moving.columns import ROLES, check, guess, load_mapping, mapping_text
from bot.moving.table_rows import read_roster, read_rows
from bot.moving.tables import Table, is_table, read_table
from bot.moving.told import Contents, ImportFault
from tests.moving.incoming import SAMPLES, settled

CELLS = st.text(st.characters(codec="utf-8", exclude_categories=["C", "Z"]) | st.just(" "), min_size=1, max_size=8)


def guesses(table: Table) -> list[str]:
    roles: list[str] = []
    for place, head in enumerate(table.heads):
        roles.append(guess(head, table.values(place), roles))
    return roles


def rows(*lines: str, roles: str, head: str = "") -> Contents:
    names = roles.split(",")
    text = "\n".join([head or ",".join(f"head {place}" for place in range(len(names))), *lines])
    return read_rows(read_table(text), names, settled)


def said(cells: Mapping[str, str]) -> list[tuple[str, str | None]]:
    """What one row says, by the roles of its cells, on the 3rd of February."""
    out = io.StringIO()
    csv.writer(out).writerows([["when", *cells], ["2026-02-03", *cells.values()]])
    found = read_rows(read_table(out.getvalue()), ["date", *cells], settled)
    assert not found.unreadable
    return [(one.text, one.about) for one in found.told]


@example([["0", "0", '"|'], ["0", "0", '"|']])
@example([["0", "0", "0"], ["'", "0", "';"]])
@example([["0", "0", "0"], ["'", "0", "':"]])
@example([["0", "0", "0"], ["'", "0", "'"]])
@given(st.lists(st.lists(CELLS.map(str.strip).filter(bool), min_size=3, max_size=3), min_size=2, max_size=5))
def test_a_table_written_by_the_standard_library_is_read_again(cells: list[list[str]]) -> None:
    """Any cells, with marks and quotes in them, as the csv module writes them for spreadsheets."""
    out = io.StringIO()
    csv.writer(out).writerows([["first", "second", "third"], *cells])
    found = read_table(out.getvalue())
    assert [list(row.cells) for row in found.rows] == cells


def test_the_marks_between_cells_are_found_out() -> None:
    """Semicolons, tabs and commas; a table without heads has columns by number."""
    for mark in ",;\t":
        table = read_table(
            f"Date{mark}Who{mark}What\n2026-02-03{mark}Basalt{mark}moult\n2026-02-04{mark}Ambers{mark}fed\n"
        )
        assert table.heads == ("Date", "Who", "What")
        assert [row.line for row in table.rows] == [2, 3]
    decimals = read_table("2026-02-03;21,5\n2026-02-04;22,5\n")
    assert decimals.rows[0].cells == ("2026-02-03", "21,5")
    quoted = read_table("Date;What\n2026-02-03;'twas out, that's all\n")
    assert quoted.rows[0].cells == ("2026-02-03", "'twas out, that's all")
    told = read_table("sep=;\nDate;What\n2026-02-03;moult, at last\n")
    assert (told.heads, told.rows[0].line) == (("Date", "What"), 3)
    assert read_table("2026-02-03,Basalt,moult\n2026-02-04,Ambers,fed\n").heads == ("column 1", "column 2", "column 3")


def test_heads_are_told_apart_and_stray_cells_are_named() -> None:
    """Two columns of one name, one without, and a row with more cells than there are columns."""
    table = read_table("a,a,\n1,2,3\n1,2,3,4\n1\n")
    assert table.heads == ("a", "a (2)", "column 3")
    assert [row.cells for row in table.rows] == [("1", "2", "3"), ("1", "", "")]
    assert table.unreadable == ("line 3: there are 4 cells in it and only 3 columns.",)


@pytest.mark.parametrize(
    ("text", "why"), [('a,b\n"1,2\n', "not good CSV"), ("a\n1\n", "only one column"), ("a,b\n", "no rows")]
)
def test_what_is_no_table_is_refused(text: str, why: str) -> None:
    """A quote that is never closed, a single column, heads alone."""
    with pytest.raises(ImportFault, match=why):
        read_table(text)


def test_columns_are_guessed_by_their_heads_and_their_values() -> None:
    """The samples, and a table whose heads say nothing."""
    feedings = read_table((SAMPLES / "feedings.csv").read_text())
    assert guesses(feedings) == ["date", "animal", "happening", "amount", "prey", "left over", "weight g", "note"]
    assert guesses(read_table((SAMPLES / "animals.csv").read_text())) == ["animal", "species", "place", "count"]
    assert guesses(read_table("2026-02-03 21:15,fed Ambers 4 crickets\n2026-02-04 21:15,Basalt has moulted\n")) == [
        "date and time",
        "text",
    ]


@pytest.mark.parametrize(
    ("roles", "why"),
    [
        ("date,date,animal,prey", "Two columns"),
        ("date,date and time,animal,prey", "stands alone"),
        ("date,animal", "something that happened"),
        ("date,prey", "an animal or a place"),
        ("date,animal,prey,species", "no roster"),
        ("animal,prey", "one “place”"),
        ("animal,place,prey", "has no use"),
    ],
)
def test_a_mapping_by_which_nothing_can_be_brought_in_is_refused(roles: str, why: str) -> None:
    """Each with the sentence that says what is missing or too much."""
    with pytest.raises(ImportFault, match=why):
        check(roles.split(","))


def test_a_mapping_is_kept_and_read_again(tmp_path: Path) -> None:
    """Heads of any kind, the order of days, and sentences for what is wrong with the file."""
    heads, roles = ["Date", 'who "is" it', "Gewicht (g)"], ["date", "animal", "weight g"]
    path = tmp_path / "mapping.toml"
    path.write_text(mapping_text(heads, roles, "month"), encoding="utf-8")
    assert load_mapping(path, heads) == (roles, "month")
    for text, why in (
        ("[columns]\nDate = 'day'", "cannot be “day”"),
        ("[columns]\nDate = 'date'", "does not say what the column “who"),
        ("Date = 'date'", "no table"),
        ("[columns", "not good TOML"),
    ):
        path.write_text(text)
        with pytest.raises(ImportFault, match=why):
            load_mapping(path, heads)


@pytest.mark.parametrize(
    ("cells", "words"),
    [
        (
            {"animal": "Ambers", "amount": "4", "prey": "crickets", "left over": "1"},
            "fed Ambers 4 crickets, 1 left over",
        ),
        (
            {"animal": "Ambers", "happening": "Feeding", "prey": "cricket", "eaten": "yes"},
            "fed Ambers cricket, all eaten",
        ),
        ({"animal": "Ambers", "prey": "cricket", "eaten": "no"}, "Ambers refused cricket"),
        ({"animal": "Ambers", "prey": "cricket", "eaten": "partly"}, "fed Ambers cricket, partly eaten"),
        ({"animal": "Basalt", "happening": "ecdysis"}, "Basalt moulted"),
        ({"animal": "Basalt", "happening": "pre-molt"}, "Basalt: premoult"),
        ({"animal": "Basalt", "happening": "Rehoused", "place": "moss jar"}, "moved Basalt to moss jar"),
        ({"animal": "Ambers", "happening": "death", "count": "2"}, "Ambers: 2 dead"),
        ({"animal": "Basalt", "happening": "Died"}, "Basalt died"),
        ({"animal": "Ambers", "count": "21"}, "counted Ambers: 21"),
        ({"animal": "Basalt", "happening": "weighed", "weight g": "12,5"}, "Basalt weighed 12.5 g"),
        ({"animal": "Basalt", "size mm": "31 mm"}, "measured Basalt: 31 mm"),
        ({"place": "moss jar", "temperature C": "25", "humidity": "78%"}, "moss jar: 25C 78%"),
        ({"animal": "Basalt", "happening": "dug a new hide"}, "Basalt: dug a new hide"),
    ],
)
def test_a_row_says_what_a_keeper_would_have_said(cells: dict[str, str], words: str) -> None:
    """Words that the parser reads, about the animal or place of the row."""
    who = cells.get("animal", cells.get("place"))
    assert said(cells) == [(words, who)]


def test_damp_is_of_the_place_and_food_of_the_animal() -> None:
    """Where a row names both."""
    both = {"animal": "Ambers", "place": "cork tank"}
    assert said({**both, "happening": "misted"}) == [("misted cork tank", "cork tank")]
    assert said({**both, "prey": "cricket"}) == [("fed Ambers cricket", "Ambers")]


def test_a_remark_is_kept_and_a_line_of_text_is_read() -> None:
    """A remark is a note of the animal; a text that does not name the animal gets its name."""
    found = rows("2026-02-03,Basalt,old skin", "2026-02-04,Basalt,", roles="date,animal,note")
    assert [(one.text, one.about, one.note) for one in found.told] == [("old skin", "Basalt", True)]
    assert found.left_out == {"rows in which nothing is told": 1}
    assert said({"animal": "Basalt", "text": "moulted"}) == [("Basalt: moulted", "Basalt")]
    assert said({"animal": "Basalt", "text": "fed basalt"}) == [("fed basalt", None)]


@pytest.mark.parametrize(
    ("written", "at"),
    [
        ("2026-02-03 21:15", datetime(2026, 2, 3, 21, 15)),  # noqa: DTZ001 - a wall clock
        ("2026-02-03T21:15:00Z", datetime(2026, 2, 3, 21, 15, tzinfo=UTC)),
        ("1770153300", datetime(2026, 2, 3, 21, 15, tzinfo=UTC)),
        ("1770153300000", datetime(2026, 2, 3, 21, 15, tzinfo=UTC)),
    ],
)
def test_times_of_rows_are_read_in_their_usual_forms(written: str, at: datetime) -> None:
    """ISO 8601 and Unix seconds or milliseconds; 1770153300 is datetime(2026, 2, 3, 21, 15, UTC).timestamp()."""
    (told,) = rows(f"{written},Basalt,moult", roles="date and time,animal,happening").told
    assert told.at == at


def test_a_row_that_cannot_be_used_is_named_by_its_line() -> None:
    """No day, a day that is none, one the calendar does not have, a number that may mean two things."""
    found = rows(
        ",Basalt,3", "soon,Basalt,3", "2026-02-30,Basalt,3", '2026-02-03,Basalt,"1,234"', roles="date,animal,count"
    )
    assert found.told == ()
    assert [one.partition(":")[0] for one in found.unreadable] == ["line 2", "line 3", "line 4", "line 5"]
    assert "“1,234” may be a fraction or thousands" in found.unreadable[-1]


def test_a_table_without_days_is_a_roster() -> None:
    """Kinds by their words or by the number of heads; tags parted by semicolons; faults name the line."""
    table = read_table("name,jar,n,kind,tags\nPearls,bark jar,18,,north;warm\nFlake,sand jar,,single,\n")
    made = read_roster(table, ["animal", "place", "count", "kind", "tags"], "Europe/Lisbon")
    assert [(one.name, one.kind, one.enclosure, one.count) for one in made.occupants] == [
        ("Pearls", "group", "bark jar", 18),
        ("Flake", "animal", "sand jar", None),
    ]
    assert made.enclosures[0].tags == ("north", "warm")
    for cells, why in ((",bark jar,3", "Line 2: an animal"), ("Pearls,bark jar,many", "Line 2: “many”")):
        with pytest.raises(ImportFault, match=why):
            read_roster(read_table(f"a,b,c\n{cells}\n"), ["animal", "place", "count"], "UTC")


def test_the_samples_are_known_as_tables() -> None:
    """And a diary is none."""
    assert is_table((SAMPLES / "feedings.csv").read_text())
    assert not is_table((SAMPLES / "diary.txt").read_text())
    assert set(ROLES) >= set(guesses(read_table((SAMPLES / "feedings.csv").read_text())))
