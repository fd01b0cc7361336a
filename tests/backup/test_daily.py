"""A copy a day, made by one process alone, thinned out, and told of by the doctor; what fails is tried again."""

from __future__ import annotations

import logging
import shutil
from collections.abc import Callable
from datetime import datetime, timedelta
from pathlib import Path
from threading import Barrier, Thread
from time import monotonic, sleep
from zoneinfo import ZoneInfo

import pytest

from bot.app import SetClock
from bot.backup import daily
from bot.backup.checkup import state_of_copies
from bot.backup.daily import copies, copying, folder_of, make_if_due
from bot.backup.making import Made
from bot.backup.place import FILE_NAME, Place
from bot.backup.restoring import restore
from storage.faults import StorageFault
from storage.store import Store
from tests.backup.conftest import NOW, PICTURES, SPOKEN_OF, contents, note, records
from tests.backup.test_making import damage
from tests.patience import PATIENCE

ROOM = ZoneInfo("Europe/Lisbon")
"""In March an hour of UTC is the hour on the wall there; 3:30 is 3:30."""


@pytest.fixture
def folder(place: Place) -> Path:
    """Where the copies go."""
    return place.folder / "copies"


def test_where_copies_go(tmp_path: Path) -> None:
    """In the data folder, where the settings say, or nowhere."""
    assert folder_of(tmp_path, None) == tmp_path / "copies"
    assert folder_of(tmp_path, "/mnt/stick") == Path("/mnt/stick")
    assert folder_of(tmp_path, "aside") == tmp_path / "aside"
    assert folder_of(tmp_path, "None") is None


def test_one_copy_a_day(place: Place, folder: Path) -> None:
    """The first at once, the next at half past three."""
    first = make_if_due(place, folder, ROOM, NOW)
    assert first is not None
    assert first.path == folder / "rackside-2026-03-10T19-05-00Z.zip"
    assert make_if_due(place, folder, ROOM, NOW + timedelta(hours=8)) is None
    assert make_if_due(place, folder, ROOM, NOW + timedelta(hours=8, minutes=25)) is not None
    assert len(copies(folder)) == 2


def test_a_copy_can_be_put_back_elsewhere(place: Place, folder: Path, elsewhere: Place) -> None:
    """With its photos, which lie once for all copies; even from a folder that was carried away."""
    for day in range(3):
        make_if_due(place, folder, ROOM, NOW + timedelta(days=day))
    assert len(list(folder.glob("photos/*/*"))) == len(PICTURES)
    shutil.copytree(folder, elsewhere.folder.parent / "carried")
    expected = records(place)
    shutil.rmtree(place.folder)
    (*_, last) = copies(elsewhere.folder.parent / "carried").values()
    assert restore(last, elsewhere, NOW).missing == (SPOKEN_OF,)
    assert records(elsewhere) == expected
    assert sorted(path.read_bytes() for path in elsewhere.folder.glob("photos/*/*")) == sorted(PICTURES)


def test_a_photo_lost_from_the_folder_is_still_in_the_copies(place: Place, folder: Path, elsewhere: Place) -> None:
    """A copy made afterwards counts on it too."""
    make_if_due(place, folder, ROOM, NOW)
    shutil.rmtree(place.folder / "photos")
    made = make_if_due(place, folder, ROOM, NOW + timedelta(days=1))
    assert made is not None
    assert made.manifest.missing == (SPOKEN_OF,)
    assert restore(made.path, elsewhere, NOW).missing == (SPOKEN_OF,)


def test_copies_are_thinned_and_other_files_left_alone(place: Place, folder: Path) -> None:
    """After forty nights: seven days, the Mondays of four weeks, the first of each month, and nothing of anybody else's."""
    folder.mkdir()
    own = [folder / name for name in ("my own.zip", "rackside-2020-01-01.zip", "rackside-2026-02-31T00-00-00Z.zip")]
    for path in own:
        path.write_text("mine")
    start = datetime(2026, 2, 1, 3, 30, tzinfo=ROOM)  # a Sunday
    for night in range(40):
        assert make_if_due(place, folder, ROOM, start + timedelta(days=night)) is not None
    days = [f"03-{day:02}" for day in range(6, 13)]
    mondays = ["02-16", "02-23", "03-02", "03-09"]
    assert [made.strftime("%m-%d") for made in copies(folder)] == sorted({*days, *mondays, "02-01", "03-01"})
    assert all(path.read_text() == "mine" for path in own)


def test_a_copy_from_the_future_stops_nothing(place: Place, folder: Path) -> None:
    """A clock that was wrong once does not keep copies from being made for years."""
    make_if_due(place, folder, ROOM, NOW + timedelta(days=3000))
    assert make_if_due(place, folder, ROOM, NOW) is not None
    assert len(copies(folder)) == 2


def test_of_many_at_once_one_makes_the_copy(place: Place, folder: Path) -> None:
    """Each opens the lock for itself, as processes do."""
    gate, made = Barrier(6), list[Made | None]()

    def go() -> None:
        gate.wait()
        made.append(make_if_due(place, folder, ROOM, NOW))

    threads = [Thread(target=go) for _ in range(6)]
    for thread in threads:
        thread.start()
    for thread in threads:
        thread.join()
    assert len(made) == 6
    assert len([one for one in made if one is not None]) == 1
    assert len(copies(folder)) == 1


@pytest.fixture
def quick(monkeypatch: pytest.MonkeyPatch) -> None:
    """The thread looks often."""
    monkeypatch.setattr(daily, "LOOK_SECONDS", 0.02)


def wait_until(condition: Callable[[], object]) -> None:
    """Wait for what the thread does, as long as it may take."""
    until = monotonic() + PATIENCE
    while not condition():
        assert monotonic() < until
        sleep(0.02)


def wait_for(number: int, folder: Path) -> None:
    wait_until(lambda: len(copies(folder)) >= number)


@pytest.mark.usefixtures("quick")
def test_copies_are_made_while_serving_and_tried_again_after_a_fault(
    place: Place, folder: Path, caplog: pytest.LogCaptureFixture
) -> None:
    """A fault is one line in the log; nothing is tried for an hour, and no good copy is thinned away.

    The keeper is told of it once, and once that it is over.
    """
    clock, told = SetClock(NOW), list[str]()
    caplog.set_level(logging.INFO)
    with copying(place, folder, ROOM, clock, told.append):
        wait_for(1, folder)
        good = (place.folder / FILE_NAME).read_bytes()
        damage(place.folder / FILE_NAME)
        clock.pass_time(timedelta(days=1))
        wait_until(lambda: told)
        sleep(0.2)
        assert caplog.text.count("No copy was made of the records.") == 1
        assert "Traceback" not in caplog.text
        assert len(copies(folder)) == 1
        (complaint,) = told
        assert "could not be made. The database" in complaint
        assert "damaged" in complaint
        clock.pass_time(timedelta(minutes=61))
        wait_until(lambda: caplog.text.count("No copy was made of the records.") == 2)
        assert told == [complaint]
        (place.folder / FILE_NAME).write_bytes(good)
        clock.pass_time(timedelta(minutes=61))
        wait_for(2, folder)
    assert told == [complaint, daily.MENDED]
    assert not list(folder.glob(".rackside-*"))


@pytest.mark.usefixtures("quick")
def test_a_keeper_who_cannot_be_told_is_told_later(
    place: Place, folder: Path, caplog: pytest.LogCaptureFixture
) -> None:
    """What hinders the copy may hinder the message: it goes out with the next failure."""
    clock, told = SetClock(NOW), list[str]()

    def tell(sentence: str) -> None:
        if not told and caplog.text.count("No copy was made") < 2:
            raise StorageFault("The disk is full.")
        told.append(sentence)

    damage(place.folder / FILE_NAME)
    with copying(place, folder, ROOM, clock, tell):

        def told_by_now() -> list[str]:
            clock.pass_time(timedelta(minutes=61))
            return told

        wait_until(told_by_now)
    assert "The keeper could not be told of it. The disk is full." in caplog.text
    assert len(told) == 1


@pytest.mark.usefixtures("quick")
def test_none_are_made_where_none_are_wanted(place: Place, folder: Path) -> None:
    """And no folder for them either."""
    before = contents(place.folder)
    with copying(place, None, ROOM, SetClock(NOW)):
        sleep(0.1)
    assert not folder.exists()
    assert contents(place.folder) == before


def test_what_the_doctor_says_of_copies(place: Place, folder: Path) -> None:
    """None yet, none although there was time, a good one, an old one, a damaged one, and one without its photos."""
    soon, late = NOW + timedelta(hours=1), NOW + timedelta(days=3)
    store = Store.open(place.folder)

    def said(now: datetime, where: Path | None = folder) -> tuple[bool, str]:
        with store.read() as session:
            return state_of_copies(session, where, ROOM, now)

    assert said(soon, None) == (True, "no daily copies of the records, as the settings say")
    assert said(soon) == (True, "no daily copy of the records yet")
    assert not said(late)[0]
    made = make_if_due(place, folder, ROOM, NOW)
    assert made is not None
    assert said(soon) == (True, f"last copy of the records Tue 10 Mar 2026, 19:05: whole, 1 kept in {folder}")
    assert said(late)[0]  # nothing was told since
    note(place, "told since", NOW + timedelta(minutes=1))
    assert "more was told since" in said(late)[1]
    assert not said(late)[0]
    (shelf,) = folder.glob("photos")
    shelf.rename(folder / "elsewhere")
    assert said(soon) == (
        False,
        f"last copy of the records Tue 10 Mar 2026, 19:05: 2 of its photos are not in {folder}",
    )
    made.path.write_bytes(made.path.read_bytes()[:-3000])
    assert not said(soon)[0]
    assert "damaged" in said(soon)[1]
    store.close()
