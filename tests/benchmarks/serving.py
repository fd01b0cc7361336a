"""Bots as processes of their own against the fake service, and what they take of the machine."""

from __future__ import annotations

import os
import subprocess
import sys
import time
from collections.abc import Iterator, Sequence
from contextlib import contextmanager
from pathlib import Path

from tests.patience import PATIENCE
from tests.telegram.bot_api import BotApi

TOP = Path(__file__).resolve().parents[2]


@contextmanager
def bot(api: BotApi, folder: Path, module: Sequence[str]) -> Iterator[subprocess.Popen[bytes]]:
    """`python -m module…` as a process, once it asks for messages; killed at the end. `folder` gets its log and bytecode."""
    seen = api.counts["requests"]
    own = {
        "RACKSIDE_TELEGRAM_TOKEN": api.token,
        "RACKSIDE_TELEGRAM_API": api.address,
        "RACKSIDE_COPIES": "none",  # a copy of the records, made at the start, would be measured too
        "PYTHONDONTWRITEBYTECODE": "",
        "PYTHONPYCACHEPREFIX": str(folder / "bytecode"),
    }
    with (folder / "log").open("ab") as log:
        process = subprocess.Popen(
            [sys.executable, "-m", *module], cwd=TOP, env={**os.environ, **own}, stdout=log, stderr=log
        )
    try:
        until = time.monotonic() + PATIENCE
        while not any(one["method"] == "getUpdates" for one in api.call("requests", since=seen)):
            if process.poll() is not None or time.monotonic() > until:
                raise AssertionError((folder / "log").read_text(encoding="utf-8")[-2000:])
            time.sleep(0.05)
        yield process
    finally:
        process.kill()
        process.wait()


def rackside(folder: Path) -> list[str]:
    """The module and words of `rackside run` on a data folder."""
    return ["bot.cli", "run", "--data", str(folder)]


def megabytes(process: subprocess.Popen[bytes], field: str = "VmRSS") -> float:
    """What a process holds in memory now, or with VmHWM the most it held so far. Linux only."""
    lines = Path(f"/proc/{process.pid}/status").read_text(encoding="ascii").splitlines()
    return next(int(line.split()[1]) for line in lines if line.startswith(f"{field}:")) / 1024
