"""What is done about a Meaning: written, answered, corrected, set up, asked back, or chatted."""

from __future__ import annotations

import re
from collections.abc import Sequence
from dataclasses import replace

from bot.conversation import amending, doubts, setup, setup_undo
from bot.conversation.answer import Answer, said
from bot.conversation.doubts import Doubt
from bot.conversation.echo import entry_of, say_rows, shown
from bot.conversation.limits import readable
from bot.conversation.moves import split_in_doubt
from bot.conversation.recent import acting_message
from bot.conversation.reply import Reply
from bot.conversation.scene import Scene
from bot.conversation.smalltalk import chat
from bot.conversation.targets import did
from bot.conversation.writing import Origin, Written, refuse_viewers, write, write_note
from bot.errors import Refusal
from bot.language.contract import entry_to_contract
from bot.language.meaning import Ask, Meaning
from storage.journal import EntryRow

_HELP = re.compile(r"(help|start)[.!?]*|what can (you do|i (say|ask|do))[.!?]*", re.IGNORECASE)
_NOTE = re.compile(r"note( that)?[:,]?\s+(?P<words>\S.*)", re.IGNORECASE | re.DOTALL)


_REMARKED = frozenset({"feeding", "move", "observation", "moult", "count", "measurement", "sac", "pairing"})
"""Kinds of entry that may call for a remark: food and moves for cautions, sizes for the sheet, sightings for settling."""


def act(scene: Scene, meaning: Meaning, origin: Origin, target: int | None = None) -> Answer:
    """Do what a message means. `target` is the earlier message that it answers, by its inbox id.

    Raises Refusal and NameTaken, with the sentence, for what cannot be done.
    """
    if meaning.intent in ("log", "plan"):
        return tell(scene, meaning, origin)
    if meaning.intent == "unclear":
        refuse_viewers(scene)
        hung = _where_meters_hang(scene, meaning)
        return doubts.ask(scene, meaning, origin, target) if hung is None else tell(scene, hung, origin)
    if meaning.ask is not None:
        return ask_about(scene, meaning.ask)
    if meaning.amend is not None:
        return _correct(scene, meaning, origin, target)
    if meaning.setup is not None:
        outcome = setup.change(scene, meaning.setup, origin)
        return outcome if isinstance(outcome, Answer) else doubts.ask(scene, outcome, origin)
    return _chat(scene, origin)


def _where_meters_hang(scene: Scene, meaning: Meaning) -> Meaning | None:
    """The readings of a message that names only meters, each with the place where its meter hangs."""
    if meaning.missing != ("subjects",) or not all("meter" in entry.fields for entry in meaning.entries):
        return None
    from bot.conversation.beside import with_places  # noqa: PLC0415 - few messages name a meter alone

    return with_places(scene, meaning)


def _chat(scene: Scene, origin: Origin) -> Answer:
    """Small talk, unless it is a plain call for help or begins with the word "note"."""
    text = readable(scene.message.text).strip()
    if _HELP.fullmatch(text):
        return ask_about(scene, Ask("help"))
    if doubts.is_never_mind(text):
        return said("No question is open. To take back what was written last, say “undo”.")
    note = _NOTE.fullmatch(text)
    if note is None:
        return said(chat(text))
    return echo(scene, write_note(scene, note["words"], origin.message_id), origin.message_id)


def tell(scene: Scene, meaning: Meaning, origin: Origin) -> Answer:
    """Write the entries and plans of a message, say them back, and answer what it asks beside."""
    doubt = doubtful_split(scene, meaning)
    if doubt is not None:
        return doubts.ask(scene, doubt, origin)
    written = write(scene, meaning, origin)
    answer = echo(scene, written, origin.message_id)
    if any("hiding" in entry.fields.get("signs", ()) for entry in meaning.entries):
        from bot.conversation.remarks import unseen  # noqa: PLC0415 - only for those that hide

        lines = unseen(scene, written.rows(scene))
        answer = answer.followed(Reply("\n".join(lines))) if lines else answer
    if meaning.ask is None:
        return answer
    asked = ask_about(scene.refreshed(), meaning.ask)
    return replace(answer.followed(asked.reply), more=asked.more, because=asked.because)


def take_up(scene: Scene, doubt: Doubt, answered: Meaning, origin: Origin) -> Answer:
    """Close a question and do what it was about, as answered. `origin` is the message that answers it."""
    doubts.settle(scene, doubt, "answered")
    # Entries belong to the message whose words they came from; a change of the roster to the one that settled it.
    answer = act(scene, answered, origin if answered.setup else doubt.origin, doubt.target)
    if not doubts.is_of_photo(scene, doubt):
        return answer
    from bot.conversation.photos import with_line  # noqa: PLC0415 - few messages come with a photo

    return with_line(scene, doubt.origin.message_id, answer)


def echo(scene: Scene, written: Written, about: int, log: str = "Written", lines: Sequence[str] = ()) -> Answer:
    """Say back what was written, then what else there is to know; `lines` go before."""
    scene = scene.refreshed()
    rows = shown(written.rows(scene))
    text = "\n".join([*lines, *say_rows(scene, rows, log), *written.remarks, *_remarks(scene, rows)])
    entries = tuple(entry_to_contract(entry_of(scene, row)) for row in rows if row.mood == "log")
    names = dict.fromkeys(scene.names.name(subject) for row in rows for subject in row.subjects)
    answer = Answer(Reply(text, entries=entries), about, tuple(names))
    if not any(row.kind == "count" and row.mood == "log" for row in rows):
        return answer
    from bot.conversation.reconciling import reconciled  # noqa: PLC0415 - it reckons the book, and few messages count heads

    return reconciled(scene, rows, answer)


def _remarks(scene: Scene, rows: Sequence[EntryRow]) -> list[str]:
    """What is to be told of care beside the echo."""
    if not any(row.kind in _REMARKED for row in rows):
        return []
    from bot.conversation.remarks import remarks  # noqa: PLC0415 - it reads the care sheets, and most messages do without

    return remarks(scene, rows)


def doubtful_split(scene: Scene, meaning: Meaning) -> Meaning | None:
    """The question whether all or some of a group moved, holding the whole message; None where that is plain."""
    found = next((doubt for doubt in (split_in_doubt(scene, entry) for entry in meaning.entries) if doubt), None)
    return None if found is None else replace(found, entries=meaning.entries, plans=meaning.plans, ask=meaning.ask)


def ask_about(scene: Scene, ask: Ask) -> Answer:
    """Answer a question from the journal."""
    from bot.answers import View, answer, continued, why_of  # noqa: PLC0415 - a message that only logs does without them

    view = View.open(scene.session, scene.collection.id, scene.now, scene.folder)
    reply = answer(ask, view)
    paged = ask.about == "history" and bool(reply.choices)
    more = continued(ask, view) if paged else None
    return Answer(reply, focus=ask.subjects, more=more, because=why_of(ask), asked=ask.kind)


def undo_last(scene: Scene, target: int | None = None) -> Answer:
    """Take back what the member did last, or by the message `target`: entries, a correction, or a change of the set-up."""
    refuse_viewers(scene)
    message_id, done = acting_message(scene) if target is None else (target, did(scene, target))
    if message_id is None:
        raise Refusal("There is nothing of yours to take back.")
    if done.get("setup"):
        lines = setup_undo.take_back_setup(scene, message_id)
    elif "taught" in done:
        lines = [setup_undo.take_back_teaching(scene, done["taught"], done["was"])]
    else:
        lines = amending.undo(scene, message_id)
    return said(*lines, about=message_id, undid=message_id)


def _correct(scene: Scene, meaning: Meaning, origin: Origin, target: int | None) -> Answer:
    refuse_viewers(scene)
    if meaning.amend is None or meaning.amend.action == "retract":
        return undo_last(scene, target)
    message_id, done = (target, {}) if target is not None else acting_message(scene)
    if message_id is None:
        raise Refusal(amending.NOTHING)
    if done:
        raise Refusal("Your last change was one of the set-up. Say “undo”, and then say it anew.")
    only = next((choice.changes["entry"] for choice in meaning.choices), None)
    outcome = amending.amend(scene, meaning.amend, message_id, only)
    if isinstance(outcome, Meaning):
        return doubts.ask(scene, outcome, origin, message_id)
    return echo(scene, outcome, scene.message.id, "Changed, now")
