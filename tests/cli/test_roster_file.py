"""Writing a roster as TOML: what is written reads back the same, with Python's own TOML reader as the judge."""

from __future__ import annotations

import tomllib
from pathlib import Path
from typing import Any

import pytest
from hypothesis import given
from hypothesis import strategies as st

from bot.language.roster import RosterFault, roster_to_table
from bot.roster_file import load_roster, roster_text, toml_text

TEXT = st.text(st.characters(exclude_categories=["Cs"]), max_size=20)
PLAIN = st.one_of(TEXT, st.booleans(), st.integers(-(2**60), 2**60), st.floats(allow_nan=False, allow_infinity=False))
ROW = st.dictionaries(TEXT, st.one_of(PLAIN, st.lists(PLAIN, max_size=3)), max_size=4)


@given(plain=ROW, rows=st.lists(ROW, min_size=1, max_size=3))
def test_what_is_written_reads_back_the_same(plain: dict[str, Any], rows: list[dict[str, Any]]) -> None:
    """Any table of plain values and rows comes back equal through tomllib."""
    table = {**plain, "rows": rows}
    assert tomllib.loads(toml_text(table)) == table


def test_nothing_is_written_for_none() -> None:
    """A field that is None is left out, as TOML has no word for it."""
    assert toml_text({"zone": "UTC", "gone": None}) == 'zone = "UTC"\n'


def test_what_toml_cannot_hold_is_marked() -> None:
    """A lone surrogate is written as the replacement mark; a value of a strange type is refused."""
    assert tomllib.loads(toml_text({"name": "a\ud800"})) == {"name": "a\ufffd"}
    assert tomllib.loads(toml_text({"at": {"x": 1}})) == {"at": {"x": 1}}
    with pytest.raises(TypeError, match="no place"):
        toml_text({"name": object()})


def test_a_roster_comes_back_from_its_file(tmp_path: Path) -> None:
    """A roster with every field, written and loaded again, is the same roster."""
    path = tmp_path / "roster.toml"
    path.write_text(
        'zone = "Europe/Lisbon"\n'
        '[[enclosures]]\nname = "tub 4"\naliases = ["t4"]\ntags = ["shelf 2"]\nsize_cm = [30, 20, 15.5]\n'
        '[[enclosures]]\nname = "the \\"jar\\""\n'
        '[[occupants]]\nname = "group B"\nkind = "group"\naliases = ["B"]\nspecies = "Neoholothele incei"\n'
        'enclosure = "tub 4"\ncount = 42\n',
        encoding="utf-8",
    )
    roster = load_roster(path)
    again = tmp_path / "again.toml"
    again.write_text(roster_text(roster), encoding="utf-8")
    assert roster_to_table(load_roster(again)) == roster_to_table(roster)


@pytest.mark.parametrize("content", ["zone = ", 'zone = "Europe/Lisbon"\nenclosures = 3\n', b"\xff\xfe"])
def test_a_file_that_is_no_roster_is_one_sentence(tmp_path: Path, content: str | bytes) -> None:
    """Bad TOML, bad bytes and a wrong table give a sentence that begins with the file's name."""
    path = tmp_path / "roster.toml"
    path.write_bytes(content.encode() if isinstance(content, str) else content)
    with pytest.raises(RosterFault, match=r"roster\.toml"):
        load_roster(path)
