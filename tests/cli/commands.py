"""The command as a process of its own, with a data folder and no settings from outside."""

from __future__ import annotations

import atexit
import os
import shutil
import subprocess
import sys
from collections.abc import Mapping
from functools import cache
from pathlib import Path
from tempfile import TemporaryDirectory

TOKEN = "7123456789:AAF-kept_to_ourselves_0123456789abc"  # noqa: S105 - nobody's
DEAD = "http://127.0.0.1:9"
"""An address on this machine where nothing listens (port 9 is the discard service's, long out of use)."""

ROSTER = Path(__file__).with_name("small.toml")


def environment(folder: Path, settings: Mapping[str, str] | None = None) -> dict[str, str]:
    kept = {name: value for name, value in os.environ.items() if not name.startswith("RACKSIDE_")}
    return {**kept, "RACKSIDE_DATA": str(folder), "PYTHONUNBUFFERED": "1", **(settings or {})}


def command(*words: str) -> list[str]:
    return [sys.executable, "-m", "bot.cli", *words]


def rackside(
    folder: Path, *words: str, settings: Mapping[str, str] | None = None, umask: int = -1
) -> subprocess.CompletedProcess[str]:
    """Run one command to its end."""
    return subprocess.run(
        command(*words),
        env=environment(folder, settings),
        capture_output=True,
        text=True,
        check=False,
        timeout=60,
        umask=umask,
    )


@cache
def _furnished() -> TemporaryDirectory[str]:
    """A data folder with the roster, made once for all tests of this process."""
    kept = TemporaryDirectory()
    atexit.register(kept.cleanup)
    done = rackside(Path(kept.name) / "data", "roster", "import", str(ROSTER))
    assert done.returncode == 0, done.stderr
    return kept


def set_up(folder: Path) -> Path:
    """A data folder with a small roster: group B in tub 4, group D in tub 5."""
    shutil.copytree(Path(_furnished().name) / "data", folder)
    return folder


def token_file(folder: Path, mode: int = 0o600) -> Path:
    """A file that holds a bot token."""
    path = folder / "token"
    path.write_text(TOKEN + "\n")
    path.chmod(mode)
    return path


def telegram(folder: Path, api: str = DEAD) -> dict[str, str]:
    """Settings of Telegram: a token from a file, and a server."""
    return {"RACKSIDE_TELEGRAM_TOKEN_FILE": str(token_file(folder)), "RACKSIDE_TELEGRAM_API": api}
