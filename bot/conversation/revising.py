"""Messages that were edited or deleted in the chat: what they had told is told anew, or taken back."""

from __future__ import annotations

from collections.abc import Callable, Sequence

from bot.conversation import doubts
from bot.conversation.acting import doubtful_split, echo, undo_last
from bot.conversation.answer import SILENT, Answer, said
from bot.conversation.echo import COMPANIONS, say_rows
from bot.conversation.effects import close_made_places, take_back
from bot.conversation.heads import heads_by
from bot.conversation.limits import LONGEST_TEXT, readable
from bot.conversation.recent import context
from bot.conversation.scene import Scene
from bot.conversation.targets import did, first_revision, target_of
from bot.conversation.writing import Origin, Written, refuse_viewers, write
from bot.language.meaning import Meaning
from storage import journal
from storage.journal import EntryRow

Hear = Callable[[Scene, Origin, int | None], Answer]
"""How a message is dealt with that hangs on no earlier one."""


def edit(scene: Scene, hear: Hear) -> Answer:
    """Tell a message anew by its edited text: its entries are superseded, and what they no longer say is taken back."""
    first = first_revision(scene, scene.message.edits or "")
    if first is None:
        return hear(scene, Origin(scene.message.id, scene.message.text), target_of(scene))
    origin = Origin(first.id, scene.message.text)
    _close_question(scene, first.id, "edited")
    standing = heads_by(scene.session, first.id)
    if not standing and not did(scene, first.id):
        return hear(scene, origin, target_of(scene))
    target = next(
        (head.former.message_id for head in standing if head.former and head.row.message_id == first.id), None
    )
    meaning = None if target is not None or did(scene, first.id) else _fresh(scene)
    if meaning is not None:
        return _supersede(scene, meaning, origin, [head.row for head in standing])
    lines = undo_last(scene, first.id).reply.text
    return hear(scene.refreshed(), origin, target_of(scene) if target is None else target).headed(lines)


def delete(scene: Scene) -> Answer:
    """Take back what a deleted message had told or changed; talk of others that is deleted in a group needs no word."""
    first = first_revision(scene, scene.message.deletes or "")
    if first is None:
        return _nothing(scene, "I never had that message, so there is nothing to take back.")
    if _close_question(scene, first.id, "deleted"):
        return said("Dropped the question about that message; nothing was written by it.")
    if not heads_by(scene.session, first.id) and not did(scene, first.id):
        return _nothing(scene, "That message had nothing written that still stands, so there is nothing to take back.")
    return undo_last(scene, first.id)


def _nothing(scene: Scene, sentence: str) -> Answer:
    return SILENT if scene.message.overheard else said(sentence)


def _fresh(scene: Scene) -> Meaning | None:
    """The edited text as entries that can supersede the old ones; None for anything else."""
    text = readable(scene.message.text).strip()
    if not text or len(text) > LONGEST_TEXT:
        return None
    meaning = scene.language.read(text, scene.local_now, scene.roster, context(scene, target_of(scene)))
    plain = meaning.intent in ("log", "plan") and meaning.ask is None
    return meaning if plain and doubtful_split(scene, meaning) is None else None


def _supersede(scene: Scene, meaning: Meaning, origin: Origin, old: Sequence[EntryRow]) -> Answer:
    refuse_viewers(scene)
    spoken = [row for row in old if row.kind not in COMPANIONS]
    effects = take_back(scene, old)
    kinds = [entry.kind for entry in meaning.entries] + [plan.kind for plan in meaning.plans]
    pairs = _pairs(kinds, spoken)
    gone = [row for row in old if row.id not in pairs]
    lines = say_rows(scene, gone, "Taken back", "Taken back")
    journal.retract(scene.session, [row.id for row in gone], scene.member.id, scene.message.id, scene.now)
    written = write(scene.refreshed(), meaning, origin, pairs)
    effects += close_made_places(scene, old)
    return echo(scene, written + Written(remarks=effects), origin.message_id, "Corrected, now", lines)


def _pairs(kinds: Sequence[str], old: Sequence[EntryRow]) -> list[int | None]:
    """For each new entry the old one that it corrects: of the same kind if there is one, else whichever is left."""
    left = list(old)
    pairs: list[int | None] = [None] * len(kinds)
    for same_kind in (True, False):
        for place, kind in enumerate(kinds):
            if pairs[place] is None:
                match = next((row for row in left if not same_kind or row.kind == kind), None)
                if match is not None:
                    left.remove(match)
                    pairs[place] = match.id
    return pairs


def _close_question(scene: Scene, message_id: int, how: str) -> bool:
    """Close the open question if it is about that message; whether it was."""
    doubt = doubts.open_doubt(scene)
    if doubt is None or doubt.origin.message_id != message_id:
        return False
    doubts.settle(scene, doubt, how)
    return True
