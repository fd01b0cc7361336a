"""`rackside roster import` and `export`: what is added, what is left alone, and that the two agree."""

from __future__ import annotations

from pathlib import Path
from typing import Any

import pytest

from bot.cli import main
from bot.language.roster import roster_to_table
from bot.roster_file import load_roster

SMALL = Path(__file__).with_name("small.toml")


@pytest.fixture
def data(tmp_path: Path, capsys: pytest.CaptureFixture[str]) -> str:
    folder = str(tmp_path / "data")
    assert main(["roster", "import", str(SMALL), "--data", folder]) == 0
    capsys.readouterr()
    return folder


def exported(data: str, tmp_path: Path) -> Path:
    path = tmp_path / "exported.toml"
    assert main(["roster", "export", str(path), "--data", data]) == 0
    return path


def table(path: Path) -> dict[str, Any]:
    return roster_to_table(load_roster(path))


def test_what_is_imported_is_what_is_exported(data: str, tmp_path: Path) -> None:
    """A roster imported into an empty folder comes out the same, its zone too."""
    assert table(exported(data, tmp_path)) == table(SMALL)


def test_a_second_import_changes_nothing(data: str, tmp_path: Path, capsys: pytest.CaptureFixture[str]) -> None:
    """What is there already is said to be, and stays as it is."""
    assert main(["roster", "import", str(SMALL), "--data", data]) == 0
    assert capsys.readouterr().out.count("is there already") == 4
    assert table(exported(data, tmp_path)) == table(SMALL)


def test_an_import_adds_to_what_is_there(data: str, tmp_path: Path) -> None:
    """New places and animals are added; one that is there gains tags, aliases and a size that it lacked, and is not moved."""
    more = tmp_path / "more.toml"
    more.write_text(
        'zone = "Asia/Tokyo"\n'
        '[[enclosures]]\nname = "TUB 5"\ntags = ["shelf 3"]\naliases = ["t5"]\nsize_cm = [20, 20, 20]\n'
        '[[enclosures]]\nname = "jar"\n'
        '[[occupants]]\nname = "group d"\nkind = "group"\naliases = ["the quick ones"]\nenclosure = "jar"\ncount = 9\n'
        '[[occupants]]\nname = "Vesper"\nkind = "animal"\nenclosure = "jar"\n'
    )
    assert main(["roster", "import", str(more), "--data", data]) == 0
    roster = load_roster(exported(data, tmp_path))
    assert roster.zone == "Europe/Lisbon"
    tub = roster.enclosure_by_name["tub 5"]
    assert (tub.tags, tub.aliases, tub.size_cm) == (("shelf 3",), ("t5",), (20, 20, 20))
    assert roster.place_of("group D") == "tub 5"
    assert roster.occupant_by_name["group d"].aliases == ("D", "the quick ones")
    assert roster.occupant_by_name["group d"].count is None
    assert roster.place_of("Vesper") == "jar"


def test_words_taught_come_along(data: str, tmp_path: Path, capsys: pytest.CaptureFixture[str]) -> None:
    """What the keeper taught is in the export, and an import teaches it to another collection, once."""
    assert main(["say", "RR means red runner roach", "--data", data]) == 0
    other = str(tmp_path / "other")
    assert main(["roster", "import", str(exported(data, tmp_path)), "--data", other]) == 0
    assert "learned that RR means" in capsys.readouterr().out
    assert main(["roster", "import", str(exported(data, tmp_path)), "--data", other]) == 0
    assert "learned" not in capsys.readouterr().out
    assert main(["say", "fed B 2 RR", "--data", other]) == 0
    assert "red runner roach" in capsys.readouterr().out


def test_an_export_without_a_file_is_printed(data: str, capsys: pytest.CaptureFixture[str]) -> None:
    """Without a file name the TOML goes to standard output."""
    assert main(["roster", "export", "--data", data]) == 0
    assert capsys.readouterr().out == SMALL.read_text().partition("\n")[2]


def test_a_place_to_write_that_is_none_is_one_sentence(
    data: str, tmp_path: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    """An export into a folder that is not there gives a sentence and status 2."""
    assert main(["roster", "export", str(tmp_path / "none" / "out.toml"), "--data", data]) == 2
    assert "cannot be written" in capsys.readouterr().err


def test_a_bad_roster_leaves_the_collection_as_it_was(
    data: str, tmp_path: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    """An occupant of an enclosure that the file does not have is one sentence, and nothing of the file is added."""
    bad = tmp_path / "bad.toml"
    bad.write_text(
        'zone = "UTC"\n[[enclosures]]\nname = "jar"\n[[occupants]]\nname = "X"\nkind = "animal"\nenclosure = "tub 99"\n'
    )
    assert main(["roster", "import", str(bad), "--data", data]) == 2
    assert "tub 99" in capsys.readouterr().err
    assert "jar" not in exported(data, tmp_path).read_text()
