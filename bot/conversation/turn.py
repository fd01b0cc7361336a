"""One turn: a message in, entries and an answer out, all in the transaction of its scene."""

from __future__ import annotations

import re
from datetime import datetime

from bot.conversation import doubts
from bot.conversation.acting import act, ask_about
from bot.conversation.answer import Answer, said
from bot.conversation.doubts import Doubt
from bot.conversation.limits import LONGEST_TEXT, has_words, readable
from bot.conversation.recent import context, last_spoke, next_page
from bot.conversation.reply import Reply
from bot.conversation.revising import delete, edit
from bot.conversation.scene import Scene
from bot.conversation.setup import closing
from bot.conversation.targets import target_of
from bot.conversation.writing import Origin, write_note
from bot.conversation.zones import set_zone, zone_named
from bot.language.meaning import Meaning
from storage import questions

_MORE = re.compile(r"(more|1|next( page)?|go on|older|continue)[.!]*", re.IGNORECASE)

_OF_PUSHES = re.compile(r"list|digest|round|look|quiet|remind|left ?over|send me|write me|message me", re.IGNORECASE)
"""Words without which a text sets nothing of the pushes."""


_DONE = re.compile(r"all|every", re.IGNORECASE)
"""Words without which a text never says that all is done."""


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
        return delete(scene)
    if scene.message.edits is not None:
        return edit(scene, hear)
    return hear(scene, Origin(scene.message.id, scene.message.text), target_of(scene))


def hear(scene: Scene, origin: Origin, target: int | None) -> Answer:
    """Deal with the text of a message: what cannot be read first, then an open question, then the text itself."""
    text = readable(scene.message.text).strip()
    unread = _unread(scene, text, origin)
    if unread is not None:
        return unread
    if not _GRAVE.search(text):
        return _hear(scene, text, origin, target)
    from bot.conversation.advice import advise  # noqa: PLC0415 - few messages are of such matters, and only those pay for it

    advice = advise(scene, text)
    if not advice.rest:
        return said(*advice.before, *advice.after)
    return advice.around(_hear(scene, advice.rest, origin, target))


def _hear(scene: Scene, text: str, origin: Origin, target: int | None) -> Answer:
    zone = zone_named(text)
    if zone is not None:
        return set_zone(scene, zone)
    pushed = _about_pushes(scene, text, origin)
    if pushed is not None:
        return pushed
    doubt = doubts.open_doubt(scene)
    if doubt is None:
        page = next_page(scene) if _MORE.fullmatch(text) else None
        if page is not None:
            return ask_about(scene, page)
        return act(scene, _read(scene, text, target), origin, target)
    return _hear_in_doubt(scene, doubt, text, origin, target)


def _about_pushes(scene: Scene, text: str, origin: Origin) -> Answer | None:
    """The answer to a text that settles what the bot asked unasked, or sets what it sends; None for anything else."""
    if _OF_PUSHES.search(text):
        from bot.reminders import wishes  # noqa: PLC0415 - few messages are about the pushes, and only those pay for it

        wish = wishes.wished(scene, text)
        if wish is not None:
            return wish
    asked = questions.open_question(scene.session, scene.member.id, pushed=True)
    may_answer = asked is not None and not _asks_for_page(scene, text, asked.asked_at)
    if not may_answer and not _DONE.search(text):
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
    return scene.language.read(text, scene.local_now, scene.roster, context(scene, target))


def _hear_in_doubt(scene: Scene, doubt: Doubt, text: str, origin: Origin, target: int | None) -> Answer:
    """Take a text as the answer to the open question; or, if it is none, deal with it and say what becomes of the question."""
    if doubts.is_never_mind(text):
        return said(doubts.keep_as_note(scene, doubt, "dropped"), about=doubt.origin.message_id)
    if doubts.is_stale(scene, doubt):
        kept = doubts.keep_as_note(scene, doubt, "stale")
        return act(scene, _read(scene, text, target), origin, target).headed(kept)
    answered = doubts.completed(scene, doubt, text)
    if answered is not None:
        doubts.settle(scene, doubt, "answered")
        # Entries belong to the message whose words they came from; a change of the roster to the one that settled it.
        return act(scene, answered, origin if answered.setup else doubt.origin, doubt.target)
    return _hear_beside(scene, doubt, _read(scene, text, target), origin, target)


def _hear_beside(scene: Scene, doubt: Doubt, meaning: Meaning, origin: Origin, target: int | None) -> Answer:
    """Deal with a message that does not answer the open question."""
    choices = tuple(choice.label for choice in doubt.meaning.choices)
    if meaning.intent == "unclear" and not meaning.entries and not meaning.plans:
        return Answer(Reply(f"I did not get that. {doubt.meaning.question}", choices), about=doubt.origin.message_id)
    if meaning.intent in ("ask", "chat"):
        still = Reply(f"Still open: {doubt.meaning.question}", choices)
        return act(scene, meaning, origin, target).followed(still)
    if meaning.amend is not None and meaning.amend.action == "retract" and target is None:
        doubts.settle(scene, doubt, "dropped")
        return said("Dropped the question; nothing was written by that message.")
    kept = doubts.keep_as_note(scene, doubt, "passed over")
    return act(scene, meaning, origin, target).headed(kept)
