"""`rackside run` makes a copy by itself while it serves, and of two processes one does."""

from __future__ import annotations

from pathlib import Path
from time import monotonic, sleep

import pytest

from bot.backup.daily import copies
from bot.backup.place import Place
from bot.backup.restoring import restore
from storage.copying import summary_of
from storage.store import Store
from tests.backup.conftest import NOW
from tests.cli.commands import rackside, set_up, telegram
from tests.cli.test_run import running
from tests.patience import PATIENCE
from tests.telegram.bot_api import Serving


@pytest.mark.slow
def test_a_copy_is_made_while_two_processes_serve(tmp_path: Path) -> None:
    """One copy, good to be put back, told of in the log of one of them and by the doctor; the next start makes no other."""
    folder = set_up(tmp_path / "data")
    with Serving() as api:
        settings = telegram(tmp_path, api.address)
        (tmp_path / "token").write_text(api.token)
        with running(folder, settings) as one, running(folder, settings) as other:
            until = monotonic() + PATIENCE
            while not copies(folder / "copies"):
                assert monotonic() < until
                sleep(0.1)
            sleep(2)
            assert one.end()[0] == other.end()[0] == 0
        stranger = api.user("Eve")
        stranger.say("hello")
        with running(folder, settings) as again:
            api.wait(lambda: stranger.chat.texts, PATIENCE)  # so it serves, and has looked for what is due
            again.end()
        said = "".join([*one.logged, *other.logged, *again.logged])
        doctor = rackside(folder, "doctor", settings=settings).stdout
    (path,) = copies(folder / "copies").values()
    assert said.count("A copy of the records was made and checked") == 1
    assert "last copy of the records" in doctor
    assert f": whole, 1 kept in {folder}/copies" in doctor
    restore(path, Place(tmp_path / "new"), NOW)
    store = Store.open(tmp_path / "new")
    assert summary_of(store)["occupants"].rows == 2
    store.close()
