"""The fake service as a process: `python -m tests.telegram.bot_api --port P --state FILE`."""

from __future__ import annotations

import argparse
import asyncio
from pathlib import Path

from tests.telegram.bot_api.running import stand

parser = argparse.ArgumentParser(prog="bot_api", description="A fake Telegram Bot API for tests, on loopback")
parser.add_argument("--port", type=int, default=0, help="port on 127.0.0.1; 0 for any free one")
parser.add_argument(
    "--state", type=Path, required=True, help="file that gets port, token and process id once it serves"
)
arguments = parser.parse_args()
asyncio.run(stand(arguments.port, arguments.state))
