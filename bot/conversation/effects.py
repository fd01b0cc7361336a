"""What a move brought about beside its entry, taken back or brought back."""

from __future__ import annotations

from collections.abc import Sequence

from bot.conversation.scene import Scene
from storage import journal, roster
from storage.journal import EntryRow, NewEntry


def take_back(scene: Scene, rows: Sequence[EntryRow]) -> tuple[str, ...]:
    """End the groups that these moves split off and bring back those they ended; a sentence for each.

    Call it before or after the moves themselves are retracted or superseded, then `close_made_places` after.
    """
    said: list[str] = []
    for row in rows:
        other = row.fields.get("new_occupant_id")
        if other is None:
            continue
        if row.fields.get("joined"):
            said.extend(_part_again(scene, row))
        else:
            roster.end_occupant(scene.session, other, scene.today, cause=scene.cause)
            said.append(f"{_occupant_name(scene, other)} is off the roster again.")
    return tuple(said)


def close_made_places(scene: Scene, rows: Sequence[EntryRow]) -> tuple[str, ...]:
    """Close the places that these moves put on the roster, where nobody lives in them now; a sentence for each."""
    said: list[str] = []
    names = scene.refreshed().names
    for row in rows:
        place = row.fields.get("to_enclosure_id")
        if row.fields.get("made_place") and place is not None and not names.living_in(place):
            roster.close_enclosure(scene.session, place, scene.today, cause=scene.cause)
            said.append(f"{row.fields.get('to')} is off the roster again.")
    return tuple(said)


def bring_back(scene: Scene, rows: Sequence[EntryRow]) -> None:
    """Make true again what these moves had brought about, after it was taken back. Raises NameTaken."""
    for row in rows:
        place, other = row.fields.get("to_enclosure_id"), row.fields.get("new_occupant_id")
        if row.fields.get("made_place") and place is not None:
            roster.close_enclosure(scene.session, place, None, cause=scene.cause)
        if other is not None and not row.fields.get("joined"):
            roster.end_occupant(scene.session, other, None, cause=scene.cause)
        elif other is not None and not row.fields.get("part_of_group"):
            end_joined(scene, row, row.message_id)


def end_joined(scene: Scene, move: NewEntry, message_id: int | None) -> None:
    """End the groups that a move took into another as a whole."""
    for subject in move.subjects:
        end = NewEntry("ended", "log", move.on, move.at, move.part, move.zone, {}, (subject,), move.words)
        journal.append(scene.session, scene.collection.id, scene.member.id, message_id, scene.now, [end])
        if subject.occupant_id is not None:
            roster.end_occupant(scene.session, subject.occupant_id, move.on, cause=scene.cause)


def _part_again(scene: Scene, row: EntryRow) -> list[str]:
    """Bring back the groups that had gone into another, and take back that they ended."""
    if row.fields.get("part_of_group"):
        return []
    said = []
    for subject in row.subjects:
        ends = journal.history(scene.session, occupant_id=subject.occupant_id, kinds=("ended",), limit=1)
        journal.retract(scene.session, [end.id for end in ends], scene.member.id, scene.message.id, scene.now)
        if subject.occupant_id is not None:
            roster.end_occupant(scene.session, subject.occupant_id, None, cause=scene.cause)
            said.append(f"{_occupant_name(scene, subject.occupant_id)} is a group of its own again.")
    return said


def _occupant_name(scene: Scene, occupant_id: int) -> str:
    return next(row.name for row in scene.refreshed().names.rows.occupants if row.id == occupant_id)
