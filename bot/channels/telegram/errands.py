"""Small things done on the side, which nobody waits for and which may fail."""

from __future__ import annotations

import asyncio
import logging
from collections.abc import Coroutine
from dataclasses import dataclass, field
from typing import Any

from telegram.error import TelegramError

from bot.channels.telegram.client import told

_log = logging.getLogger(__name__)


@dataclass(slots=True)
class Errands:
    """Tasks that run beside the rest until they are done or the channel ends."""

    _tasks: set[asyncio.Task[None]] = field(default_factory=set)

    def run(self, errand: Coroutine[Any, Any, object]) -> asyncio.Task[None]:
        """Begin one; what it raises is logged."""
        task = asyncio.create_task(_tried(errand))
        self._tasks.add(task)
        task.add_done_callback(self._tasks.discard)
        return task

    async def close(self) -> None:
        """End those that still run."""
        running = list(self._tasks)
        for task in running:
            task.cancel()
        await asyncio.gather(*running, return_exceptions=True)


async def _tried(errand: Coroutine[Any, Any, object]) -> None:
    try:
        await errand
    except TelegramError as fault:
        _log.info("not done: %s", told(fault))
    except Exception:  # noqa: BLE001 - nobody waits for it, and it is logged
        _log.exception("an errand failed")
