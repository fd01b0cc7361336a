"""One turn: a message in, entries and an answer out, all in the transaction of its scene."""

from __future__ import annotations

import re
from dataclasses import replace
from datetime import datetime

from bot.conversation import doubts
from bot.conversation.acting import act, ask_about, take_up
from bot.conversation.answer import SILENT, Answer, said
from bot.conversation.doubts import Doubt
from bot.conversation.limits import LONGEST_TEXT, has_words, readable
from bot.conversation.overheard import is_for_us, names_somebody, put_elsewhere
from bot.conversation.recent import about_label, about_reason, about_task, context, last_spoke, next_page
from bot.conversation.reply import Reply
from bot.conversation.revising import delete, edit
from bot.conversation.scene import Scene
from bot.conversation.setup import closing
from bot.conversation.targets import first_revision, target_of
from bot.conversation.writing import Origin, write_note
from bot.conversation.zones import set_units, set_zone, units_named, zone_named
from bot.language.meaning import Meaning
from storage import questions

_MORE = re.compile(r"(more|1|next( page)?|go on|older|continue)[.!]*", re.IGNORECASE)

_COMMAND = re.compile(r"/|here-[A-Za-z0-9_-]{1,64}\Z")
"""How a command begins, and the code of a label."""

_OF_PUSHES = re.compile(r"list|digest|round|look|quiet|remind|left ?over|send me|write me|message me", re.IGNORECASE)
"""Words without which a text sets nothing of the pushes."""


_DONE = re.compile(r"all|every", re.IGNORECASE)
"""Words without which a text never says that all is done."""


_OF_MEMBERS = re.compile(r"\bhere\b|\bmembers?\b|\bremove\b|\bkick\b|\bmake\b", re.IGNORECASE)
"""Words without which a text is not about who may write and ask here."""

_OF_COUNTS = re.compile(
    r"\s*(?:set|keep|use|take|re-?count|count again|later|y(?:es|ep|up|eah)?\b|no\b|it was|[12]\s*$)", re.IGNORECASE
)
"""How an answer begins to whether the book shall go by a count."""

_OF_PHOTOS = re.compile(r"\b(?:photo|picture|pic)s?\b", re.IGNORECASE)
"""Words without which a text asks for no photo."""


_OF_SHEETS = re.compile(r"\b(?:sheet|pdf)s?\b", re.IGNORECASE)
"""Words without which a text asks for no hand-over sheet."""


_GRAVE = re.compile(
    r"legal|\blaws?\b|permit|licen[cs]e|papers|paperwork|\bcites\b|certificate|customs|protected|dangerous|abroad|oversea"
    r"|\bthe (?:eu|uk|us|usa|states|country)\b|another (?:country|state)"
    r"|\bdos(?:e|ing|age)|medic|antibiotic|painkill|antisept|ivermectin|dazole|\bmg\b|milligram|treat|cure|sick|\bill\b|dying"
    r"|poison|injured|infect|parasite|\bbit\b|bitten|stung|nipped|tagged|pricked|\bhairs?\b|breath"
    r"|collected|gathered|foraged|brought in|from the (?:wood|forest|garden|park)",
    re.IGNORECASE,
)
"""Words without which a text is of none of the matters that `advice` is about."""


def turn(scene: Scene) -> Answer:
    """Deal with one message. Raises RacksideError and NameTaken, with the sentence, for what cannot be done."""
    if scene.message.deletes is not None:
        return _delete(scene, scene.message.deletes)
    if scene.message.pressed is not None:
        from bot.conversation.presses import press  # noqa: PLC0415 - only where there are buttons

        return press(scene)
    if scene.message.edits is not None:
        return edit(scene, _take)
    return _take(scene, Origin(scene.message.id, scene.message.text), target_of(scene))


def _delete(scene: Scene, key: str) -> Answer:
    """Take back what a deleted message told, and the photo that came with it."""
    answer, first = delete(scene), first_revision(scene, key)
    if first is not None and first.carries is not None:
        from bot.conversation.photos import forget  # noqa: PLC0415 - as for presses

        forget(scene, first)
    return answer


def _take(scene: Scene, origin: Origin, target: int | None) -> Answer:
    """Deal with a message and with what came with its words or in their stead."""
    if scene.message.carries is None:
        return hear(scene, origin, target)
    from bot.conversation.carried import take  # noqa: PLC0415 - most messages are words alone

    return take(scene, origin, target, hear)


def hear(scene: Scene, origin: Origin, target: int | None) -> Answer:
    """Deal with the text of a message: what cannot be read first, then an open question, then the text itself."""
    text = readable(scene.message.text).strip()
    if _COMMAND.match(text):
        return _obey(scene, text, origin, target)
    unread = _unread(scene, text, origin)
    if unread is not None:
        return unread
    if not _GRAVE.search(text):
        return _hear(scene, text, origin, target)
    from bot.conversation.advice import advise  # noqa: PLC0415 - few messages are of such matters, and only those pay for it

    advice = advise(scene, text)
    heard = _hear(scene, advice.rest, origin, target) if advice.rest else SILENT
    if not heard.silent:
        return advice.around(heard)
    # Overheard, only what is for somebody's safety is said without a name of the roster.
    is_ours = not scene.message.overheard or names_somebody(scene, text)
    return said(*advice.before, *(advice.after if is_ours else ()))


def _obey(scene: Scene, text: str, origin: Origin, target: int | None) -> Answer:
    """Deal with a command: by itself, or as the plain words for which it stands."""
    from bot.conversation import commands  # noqa: PLC0415 - most messages are plain words

    outcome = commands.obey(scene, text)
    if isinstance(outcome, Answer):
        return outcome
    spoken = replace(scene, message=replace(scene.message, text=outcome))
    return commands.told_of(hear(spoken, Origin(origin.message_id, outcome), target))


def _hear(scene: Scene, text: str, origin: Origin, target: int | None) -> Answer:
    answer = _about_house(scene, text) or _about_count(scene, text) or _about_pushes(scene, text, origin)
    if answer is not None:
        return answer
    doubt = doubts.open_doubt(scene)
    if doubt is not None and not (scene.message.overheard and put_elsewhere(scene, doubt.row)):
        return _hear_in_doubt(scene, doubt, text, origin, target)
    page = next_page(scene) if _MORE.fullmatch(text) else None
    if page is not None:
        return ask_about(scene, page)
    return _asked_for_photos(scene, text) or _understand(scene, text, origin, target)


def _understand(scene: Scene, text: str, origin: Origin, target: int | None) -> Answer:
    """Read a text that answers nothing, and do what it means."""
    meaning = _read(scene, text, target)
    return act(scene, meaning, origin, target) if is_for_us(scene, meaning) else SILENT


def _about_house(scene: Scene, text: str) -> Answer | None:
    """The answer to a text about the collection itself: its zone, its units, its members; None for anything else."""
    if scene.message.overheard:
        return None
    zone, units = zone_named(text), units_named(text)
    if zone is not None:
        return set_zone(scene, zone)
    if units is not None:
        return set_units(scene, units)
    if not _OF_MEMBERS.search(text):
        return None
    from bot.conversation.membership import wished  # noqa: PLC0415 - few messages are about the members

    return wished(scene, text)


def _asked_for_photos(scene: Scene, text: str) -> Answer | None:
    """Photos, where a text asks for some; None for anything else, and for what comes with a photo itself."""
    if scene.message.carries is not None or not _OF_PHOTOS.search(text):
        return None
    from bot.conversation.photo_asks import asked  # noqa: PLC0415 - few messages ask for photos

    return asked(scene, text)


def _about_count(scene: Scene, text: str) -> Answer | None:
    """The answer to a text that says whether the book shall go by a count that did not fit it; None for anything else."""
    if scene.message.overheard or not _OF_COUNTS.match(text):
        return None
    if not any("counted" in row.pending for row in questions.open_questions(scene.session, scene.member.id)):
        return None
    from bot.conversation import reconciling  # noqa: PLC0415 - few messages answer that, and only those pay for it

    return reconciling.answered(scene, text)


def _about_pushes(scene: Scene, text: str, origin: Origin) -> Answer | None:
    """The answer to a text that settles what the bot asked unasked, or sets what it sends; None for anything else."""
    if _OF_PUSHES.search(text):
        from bot.reminders import wishes  # noqa: PLC0415 - few messages are about the pushes, and only those pay for it

        wish = wishes.wished(scene, text)
        if wish is not None:
            return wish
    asked = questions.open_question(scene.session, scene.member.id, pushed=True)
    if asked is not None and scene.message.overheard and put_elsewhere(scene, asked):
        asked = None
    may_answer = asked is not None and not _asks_for_page(scene, text, asked.asked_at)
    if not may_answer and (scene.message.overheard or not _DONE.search(text)):
        return None
    from bot.reminders import answering  # noqa: PLC0415 - the same for those that answer one

    answered = answering.answer(scene, text, origin) if may_answer else None
    if answered is None and answering.says_all_done(text) and doubts.open_doubt(scene) is None:
        return answering.all_done(scene, origin)
    return answered


def _asks_for_page(scene: Scene, text: str, asked_at: datetime) -> bool:
    """Whether a text asks for the next page of an answer that came after the bot's own question."""
    spoke = last_spoke(scene)
    return spoke is not None and spoke > asked_at and _MORE.fullmatch(text) is not None and next_page(scene) is not None


def _unread(scene: Scene, text: str, origin: Origin) -> Answer | None:
    """The answer to a text that is not read: empty, far too long, or without a word."""
    if scene.message.overheard and (len(text) > LONGEST_TEXT or not has_words(text)):
        return SILENT
    if not text:
        return said("There are no words in that message, so nothing was written.")
    if len(text) > LONGEST_TEXT:
        write_note(scene, scene.message.text, origin.message_id)
        return said(
            f"That is {len(text):,} characters long, and I read messages up to {LONGEST_TEXT:,}. "
            "I kept it word for word as a note of today, and wrote nothing else.",
            about=origin.message_id,
        )
    return None if has_words(text) else said("Nice. I need words to write something down.")


def _read(scene: Scene, text: str, target: int | None) -> Meaning:
    close = closing(scene, text)
    if close is not None:
        return Meaning("setup", setup=close)
    meaning = scene.language.read(text, scene.local_now, scene.roster, context(scene, target))
    if meaning.intent in ("chat", "unclear") and _OF_SHEETS.search(text):
        from bot.conversation.closed import read_of_closed  # noqa: PLC0415 - few messages ask for a sheet

        meaning = read_of_closed(scene, text) or meaning
    return about_task(scene, about_reason(scene, about_label(scene, meaning)))


def _hear_in_doubt(scene: Scene, doubt: Doubt, text: str, origin: Origin, target: int | None) -> Answer:
    """Take a text as the answer to the open question; or, if it is none, deal with it and say what becomes of the question."""
    if doubts.is_never_mind(text):
        return said(doubts.keep_as_note(scene, doubt, "dropped"), about=doubt.origin.message_id)
    if doubts.is_stale(scene, doubt):
        heard = _asked_for_photos(scene, text) or _understand(scene, text, origin, target)
        return SILENT if heard.silent else heard.headed(doubts.keep_as_note(scene, doubt, "stale"))
    photos = None if doubts.is_of_photo(scene, doubt) else _asked_for_photos(scene, text)
    if photos is not None:
        return doubts.still_open(doubt, photos)
    answered = doubts.completed(scene, doubt, text)
    if answered is not None:
        return take_up(scene, doubt, answered, origin)
    meaning = _read(scene, text, target)
    return _hear_beside(scene, doubt, meaning, origin, target) if is_for_us(scene, meaning) else SILENT


def _hear_beside(scene: Scene, doubt: Doubt, meaning: Meaning, origin: Origin, target: int | None) -> Answer:
    """Deal with a message that does not answer the open question."""
    if meaning.intent == "unclear" and not meaning.entries and not meaning.plans:
        choices = tuple(choice.label for choice in doubt.meaning.choices)
        text = f"I did not get that. {doubt.meaning.question}"
        return Answer(Reply(text, choices), about=doubt.origin.message_id, question=doubt.row.id)
    if meaning.intent in ("ask", "chat"):
        return doubts.still_open(doubt, act(scene, meaning, origin, target))
    if meaning.amend is not None and meaning.amend.action == "retract" and target is None:
        doubts.settle(scene, doubt, "dropped")
        return said("Dropped the question; nothing was written by that message.")
    kept = doubts.keep_as_note(scene, doubt, "passed over")
    return act(scene, meaning, origin, target).headed(kept)
