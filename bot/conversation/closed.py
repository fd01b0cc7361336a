"""Sheets of those that are off the roster: an animal is often closed when it is sold, before its hand-over sheet is asked for."""

from __future__ import annotations

from dataclasses import replace

from bot.conversation.names import Names
from bot.conversation.scene import Scene
from bot.language.meaning import Meaning
from storage.roster import RosterRows
from storage.vocabulary import vocabulary


def read_of_closed(scene: Scene, text: str) -> Meaning | None:
    """The hand-over sheet that a text asks for, of one that is kept no more; None for any other text.

    A name that somebody has now is not that of one before.
    """
    names = scene.names
    before = [row for row in names.rows.occupants if row.ended_on is not None and names.subject(row.name) is None]
    if not before:
        return None
    back = [replace(row, ended_on=None, enclosure_id=None, aliases=_free(names, row.aliases)) for row in before]
    latest = {row.name.casefold(): row for row in back}
    rows = RosterRows(names.rows.enclosures, (*names.animals, *latest.values()))
    roster = Names(rows).roster(scene.collection.zone, vocabulary(scene.session, scene.collection.id))
    meaning = scene.language.read(text, scene.local_now, roster)
    asked = meaning.ask is not None and meaning.ask.about == "handover" and bool(meaning.ask.subjects)
    return meaning if asked and meaning.intent == "ask" else None


def _free(names: Names, aliases: tuple[str, ...]) -> tuple[str, ...]:
    return tuple(alias for alias in aliases if names.subject(alias) is None)
