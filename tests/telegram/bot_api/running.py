"""Starts the fake service: in a thread of the test, or as a process of its own."""

from __future__ import annotations

import asyncio
import json
import os
import subprocess
import sys
import threading
import time
from collections.abc import Iterator
from contextlib import contextmanager
from pathlib import Path
from types import TracebackType

from aiohttp import web

from tests.patience import PATIENCE
from tests.telegram.bot_api.client import BotApi
from tests.telegram.bot_api.server import application
from tests.telegram.bot_api.world import TOKEN, World

TOP = Path(__file__).resolve().parents[3]


async def started(port: int) -> tuple[web.AppRunner, int]:
    """A server of a new world on loopback, at `port` or, for 0, at any free one; gives its runner and its port."""
    runner = web.AppRunner(application(World()), access_log=None, shutdown_timeout=0.1)
    await runner.setup()
    site = web.TCPSite(runner, "127.0.0.1", port)
    await site.start()
    return runner, int(runner.addresses[0][1])


class Serving:
    """The fake service in a thread with an event loop of its own: `with Serving() as api` or `async with Serving() as api`."""

    def __init__(self, port: int = 0) -> None:
        self._port = port
        self._loop = asyncio.new_event_loop()
        self._thread = threading.Thread(target=self._loop.run_forever, name="bot-api", daemon=True)
        self._runner: web.AppRunner | None = None

    def __enter__(self) -> BotApi:
        self._thread.start()
        starting = asyncio.run_coroutine_threadsafe(started(self._port), self._loop)
        self._runner, port = starting.result(PATIENCE)
        return BotApi(port)

    def __exit__(
        self,
        kind: type[BaseException] | None,
        error: BaseException | None,
        trace: TracebackType | None,
    ) -> None:
        asyncio.run_coroutine_threadsafe(self._end(), self._loop).result(PATIENCE)
        self._loop.call_soon_threadsafe(self._loop.stop)
        self._thread.join(PATIENCE)
        self._loop.close()

    async def _end(self) -> None:
        """End the service, and what polls still wait for."""
        if self._runner:
            await self._runner.cleanup()
        left = asyncio.all_tasks() - {asyncio.current_task()}
        for task in left:
            task.cancel()
        await asyncio.gather(*left, return_exceptions=True)

    async def __aenter__(self) -> BotApi:
        return self.__enter__()

    async def __aexit__(
        self,
        kind: type[BaseException] | None,
        error: BaseException | None,
        trace: TracebackType | None,
    ) -> None:
        self.__exit__(kind, error, trace)


async def stand(port: int, state: Path) -> None:
    """Serve until the process ends. `state` gets port, token and process id as JSON once requests are taken."""
    _, taken = await started(port)
    told = state.with_suffix(".new")
    told.write_text(json.dumps({"port": taken, "token": TOKEN, "pid": os.getpid()}), encoding="utf-8")
    told.replace(state)
    await asyncio.Event().wait()


@contextmanager
def process(folder: Path, port: int = 0) -> Iterator[BotApi]:
    """The fake service as a process of its own, whose state file stands in `folder`."""
    state = folder / "bot_api.json"
    command = [sys.executable, "-m", "tests.telegram.bot_api", "--port", str(port), "--state", str(state)]
    with subprocess.Popen(command, cwd=TOP) as server:
        try:
            until = time.monotonic() + PATIENCE
            while not state.exists():
                if server.poll() is not None or time.monotonic() > until:
                    raise AssertionError("the fake Bot API did not start")
                time.sleep(0.02)
            yield BotApi(json.loads(state.read_text(encoding="utf-8"))["port"])
        finally:
            server.kill()
            state.unlink(missing_ok=True)
