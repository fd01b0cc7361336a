"""The sign of life: given while a process serves, seen by `rackside health`, missed when it stops coming, told to systemd."""

from __future__ import annotations

import asyncio
import os
import signal
import socket
import subprocess
import sys
import time
from collections.abc import Callable, Iterator
from contextlib import contextmanager
from pathlib import Path

import pytest

from bot import presence, serving
from bot.cli_health import goes_on, said
from bot.errors import RacksideError
from bot.heartbeat import LATE_SECONDS, ages, beat
from bot.reminders.ticker import TICK_SECONDS, ticking
from bot.serving import Bells, Service, serve
from storage.faults import StorageFault
from tests.cli.commands import rackside, set_up, telegram
from tests.cli.test_run import running
from tests.front import Front
from tests.patience import PATIENCE


def later(seconds: float) -> Callable[[], float]:
    return lambda: time.monotonic() + seconds


@contextmanager
def listening(path: str) -> Iterator[socket.socket]:
    """A socket on which messages are taken as systemd takes them."""
    with socket.socket(socket.AF_UNIX, socket.SOCK_DGRAM) as ear:
        ear.bind("\0" + path[1:] if path.startswith("@") else path)
        ear.settimeout(PATIENCE)
        yield ear


def test_a_process_has_given_no_sign_until_it_gives_one(tmp_path: Path) -> None:
    """From then on its age counts, from the last sign."""
    assert ages(tmp_path) == []
    with presence.marked(tmp_path) as name:
        assert ages(tmp_path) == [None]
        beat(tmp_path, name, {})
        (age,) = ages(tmp_path, later(50))
        assert age is not None
        assert 49 < age < 60
        beat(tmp_path, name, {})
        (again,) = ages(tmp_path)
        assert again is not None
        assert again < 5


def test_a_process_that_has_ended_counts_no_more(tmp_path: Path) -> None:
    """Its mark is left behind, as by a kill, and its last sign was only just given."""
    with presence.marked(tmp_path) as name:
        beat(tmp_path, name, {})
    assert (tmp_path / presence.FOLDER / name).exists()
    assert ages(tmp_path) == []


def test_the_process_that_is_worst_off_is_told_of(tmp_path: Path) -> None:
    """Of two on one folder, one that hangs is not covered by one that goes on."""
    with presence.marked(tmp_path) as first, presence.marked(tmp_path) as second:
        beat(tmp_path, first, {})
        assert said(ages(tmp_path)) == "Starting: no sign of life yet."
        beat(tmp_path, second, {})
        assert goes_on(ages(tmp_path))
    assert goes_on([3.0, LATE_SECONDS])
    assert not goes_on([3.0, LATE_SECONDS + 1])
    assert said([3.0, 200.0]).startswith("Running, but with no sign of life for 200 seconds.")


def test_a_sign_comes_several_times_before_one_is_missed() -> None:
    """One tick that takes long is no reason to call a process dead."""
    assert LATE_SECONDS >= 3 * TICK_SECONDS


def test_a_mark_taken_away_gives_no_fault(tmp_path: Path) -> None:
    """A process that was buried by mistake serves on; only its signs are missed."""
    with presence.marked(tmp_path) as name:
        presence.forget(tmp_path, name)
        beat(tmp_path, name, {})
        assert ages(tmp_path) == []


def test_what_cannot_be_read_is_a_sentence(tmp_path: Path) -> None:
    """And no traceback: here a folder stands where a mark should."""
    (tmp_path / presence.FOLDER / "mark").mkdir(parents=True)
    with pytest.raises(RacksideError, match="cannot be looked into: Is a directory"):
        ages(tmp_path)


@pytest.mark.parametrize("where", ["path", "@abstract"])
def test_systemd_is_told_that_we_are_ready_and_alive(tmp_path: Path, where: str) -> None:
    """In the words of sd_notify(3), to the socket of its variable, whether a path or an abstract name."""
    address = f"@rackside-{os.getpid()}" if where == "@abstract" else str(tmp_path / "notify")
    with presence.marked(tmp_path) as name, listening(address) as ear:
        beat(tmp_path, name, {"NOTIFY_SOCKET": address})
        assert ear.recv(100).decode().splitlines() == ["READY=1", "WATCHDOG=1"]
    beat(tmp_path, name, {"NOTIFY_SOCKET": address})  # systemd has gone: no fault either


def beats(front: Front, monkeypatch: pytest.MonkeyPatch, seconds: float) -> int:
    """How many signs come in so many seconds of serving, at twenty ticks a second."""
    monkeypatch.setattr(serving, "ticking", lambda act: ticking(act, 0.05))
    counted: list[float] = []

    async def idle(bells: Bells) -> None:
        await bells.stop.wait()

    async def serve_for() -> None:
        stop = asyncio.Event()
        asyncio.get_running_loop().call_later(seconds, stop.set)
        await serve(front.desk.app, [Service("idle", idle)], stop, lambda: counted.append(time.monotonic()))

    asyncio.run(serve_for())
    return len(counted)


def test_signs_come_with_the_ticks(front: Front, monkeypatch: pytest.MonkeyPatch) -> None:
    """One at the start, and one after each sweep."""
    assert beats(front, monkeypatch, 1.0) >= 3


def test_no_sign_comes_while_the_database_cannot_be_used(front: Front, monkeypatch: pytest.MonkeyPatch) -> None:
    """Only the one at the start."""

    def fail(*_channels: str, **_options: object) -> int:
        raise StorageFault("The disk is full.")

    monkeypatch.setattr(type(front.desk.app), "sweep", fail)
    assert beats(front, monkeypatch, 0.5) == 1


def test_no_sign_comes_once_the_worker_is_gone(front: Front, monkeypatch: pytest.MonkeyPatch) -> None:
    """What comes in is not dealt with any more, so the process does not go on."""
    monkeypatch.setattr(serving.Worker, "_run", lambda _worker: None)
    assert beats(front, monkeypatch, 0.5) == 1


def test_health_is_told_at_the_command_line(tmp_path: Path) -> None:
    """Nothing there: status 1. A process that serves: 0, and systemd is told. Killed outright: 1 again."""
    folder = set_up(tmp_path / "data")
    assert rackside(folder, "health").returncode == 1
    with listening(str(tmp_path / "notify")) as ear:
        settings = telegram(tmp_path) | {"NOTIFY_SOCKET": str(tmp_path / "notify")}
        with running(folder, settings) as run:
            assert b"READY=1" in ear.recv(100)
            done = rackside(folder, "health")
            assert (done.returncode, done.stderr) == (0, "")
            assert done.stdout.startswith("Running: last sign of life")
            run.end(signal.SIGKILL)
    done = rackside(folder, "health")
    assert (done.returncode, done.stdout) == (
        1,
        "Nothing serves this data folder: `rackside run` is not running here.\n",
    )


def test_the_check_of_health_loads_no_database() -> None:
    """It is run every minute on a small board: neither SQLAlchemy nor the reader is loaded for it."""
    program = (
        "import sys, bot.cli_health; print([name for name in ('sqlalchemy', 'bot.language') if name in sys.modules])"
    )
    printed = subprocess.run([sys.executable, "-c", program], capture_output=True, text=True, check=True).stdout
    assert printed.strip() == "[]"
