"""The whole way: `rackside run` on a Bot API server over HTTP, from the first code to the end of the process."""

from __future__ import annotations

import os
import signal
from pathlib import Path

import pytest

from bot.admission import code_in
from tests.cli.commands import TOKEN, rackside, set_up, telegram
from tests.cli.test_run import running
from tests.patience import PATIENCE
from tests.telegram.bot_api import Serving

"""How long an answer may take in seconds: a process starts in it, on a machine that may have much else to do."""


@pytest.mark.slow
def test_from_the_first_start_to_the_end(tmp_path: Path) -> None:
    """The owner's code printed at the start lets Ann in; she logs and asks; a keeper comes by an invitation; SIGTERM ends it.

    Afterwards the next run knows her, and the token is in nothing that was written or said.
    """
    folder, said = set_up(tmp_path / "data"), []
    with Serving() as api:
        settings = telegram(tmp_path, api.address)
        (tmp_path / "token").write_text(api.token)
        ann, ben, eve = api.user("Ann"), api.user("Ben"), api.user("Eve")
        with running(folder, settings) as run:
            run.wait_for("join-", run.said)
            ann.say(code_in("".join(run.said)) or "")
            api.wait(lambda: ann.chat.texts, PATIENCE)
            assert ann.chat.texts[0].startswith("Welcome. You are an owner")
            ann.say("fed B 3 crickets")
            api.wait(lambda: len(ann.chat.texts) == 2, PATIENCE)
            eve.say("fed B 99 crickets")
            api.wait(lambda: eve.chat.texts, PATIENCE)
            invited = rackside(folder, "invite", settings=settings).stdout
            assert f"start={code_in(invited)}" in invited
            ben.say(f"/start {code_in(invited)}")
            api.wait(lambda: ben.chat.texts, PATIENCE)
            ben.say("when did B last eat")
            api.wait(lambda: len(ben.chat.texts) == 2, PATIENCE)
            status, took = run.end()
        said += [*run.said, *run.logged]
        assert (status, took < 5) == (0, True)
        assert ann.chat.texts[1].startswith("Written: group B: fed 3 crickets")
        assert "3 crickets" in ben.chat.texts[1]
        assert eve.chat.texts == [
            "I do not know you yet, so I kept nothing of that. Ask the keeper of this collection to let you in."
        ]
        ann.say("how many in D")
        with running(folder, settings) as run:
            api.wait(lambda: len(ann.chat.texts) == 3, PATIENCE)
            run.end(signal.SIGINT)
        assert run.said == []
        said += run.logged
        done = rackside(folder, "doctor", settings=settings)
        assert done.returncode == 0, done.stdout
        said += [done.stdout, done.stderr, rackside(folder, "labels", "--pdf", os.devnull, settings=settings).stdout]
    written = b"".join(path.read_bytes() for path in folder.rglob("*") if path.is_file())
    assert b"fed B 3 crickets" in written
    assert b"99 crickets" not in written
    for token in (api.token, api.token.partition(":")[2], TOKEN):
        assert token not in "".join(said)
        assert token.encode() not in written
