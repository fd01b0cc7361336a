"""An import on either database: a trial leaves it as it was, and the import after it does what the trial said."""

from __future__ import annotations

from pathlib import Path

import pytest

from bot.cli import main
from tests import databases
from tests.moving.incoming import SAMPLES, kept_in, standing_in, summary_in

pytestmark = pytest.mark.both_databases


@pytest.fixture
def folder(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> Path:
    """A data folder with the roster of the samples; on a server the records are in a database of its own."""
    kept = tmp_path / "data"
    where = databases.of(kept)
    if isinstance(where, str):
        monkeypatch.setenv("RACKSIDE_DATABASE", where)
    return kept_in(kept)


def test_a_trial_leaves_the_database_as_it_was(folder: Path, capsys: pytest.CaptureFixture[str]) -> None:
    """No row of any table changes; the report is that of the import that follows, and a second one adds nothing."""
    words = ["import", str(SAMPLES / "chat.json"), "--from", "Wren", "--data", str(folder)]
    capsys.readouterr()
    before = summary_in(folder)
    assert main([*words, "--dry-run"]) == 0
    tried = capsys.readouterr().out
    assert summary_in(folder) == before
    assert main(words) == 0
    assert tried == capsys.readouterr().out + "This was a trial: nothing was written.\n"
    assert sum(standing_in(folder).values()) == 8
    after = summary_in(folder)
    assert main(words) == 0
    assert summary_in(folder) == after
