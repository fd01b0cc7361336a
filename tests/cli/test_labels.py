"""`rackside labels`: a sheet as a PDF, for all places or some, whose codes stay what they are."""

from __future__ import annotations

from pathlib import Path
from urllib.parse import parse_qs, urlsplit

import pytest

from bot.conversation.labels import HERE
from bot.household import opened
from bot.settings import Settings
from storage import chats, labels, roster
from tests.cli.commands import rackside, set_up
from tests.labels.reading import ReadPage, read_pages

pytestmark = pytest.mark.slow

BOT = ("--bot", "rack_side_bot")


@pytest.fixture
def folder(tmp_path: Path) -> Path:
    """A data folder with three places (tub 4 on shelf 2, tub 5, and the crate, also called nursery), and one closed."""
    made = set_up(tmp_path / "data")
    with opened(made, Settings()) as household:
        with household.app.store.write() as session:
            roster.add_enclosure(session, 1, "crate", aliases=["Nursery"], tags=["floor"])
        for text in ("add tub 7", "close tub 7"):
            household.say(text)
    return made


def pages(folder: Path, *words: str) -> list[ReadPage]:
    """The sheet, read back."""
    path = folder.parent / "labels.pdf"
    done = rackside(folder, "labels", "--pdf", str(path), *words)
    assert (done.returncode, done.stderr) == (0, "")
    assert path.read_bytes().startswith(b"%PDF")
    found = read_pages(path.read_bytes())
    number = sum(len(page.codes) for page in found)
    assert f": {number} label{'' if number == 1 else 's'}, " in done.stdout
    return found


def printed(folder: Path, *words: str) -> dict[str, str]:
    """The labels of a sheet: the name of each place, and the code that its link carries."""
    codes = [_code(code.url) for page in pages(folder, *words) for code in page.codes]
    with opened(folder, Settings()) as household, household.app.store.read() as session:
        names = {place.id: place.name for place in roster.load(session, 1).enclosures}
        found = [labels.by_code(session, code) for code in codes]
    assert None not in found
    return {names[label.enclosure_id]: label.code for label in found if label}


def _code(url: str) -> str:
    parts = urlsplit(url)
    assert (parts.scheme, parts.path) == ("https", "/rack_side_bot")
    (code,) = parse_qs(parts.query)["start"]
    assert code.startswith(HERE)
    return code.removeprefix(HERE)


def refused(folder: Path, *words: str) -> str:
    """The sentence with which the command ends, on which no file is left."""
    path = folder.parent / "labels.pdf"
    done = rackside(folder, "labels", "--pdf", str(path), *words)
    assert (done.returncode, done.stdout, done.stderr.count("\n")) == (2, "", 1)
    assert not path.exists()
    return done.stderr


def test_every_place_in_use_gets_a_label(folder: Path) -> None:
    """One each, with its own code; a closed place gets none."""
    found = printed(folder, *BOT)
    assert set(found) == {"tub 4", "tub 5", "crate"}
    assert len(set(found.values())) == 3


def test_a_label_has_the_name_and_who_lives_there(folder: Path) -> None:
    """In letters beside the code."""
    (page,) = pages(folder, *BOT)
    letters = "".join(letter for letter, _ in page.letters())
    for words in ("tub 4", "group B", "tub 5", "group D", "crate"):
        assert words.replace(" ", "") in letters


def test_codes_stay_when_printed_again(folder: Path) -> None:
    """Labels that hang already go on working; what is printed later gets codes that add to those."""
    some = printed(folder, *BOT, "--only", "tub 5")
    every = printed(folder, *BOT, "--size", "large", "--paper", "Letter")
    assert {**every, **some} == every
    assert printed(folder, *BOT) == every


@pytest.mark.parametrize(
    ("only", "names"),
    [
        (["tub 4"], {"tub 4"}),
        (["TUB 4"], {"tub 4"}),
        (["nursery"], {"crate"}),
        (["shelf 2"], {"tub 4"}),
        (["floor", " tub 5 "], {"crate", "tub 5"}),
        (["crate", "nursery", "floor"], {"crate"}),
    ],
)
def test_only_some_are_printed(folder: Path, only: list[str], names: set[str]) -> None:
    """By name, by another name, by tag, several together, in any case; none twice."""
    words = [word for one in only for word in ("--only", one)]
    assert set(printed(folder, *BOT, *words)) == names


@pytest.mark.parametrize("only", ["attic", "tub", "group B", "tub 7"])
def test_a_name_that_no_place_has_is_said(folder: Path, only: str) -> None:
    """A word that is nobody's, half a name, an animal, a closed place: a sentence, and no sheet."""
    assert only in refused(folder, *BOT, "--only", "tub 4", "--only", only)


def test_the_bots_name_comes_from_its_last_run(folder: Path) -> None:
    """Once the service has told it, --bot is not needed; with the @ before it, it is the same name."""
    assert "--bot" in refused(folder)
    with opened(folder, Settings()) as household, household.app.store.write() as session:
        chats.keep_account(session, "telegram", "4711", "rack_side_bot")
    found = printed(folder)
    assert found == printed(folder, "--bot", "@rack_side_bot")


def test_a_name_that_no_bot_has_is_said(folder: Path) -> None:
    """One sentence, no sheet, and no code is given out."""
    assert "rack side" in refused(folder, "--bot", "rack side")
    with opened(folder, Settings()) as household, household.app.store.read() as session:
        assert session.connection().exec_driver_sql("SELECT count(*) FROM labels").scalar() == 0


def test_without_places_there_is_nothing_to_print(tmp_path: Path) -> None:
    """A new folder gives a sentence."""
    assert "no place on the roster" in refused(tmp_path / "new", *BOT)


def test_a_sheet_that_cannot_be_written_is_said(folder: Path) -> None:
    """A folder that is not there gives a sentence with the path."""
    done = rackside(folder, "labels", "--pdf", str(folder / "no" / "labels.pdf"), *BOT)
    assert (done.returncode, done.stderr.count("\n")) == (2, 1)
    assert "labels.pdf cannot be written" in done.stderr


def test_a_label_opens_the_chat_at_its_place(folder: Path) -> None:
    """What the code carries, sent as the link sends it, is understood by the bot: the next words are about that place."""
    code = printed(folder, *BOT, "--only", "tub 4")["tub 4"]
    with opened(folder, Settings()) as household:
        (arrived,) = household.say(f"/start {HERE}{code}")
        (written,) = household.say("fed 3 crickets")
    assert "tub 4" in arrived.text
    assert "group B" in written.text
