"""Putting the Meaning together: subjects, days and plans settled over the whole message."""

from __future__ import annotations

from dataclasses import replace
from typing import TYPE_CHECKING

from bot.language.asking import doubtful, read_ask
from bot.language.drafts import Draft, subjects_named
from bot.language.evidence import plan_marks, with_evidence
from bot.language.finishing import finish_log, finish_plans
from bot.language.meaning import Amend, Ask, Meaning
from bot.language.merging import (
    dated_by_headings,
    left_out,
    merge,
    paired,
    part_subsets,
    without_headings,
    without_others,
)
from bot.language.planning import settle_plans, without_idle
from bot.language.questioning import question_about
from bot.language.settling_dates import settle_dates
from bot.language.settling_subjects import narrow, settle_subjects
from bot.language.without_acts import is_destination, read_without_acts

if TYPE_CHECKING:
    from bot.language.reading import Message, Reading
    from bot.language.roster import Roster

Subjects = tuple[str, ...]

OUTDOORS = {
    "outside", "outdoors", "balcony", "garden", "weather", "here", "office", "work", "sunny", "street", "car",
}  # fmt: skip
MEALS = {
    "pie", "pizza", "cake", "lunch", "breakfast", "brekkie", "curry", "turkey", "chips", "sandwich", "toast", "takeaway", "burger", "pasta",
    "sushi", "kebab", "roast", "chocolate", "biscuit", "biscuits", "cookies", "beer", "wine", "coffee",
}  # fmt: skip
"""What only the keeper eats and drinks."""

STRONG_VERBS = (
    "feed", "mist", "water", "clean", "spotclean", "moult", "move", "count", "die", "sell", "pair", "hatch",
    "weigh", "eat", "lay",
)  # fmt: skip
PRONOUNS = {"it", "they", "them", "she", "he", "her", "him", "its", "their", "that"}
OWNERS = {"his", "her", "its", "their"}
ASKED_OF_SOMEBODY = {
    "last", "did", "next", "size", "headcount", "climate", "history", "why", "losses", "crowding", "compare",
    "same_air", "air_why", "handover",
}  # fmt: skip


def compose(message: Message, reading: Reading) -> Meaning:
    """The meaning of a message whose clauses have been read."""
    focus = message.context.focus or _only_place(message.roster)
    drafts = _settled(message, reading, focus)
    told = next((draft.subjects for draft in reversed(drafts) if draft.subjects), ())
    reading.plans = without_idle(reading.plans)
    settle_plans(reading.plans, told or _topic_before(reading), focus)
    ask, choices = _asked(message, reading, told, focus)
    if choices:
        return question_about("subjects", Meaning("unclear", ask=ask, missing=("subjects",)), choices)
    if _is_small_talk(message, reading, drafts, ask):
        return Meaning("chat")
    follow_up = _outcome_of_last(message, reading, drafts)
    if follow_up is not None:
        return follow_up
    if not drafts and not reading.plans and ask is None:
        return read_without_acts(message, reading)
    return _whole(message, reading, drafts, ask)


def _settled(message: Message, reading: Reading, focus: Subjects) -> list[Draft]:
    """The drafts with their subjects and days, those of one act joined."""
    drafts = [draft for draft in reading.drafts if draft.kind]
    if reading.asked and all(draft.kind in {"observation", "note"} and not draft.names for draft in drafts):
        drafts = []  # "When did Skog last eat? I cannot find it in my notes.", "I have a feeling I skipped it, so did I …"
    index = message.tagged.index
    settle_subjects(drafts, focus, reading.said, index)
    dated_by_headings(drafts)
    drafts = paired(merge(drafts, index.place_of), index.place_of)
    settle_dates(drafts, reading.told)
    drafts = without_headings(drafts, index.place_of)
    drafts = part_subsets(drafts, index.place_of)
    left_out(drafts, index.place_of)
    without_others(drafts, index.place_of)
    for draft in drafts:
        narrow(draft, index.place_of)
    return drafts


def _topic_before(reading: Reading) -> Subjects:
    """Whom a message names before its first plan, in a clause that tells nothing ("nettle: a roach every 10 days")."""
    return subjects_named(item for clause in reading.told for item in clause.names)


def _only_place(roster: Roster) -> Subjects:
    """Who lives in the one place there is: nobody else can be meant."""
    lived_in = {occupant.enclosure for occupant in roster.occupants}
    only = len(lived_in) == 1 and len(roster.enclosures) == 1
    return (roster.occupants[0].name,) if only else ()


def _asked(message: Message, reading: Reading, told: Subjects, focus: Subjects) -> tuple[Ask | None, Subjects]:
    """What is asked, and the names to choose from where it is not clear of whom."""
    ask = read_ask(reading.asked, message.now.date()) if reading.asked else None
    if ask is None:
        return None, ()
    items = [item for clause in reading.asked for item in clause.items]
    known = [item for at, item in enumerate(items) if not (told and at and items[at - 1].text in OWNERS)]  # "his tank"
    doubt = () if ask.about == "compare" else doubtful(known)  # of what is compared all are meant
    if doubt:
        return replace(ask, subjects=()), doubt
    pronoun = any(item.text in PRONOUNS for item in items)
    if not ask.subjects and ask.about in ASKED_OF_SOMEBODY and (told or pronoun or ask.about == "same_air"):
        ask = replace(ask, subjects=told or focus)
    return ask, ()


def _is_small_talk(message: Message, reading: Reading, drafts: list[Draft], ask: Ask | None) -> bool:
    """Whether a message without a name has only a loose hold on care: weather, milk, "got it"."""
    items = message.tagged.items
    if any(item.kind == "name" for item in items):
        return False
    if reading.plans:
        aimless = all(plan.kind == "note" for plan in reading.plans) and not drafts
        return aimless and not any(item.verb("remind") or "remind" in item.text for item in items)
    if drafts:
        if all(draft.negated and draft.was == "arrival" for draft in drafts) and not any(item.prey for item in items):
            return True  # "the bus never came"
        if any(item.text in MEALS for item in items):
            return True
        seen_only = all(draft.kind in {"reading", "observation"} for draft in drafts)
        return seen_only and (any(item.text in OUTDOORS for item in items) or "out there" in message.text.lower())
    words = (item for item in items if item.kind == "word")
    strong = any(item.prey or item.sense("verb", *STRONG_VERBS) for item in words)
    meant = message.context.focus or any(item.text in PRONOUNS for item in items)
    of_nobody = ask is not None and ask.about == "size" and not meant
    return ask is not None and (ask.about == "did" or of_nobody) and not strong


def _outcome_of_last(message: Message, reading: Reading, drafts: list[Draft]) -> Meaning | None:
    """What became of the feeding written last: "all gone" right after "nimbus had a few waxworms"."""
    last = message.context.last[-1] if message.context.last else None
    if last is None or last.kind != "feeding" or "outcome" in last.fields:
        return None
    if len(drafts) != 1 or reading.plans or reading.asked or not _is_bare_outcome(drafts[0]):
        return None
    return Meaning("amend", amend=Amend("change", {"outcome": drafts[0].fields["outcome"]}))


def _is_bare_outcome(draft: Draft) -> bool:
    alone = not draft.names and not draft.clause.dates and not draft.stranger
    return draft.kind == "feeding" and set(draft.fields) == {"outcome"} and alone


def _whole(message: Message, reading: Reading, drafts: list[Draft], ask: Ask | None) -> Meaning:
    """What was told, with the plans and the question beside it; else the plans; else the question."""
    wish = _wish(reading, drafts) if reading.wished and not ask else None
    drafts = [*drafts, wish] if wish else drafts
    planned = finish_plans(reading.plans, message.now, message.tagged)
    if drafts:
        return finish_log(message.text, drafts, message.now, planned, ask)
    if planned.plans:
        plan = Meaning("plan", plans=planned.plans, ask=ask)
        return planned.doubt or with_evidence(plan, plan_marks(reading.plans), message.text)
    return Meaning("ask", ask=ask) if ask else Meaning("chat")


def _wish(reading: Reading, drafts: list[Draft]) -> Draft | None:
    """The note that a condition or a wish is, on those it names; None where it adds nothing."""
    names = [item for clause in reading.wished for item in clause.names if not is_destination(clause, item)]
    subjects = subjects_named(names)
    noted = any(draft.kind == "note" and set(draft.subjects) == set(subjects) for draft in drafts)
    if noted or (drafts and not names):
        return None
    told = next((draft.subjects for draft in drafts if draft.subjects), ())
    draft = Draft("note", reading.wished[0], names, subjects=subjects or told)
    if not draft.subjects:
        draft.missing.append("subjects")
    return draft
