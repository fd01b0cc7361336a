"""Disks and folders that fail for real: a disk of a few megabytes, and commands without the power of root to write anywhere."""

from __future__ import annotations

import os
import shutil
import subprocess
import sys
from collections.abc import Iterator, Sequence
from contextlib import contextmanager
from pathlib import Path

import pytest

from tests.cli.commands import command, environment

MEGABYTE = 1_000_000
_LIMITED = "import resource, sys; resource.setrlimit(resource.RLIMIT_FSIZE, ({0}, {0})); from bot.cli import main; sys.exit(main())"


@contextmanager
def small_disk(folder: Path, megabytes: int) -> Iterator[Path]:
    """A folder that is a disk of its own; the test is skipped where none may be mounted."""
    folder.mkdir()
    asked = ["mount", "-t", "tmpfs", "-o", f"size={megabytes}m,mode=700", "none", str(folder)]
    if sys.platform != "linux" or subprocess.run(asked, capture_output=True, check=False).returncode:
        pytest.skip("no disk may be mounted here")
    try:
        yield folder
    finally:
        subprocess.run(["umount", str(folder)], check=True)


def fill_up(folder: Path, spare: int = 0) -> Path:
    """Write a file until its disk has no more than `spare` bytes left; the file."""
    free = shutil.disk_usage(folder).free
    path = folder / "filler"
    path.write_bytes(bytes(max(0, free - spare)))
    return path


def ordinary(folder: Path, *words: str) -> subprocess.CompletedProcess[str]:
    """Run the command as somebody who may not write where permissions forbid it."""
    power: Sequence[str] = ()
    if os.geteuid() == 0:
        if shutil.which("setpriv") is None:
            pytest.skip("root may write anywhere, and cannot be kept from it here")
        power = ("setpriv", "--bounding-set", "-dac_override,-dac_read_search,-fowner")
    return _run([*power, *command(*words)], folder)


def with_small_files(folder: Path, most: int, *words: str) -> subprocess.CompletedProcess[str]:
    """Run the command where no file may grow beyond so many bytes, as under a quota."""
    return _run([sys.executable, "-c", _LIMITED.format(most), *words], folder)


def _run(asked: Sequence[str], folder: Path) -> subprocess.CompletedProcess[str]:
    return subprocess.run(asked, env=environment(folder), capture_output=True, text=True, check=False, timeout=60)
