"""The Telegram channel: a bot that fetches messages itself or has them delivered, and sends what the house has to say.

`serve` runs it, `me` asks who the bot is. Nothing is confirmed to the service before the house has committed it.
"""

from __future__ import annotations

from bot.channels.telegram.channel import me, serve
from bot.channels.telegram.client import TokenRefused, Unreachable

__all__ = ["TokenRefused", "Unreachable", "me", "serve"]
