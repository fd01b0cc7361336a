"""Synapse in a Python environment of its own, made once and kept in the user's cache folder.

Synapse pins many packages, so it is never installed beside ours. The environment is kept by version and by Python, and
made under a lock: of several test processes that start at once, one installs and the others wait.
"""

from __future__ import annotations

import fcntl
import os
import shutil
import subprocess
import sys
from collections.abc import Iterator
from contextlib import contextmanager
from pathlib import Path

import platformdirs

VERSION = "1.163.2"
INSTALLED_WITHIN = 600.0
"""Seconds; it takes 2 from a registry near by, and more than this from none."""

FOLDER_VARIABLE = "RACKSIDE_TEST_SYNAPSE"
"""Names the folder that holds the environments, for machines where the cache folder does not last."""

_FOLDER = os.environ.get(FOLDER_VARIABLE)
"""Read when the tests are collected: during a test such variables are hidden."""


class NoSynapse(Exception):
    """Synapse cannot be installed here; the text is what the installer said."""


def synapse_python() -> Path:
    """The Python that can run Synapse, installed first where it is missing; NoSynapse where that fails."""
    home = Path(_FOLDER).absolute() if _FOLDER else Path(platformdirs.user_cache_dir("rackside-tests"))
    name = f"synapse-{VERSION}-python{sys.version_info.major}.{sys.version_info.minor}"
    environment = home / name
    python = environment / "bin" / "python"
    ready = environment / "ready"
    home.mkdir(parents=True, exist_ok=True)
    with _alone(home / f"{name}.lock"):
        if not (ready.exists() and python.exists()):
            shutil.rmtree(environment, ignore_errors=True)
            _install(environment, python)
            ready.touch()
    return python


@contextmanager
def _alone(lock: Path) -> Iterator[None]:
    """Inside, no other process is; the system lets go of the lock when a process dies."""
    with lock.open("w") as held:
        fcntl.flock(held, fcntl.LOCK_EX)
        yield


def _install(environment: Path, python: Path) -> None:
    """Make the environment with uv, or with pip where there is no uv."""
    asked = f"matrix-synapse=={VERSION}"
    uv = shutil.which(os.environ.get("UV", "uv"))
    if uv:
        _run([uv, "venv", "--quiet", "--python", sys.executable, str(environment)])
        _run([uv, "pip", "install", "--quiet", "--python", str(python), asked])
    else:
        _run([sys.executable, "-m", "venv", str(environment)])
        _run([str(python), "-m", "pip", "install", "--quiet", "--disable-pip-version-check", asked])


def _run(command: list[str]) -> None:
    try:
        done = subprocess.run(command, capture_output=True, text=True, check=False, timeout=INSTALLED_WITHIN)
    except subprocess.TimeoutExpired as late:
        raise NoSynapse(f"{late}") from late
    if done.returncode != 0:
        said = " ".join(done.stderr.split()) or f"it ended with {done.returncode}"
        raise NoSynapse(f"{' '.join(command)} failed: {said[-1000:]}")
