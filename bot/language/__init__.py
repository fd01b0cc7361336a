"""Free text to Meaning: pure, no clock, no database, no channel."""

from bot.language.completion import complete
from bot.language.reader import read

__all__ = ["complete", "read"]
