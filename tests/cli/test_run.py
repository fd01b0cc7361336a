"""`rackside run`: what it says when nothing is set up, the owner's code at the first start, and its end on request."""

from __future__ import annotations

import signal
import subprocess
import sys
import time
from collections.abc import Iterator
from contextlib import contextmanager
from pathlib import Path
from subprocess import PIPE
from threading import Thread

import pytest

from bot.admission import code_in
from bot.app import SetClock
from bot.household import opened
from bot.settings import Settings
from storage import households, invites
from tests.cli.commands import TOKEN, command, environment, rackside, set_up, telegram
from tests.patience import PATIENCE, STOP_GRACE


@pytest.fixture
def folder(tmp_path: Path) -> Path:
    return set_up(tmp_path / "data")


class Running:
    """A process that serves. `said` and `logged` are what it printed so far."""

    def __init__(self, process: subprocess.Popen[str]) -> None:
        self.process = process
        self.said: list[str] = []
        self.logged: list[str] = []
        pipes = (process.stdout, self.said), (process.stderr, self.logged)
        self._readers = [
            Thread(target=lambda pipe=pipe, lines=lines: lines.extend(pipe or ())) for pipe, lines in pipes
        ]
        for reader in self._readers:
            reader.start()

    def wait_for(self, words: str, lines: list[str]) -> None:
        """Wait until a line holds these words."""
        until = time.monotonic() + PATIENCE
        while time.monotonic() < until:
            if any(words in line for line in lines):
                return
            if self.process.poll() is not None:
                break
            time.sleep(0.05)
        raise AssertionError(f"never said {words!r}: {self.said} {self.logged}")

    def end(self, asked: signal.Signals = signal.SIGTERM) -> tuple[int, float]:
        """Ask it to stop; its status, and how long it took in seconds."""
        began = time.monotonic()
        self.process.send_signal(asked)
        status = self.process.wait(PATIENCE)
        took = time.monotonic() - began
        for reader in self._readers:
            reader.join()
        return status, took


@contextmanager
def running(folder: Path, settings: dict[str, str]) -> Iterator[Running]:
    with subprocess.Popen(
        command("run"), env=environment(folder, settings), stdout=PIPE, stderr=PIPE, text=True
    ) as process:
        try:
            yield Running(process)
        finally:
            process.kill()


def test_with_nothing_set_up_it_says_so(tmp_path: Path) -> None:
    """One sentence on standard error that names what to set, status 2, and nothing on standard output."""
    done = rackside(tmp_path / "data", "run")
    assert (done.returncode, done.stdout, done.stderr.count("\n")) == (2, "", 1)
    assert "RACKSIDE_TELEGRAM_TOKEN_FILE" in done.stderr
    assert done.stderr.startswith("rackside: ")


def test_a_wrong_setting_is_one_sentence_without_the_secret(folder: Path) -> None:
    """Status 2, the variable named, and no value of a secret."""
    done = rackside(folder, "run", settings={"RACKSIDE_TELEGRAM_TOKEN": "s3same-open"})
    assert (done.returncode, done.stderr.count("\n")) == (2, 1)
    assert "RACKSIDE_TELEGRAM_TOKEN" in done.stderr
    assert "s3same-open" not in done.stdout + done.stderr


@pytest.mark.slow
def test_it_serves_until_it_is_told_to_stop(folder: Path, tmp_path: Path) -> None:
    """A service that cannot be reached is tried on; SIGTERM ends it with status 0 in time, without a traceback."""
    with running(folder, telegram(tmp_path)) as run:
        run.wait_for("cannot be reached", run.logged)
        assert run.process.poll() is None
        status, took = run.end()
    assert (status, "Traceback" in "".join(run.logged)) == (0, False)
    assert took < STOP_GRACE


@pytest.mark.slow
def test_ctrl_c_ends_it_as_well(folder: Path, tmp_path: Path) -> None:
    """Status 0, in time."""
    with running(folder, telegram(tmp_path)) as run:
        run.wait_for("cannot be reached", run.logged)
        status, took = run.end(signal.SIGINT)
    assert status == 0
    assert took < STOP_GRACE


@pytest.mark.slow
def test_the_first_start_prints_an_owners_code_once(folder: Path, tmp_path: Path) -> None:
    """A start with nobody let in prints a code that is an owner's; the next start, while that is out, prints none."""
    printed = []
    for _ in range(2):
        with running(folder, telegram(tmp_path)) as run:
            run.wait_for("cannot be reached", run.logged)
            run.end()
        printed.append("".join(run.said))
    code = code_in(printed[0])
    assert code is not None
    assert "within a day" in printed[0]
    assert printed[1] == ""
    with opened(folder, Settings()) as household, household.app.store.read() as session:
        found = invites.by_code(session, code)
    assert found is not None
    assert (found.role, found.used_by) == ("owner", None)


@pytest.mark.slow
def test_with_members_no_code_is_printed(folder: Path, tmp_path: Path) -> None:
    """Somebody is let in already from a message service, so the door is not held open."""
    with opened(folder, Settings()) as household, household.app.store.write() as session:
        households.add_member(session, 1, "telegram", "100", "Ana", "owner", household.app.clock.now())
    with running(folder, telegram(tmp_path)) as run:
        run.wait_for("cannot be reached", run.logged)
        run.end()
    assert run.said == []


@pytest.mark.slow
def test_the_token_is_in_nothing_that_a_run_leaves(folder: Path, tmp_path: Path) -> None:
    """Not on either output, and in no byte of the data folder."""
    with running(folder, telegram(tmp_path)) as run:
        run.wait_for("cannot be reached", run.logged)
        run.end()
    said = "".join([*run.said, *run.logged])
    kept = b"".join(path.read_bytes() for path in folder.rglob("*") if path.is_file())
    for part in (TOKEN, TOKEN.partition(":")[2]):
        assert part not in said
        assert part.encode() not in kept


@pytest.mark.slow
def test_what_was_waiting_is_handled_by_a_run(folder: Path, tmp_path: Path) -> None:
    """A message that was taken in before is answered into the outbox though the service is away."""
    with opened(folder, Settings()) as household:
        app = household.app
        with app.store.write() as session:
            households.add_member(session, 1, "telegram", "100", "Ana", "owner", app.clock.now())
        app.receive("100", "fed B 3 crickets", channel="telegram")
        with running(folder, telegram(tmp_path)) as run:
            run.wait_for("cannot be reached", run.logged)
            until = time.monotonic() + PATIENCE
            while not (said := [row.text for row in app.collect("telegram", "100")]) and time.monotonic() < until:
                time.sleep(0.05)
            run.end()
    assert said[0].startswith("Written: group B: fed 3 crickets")


def test_an_owners_code_comes_again_once_the_first_has_run_out(folder: Path, clock: SetClock) -> None:
    """After a day in which nobody came, the next start prints another."""
    from bot.cli_run import _first_code  # noqa: PLC0415 - a day cannot be waited for in a process

    with opened(folder, Settings(), clock) as household:
        first, second = _first_code(household), _first_code(household)
        clock.moment = clock.moment.replace(day=5)
        third = _first_code(household)
    assert second == []
    assert code_in(first[0]) != code_in(third[0])
    assert None not in (code_in(first[0]), code_in(third[0]))


FALLS_OVER = """
import logging, threading
from bot.cli_run import keep_secrets
from bot.secret import Secret
from tests.patience import PATIENCE, STOP_GRACE
keep_secrets(Secret("s3same-open"))

def fall_over():
    raise ValueError("no answer from http://x/s3same-open/y")

logging.getLogger("x").error("asked %s", {"url": "http://x/s3same-open/y"})
thread = threading.Thread(target=fall_over)
thread.start()
thread.join()
fall_over()
"""


def test_what_nobody_caught_shows_no_secret() -> None:
    """Neither a log line, nor a traceback of the program, nor one of a thread of its."""
    done = subprocess.run([sys.executable, "-c", FALLS_OVER], capture_output=True, text=True, check=False, timeout=60)
    assert done.returncode == 1
    assert done.stderr.count("ValueError: no answer from http://x/[secret]/y") == 2
    assert "asked {'url': 'http://x/[secret]/y'}" in done.stderr
    assert "s3same-open" not in done.stdout + done.stderr
