"""A picture from the question to the bytes of its PNG, on the demo collection."""

from __future__ import annotations

from datetime import UTC, datetime
from pathlib import Path

from bot.answers.pictures import drawing_of, theme_of
from bot.answers.view import View
from bot.app import SetClock
from bot.cli_picture import asked
from bot.household import Household, opened
from bot.settings import Settings

NOW = datetime(2026, 4, 14, 19, tzinfo=UTC)
QUESTIONS = (
    "head count of Marigolds", "feeding calendar for Flint", "growth chart of Nimbus", "graph the air of long glass",
    "plot survival of Rushes and Marigolds",
)  # fmt: skip


def draw(household: Household, words: str) -> bytes:
    """Read a question, look it up in the journal, and draw the picture. ValueError where there is nothing to draw."""
    ask = asked(household, words)
    if ask is None:
        raise ValueError(words)
    with household.app.store.read() as session:
        found = drawing_of(ask, View.open(session, household.collection.id, NOW))
    if isinstance(found, str):
        raise ValueError(found)  # noqa: TRY004 - it is a sentence and no wrong type
    return found.paint(theme_of(ask))


def from_the_folder(folder: str, words: str) -> bytes:
    """The same with all that goes before: the data folder is opened first."""
    with opened(Path(folder), Settings(), SetClock(NOW)) as household:
        return draw(household, words)
