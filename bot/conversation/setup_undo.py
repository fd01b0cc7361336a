"""Taking back a change of the roster or of the vocabulary, where that can be done without losing anything."""

from __future__ import annotations

from collections.abc import Callable, Mapping, Sequence
from typing import Any

from bot.conversation.scene import Scene
from bot.errors import Refusal
from storage import journal, roster, vocabulary
from storage.changes import changes

What = Mapping[str, Any]

FIXED = (
    "That cannot be taken back: a tag or another name stays once it is given. “undo” again goes on to what was before."
)


def take_back_setup(scene: Scene, message_id: int) -> list[str]:
    """Undo what a message changed on the roster, last change first, with the entries that it wrote; lines that say so.

    A change that stays is said to stay. Raises Refusal for a place where somebody lives by now.
    """
    rows = [row for row in journal.entries_of_message(scene.session, message_id) if row.current]
    journal.retract(scene.session, [row.id for row in rows], scene.member.id, scene.message.id, scene.now)
    made = [
        change.what for change in changes(scene.session, scene.collection.id) if change.cause.message_id == message_id
    ]
    lines = []
    for what in _without_riders(made[::-1]):
        undo = _UNDOING.get(what["action"])
        lines.append(FIXED if undo is None else undo(scene, what))
    return list(dict.fromkeys(lines))


def take_back_teaching(scene: Scene, phrase: str, was: str | None) -> str:
    """Let a phrase mean what it meant before, nothing (None) or something."""
    cause = (scene.member.id, scene.message.id, scene.now)
    if was is None:
        vocabulary.forget(scene.session, scene.collection.id, phrase, *cause)
        return f"Taken back: “{phrase}” means nothing of its own any more."
    vocabulary.teach(scene.session, scene.collection.id, phrase, was, *cause)
    return f"As before: “{phrase}” means {was}."


def _without_riders(made: Sequence[What]) -> list[What]:
    """The changes less the tags and other names given to what the same message made or renamed: they go with it."""
    keys = ("enclosure_id", "occupant_id")
    born = {
        (key, what.get(key))
        for what in made
        if what["action"] in ("add_enclosure", "add_occupant", "rename")
        for key in keys
    }
    return [
        what
        for what in made
        if what["action"] not in ("add_tags", "add_alias")
        or not any((key, what.get(key)) in born for key in keys if what.get(key))
    ]


def _close(scene: Scene, what: What) -> str:
    living = scene.refreshed().names.living_in(what["enclosure_id"])
    if living:
        raise Refusal(f"{living[0].name} lives in {what['name']} by now, so that cannot be taken back.")
    roster.close_enclosure(scene.session, what["enclosure_id"], scene.today, scene.cause)
    return f"Taken back: {what['name']} is off the roster again."


def _end(scene: Scene, what: What) -> str:
    roster.end_occupant(scene.session, what["occupant_id"], scene.today, scene.cause)
    return f"Taken back: {what['name']} is off the roster again."


def _reopen(scene: Scene, what: What) -> str:
    roster.close_enclosure(scene.session, what["enclosure_id"], None, scene.cause)
    return f"As before: {_name(scene, what)} is on the roster."


def _revive(scene: Scene, what: What) -> str:
    roster.end_occupant(scene.session, what["occupant_id"], None, scene.cause)
    return f"As before: {_name(scene, what)} is on the roster."


def _rename(scene: Scene, what: What) -> str:
    if what.get("occupant_id") is not None:
        roster.rename_occupant(scene.session, what["occupant_id"], what["was"], scene.cause)
    else:
        roster.rename_enclosure(scene.session, what["enclosure_id"], what["was"], scene.cause)
    return f"As before: it is called {what['was']}; “{what['name']}” is understood too."


def _resize(scene: Scene, what: What) -> str:
    roster.set_size(scene.session, what["enclosure_id"], what["was"] and tuple(what["was"]), scene.cause)
    was = " x ".join(f"{edge:g}" for edge in what["was"]) + " cm" if what["was"] else "of no size told"
    return f"As before: {_name(scene, what)} is {was}."


def _name(scene: Scene, what: What) -> str:
    rows = scene.refreshed().names.rows
    if what.get("occupant_id") is not None:
        return next(row.name for row in rows.occupants if row.id == what["occupant_id"])
    return next(row.name for row in rows.enclosures if row.id == what["enclosure_id"])


_UNDOING: Mapping[str, Callable[[Scene, What], str]] = {
    "add_enclosure": _close,
    "add_occupant": _end,
    "close_enclosure": _reopen,
    "end_occupant": _revive,
    "rename": _rename,
    "set_size": _resize,
}
