"""The barest bot on the same library: it says back what it hears. Run as `python -m tests.benchmarks.echo_bot`."""

from __future__ import annotations

import os
from typing import TYPE_CHECKING, Any

from telegram.ext import Application, ContextTypes, MessageHandler, filters

if TYPE_CHECKING:
    from telegram import Update


async def echo(update: Update, _context: ContextTypes.DEFAULT_TYPE) -> None:
    """Say back the words of a message."""
    if update.effective_message is not None:
        await update.effective_message.reply_text(update.effective_message.text or "")


def application() -> Application[Any, Any, Any, Any, Any, Any]:
    """The bot, by the same variables as ours."""
    address = os.environ["RACKSIDE_TELEGRAM_API"]
    builder = Application.builder().token(os.environ["RACKSIDE_TELEGRAM_TOKEN"])
    made = builder.base_url(f"{address}/bot").base_file_url(f"{address}/file/bot").build()
    made.add_handler(MessageHandler(filters.TEXT, echo))
    return made


if __name__ == "__main__":
    application().run_polling()
