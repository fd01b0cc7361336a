"""A file is there whole or not at all, and what was there before stays until it is."""

from __future__ import annotations

import resource
from collections.abc import Iterator
from pathlib import Path

import pytest

from bot.moving.faults import MovingFault
from bot.moving.whole_files import check_free, make_folder, whole


@pytest.fixture
def _small_disk() -> Iterator[None]:
    """The system lets no file grow beyond 64 kB, as if the disk were full."""
    soft, hard = resource.getrlimit(resource.RLIMIT_FSIZE)
    resource.setrlimit(resource.RLIMIT_FSIZE, (65_536, hard))
    yield
    resource.setrlimit(resource.RLIMIT_FSIZE, (soft, hard))


@pytest.mark.usefixtures("_small_disk")
def test_where_there_is_no_room_the_old_file_stays(tmp_path: Path) -> None:
    """A sentence, and nothing half written."""
    path = tmp_path / "records.json"
    path.write_bytes(b"old")
    with pytest.raises(MovingFault, match=r"records\.json cannot be written: File too large\."), whole(path) as out:
        out.write(b"x" * 1_000_000)
    assert path.read_bytes() == b"old"
    assert list(tmp_path.iterdir()) == [path]


def test_a_fault_half_way_leaves_nothing(tmp_path: Path) -> None:
    """Whatever it was."""
    with pytest.raises(ZeroDivisionError), whole(tmp_path / "records.json") as out:
        out.write(b"half" * (out.write(b"half") // 0))
    assert list(tmp_path.iterdir()) == []


def test_a_file_is_for_its_owner_alone(tmp_path: Path) -> None:
    """It holds the words and addresses of people."""
    with whole(tmp_path / "records.json") as out:
        out.write(b"{}")
    make_folder(tmp_path / "photos")
    assert (tmp_path / "records.json").stat().st_mode & 0o777 == 0o600
    assert (tmp_path / "photos").stat().st_mode & 0o777 == 0o700


def test_nothing_is_written_over_without_a_word(tmp_path: Path) -> None:
    """Unless it may be."""
    path = tmp_path / "records.json"
    check_free([path], replace=False)
    path.write_text("mine")
    with pytest.raises(MovingFault, match="With --replace it is written anew"):
        check_free([path], replace=False)
    check_free([path], replace=True)
    with pytest.raises(MovingFault, match="is a folder; name a file"):
        check_free([tmp_path], replace=True)
    with pytest.raises(MovingFault, match="is a file, and a folder is wanted there"):
        make_folder(path)
