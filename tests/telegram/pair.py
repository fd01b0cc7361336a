"""Two `rackside run` on one database and one data folder, as processes of their own, to be killed and stopped."""

from __future__ import annotations

import os
import signal
import subprocess
import sys
import time
from collections.abc import Callable, Iterator
from contextlib import contextmanager
from dataclasses import dataclass, field
from datetime import UTC, datetime
from pathlib import Path

from bot import presence
from storage import leases
from storage.store import Store
from tests import databases
from tests.patience import PATIENCE, STOP_GRACE
from tests.telegram.bot_api import BotApi

TOP = Path(__file__).resolve().parents[2]


@dataclass
class Pair:
    """The two processes; `kills` of them so far. Either may be named by its place, 0 or 1."""

    api: BotApi
    folder: Path
    store: Store = field(init=False)
    kills: int = 0
    processes: list[subprocess.Popen[bytes]] = field(default_factory=list)

    def start(self) -> subprocess.Popen[bytes]:
        """One more process; what it logs is added to one file."""
        where = databases.of(self.folder)
        told = {"RACKSIDE_TELEGRAM_TOKEN": self.api.token, "RACKSIDE_TELEGRAM_API": self.api.address}
        told |= {"RACKSIDE_DATABASE": where} if isinstance(where, str) else {}
        told |= {"PYTHONDONTWRITEBYTECODE": "", "PYTHONPYCACHEPREFIX": str(self.folder.parent / "bytecode")}
        command = [sys.executable, "-m", "bot.cli", "run", "--data", str(self.folder)]
        with self.log.open("ab") as log:
            return subprocess.Popen(command, cwd=TOP, env={**os.environ, **told}, stdout=log, stderr=log)

    @property
    def log(self) -> Path:
        """What both have logged."""
        return self.folder.parent / "log"

    def kill(self, place: int) -> None:
        """Kill one, and start another in its place."""
        self.check(place)
        self.processes[place].kill()
        self.processes[place].wait()
        self.kills += 1
        self.processes[place] = self.start()

    @property
    def marks(self) -> int:
        """How many have opened the database and are about to serve, or do."""
        place = self.folder / presence.FOLDER
        return sum(not presence.is_dead(self.folder, path.name) for path in place.glob("*"))

    @property
    def up(self) -> int:
        """How many serve, once one of them polls."""
        return self.marks if self.holder("telegram intake") else 0

    def check(self, place: int) -> None:
        """It still runs."""
        assert self.processes[place].poll() is None, self.log.read_text()[-3000:]

    def holder(self, duty: str) -> str | None:
        """The name of the process that has a duty."""
        with self.store.read() as session:
            return leases.holder_of(session, duty, leases.moment(session, datetime.now(UTC)))

    def place_of(self, duty: str) -> int:
        """Which of the two has a duty: the one that keeps its mark open."""
        name = self.holder(duty)
        for place, process in enumerate(self.processes):
            opened = [os.path.realpath(path) for path in Path(f"/proc/{process.pid}/fd").iterdir()]
            if any(path.endswith(f"/{name}") for path in opened):
                return place
        raise AssertionError(f"nobody has {duty}")

    def wait(self, condition: Callable[[], object], seconds: float) -> bool:
        """Whether something holds within so long."""
        until = time.monotonic() + seconds
        while time.monotonic() < until:
            if condition():
                return True
            time.sleep(0.1)
        return False

    def end(self) -> None:
        """Stop both in order, as a service manager does; one that was started last has to be up before it can heed that."""
        assert self.wait(lambda: self.up == 2, PATIENCE)
        time.sleep(1.0)
        for process in self.processes:
            process.send_signal(signal.SIGTERM)
        assert [process.wait(STOP_GRACE) for process in self.processes] == [0, 0]


@contextmanager
def pair(api: BotApi, folder: Path) -> Iterator[Pair]:
    """Two processes that were started together, both of which are up; killed at the end where they still run."""
    two = Pair(api, folder)
    two.processes = [two.start(), two.start()]
    try:
        assert two.wait(lambda: two.marks == 2, PATIENCE), two.log.read_text()
        two.store = Store.open(databases.of(folder))
        assert two.wait(lambda: two.up == 2, PATIENCE), two.log.read_text()
        yield two
        two.store.close()
    finally:
        for process in two.processes:
            process.send_signal(signal.SIGCONT)
            process.kill()
            process.wait()
