"""Reading a message: tag it, part it, settle its moods, and put the Meaning together."""

from __future__ import annotations

import re
from dataclasses import dataclass, field, replace
from typing import TYPE_CHECKING, Any

from bot.language.amending import read_change, read_retraction
from bot.language.asking import doubtful, read_ask
from bot.language.clauses import Clause, Sentence, clauses, sentences
from bot.language.drafts import Draft, Scope
from bot.language.evidence import plan_marks, with_evidence
from bot.language.finishing import Planned, entry_of, finish_log, finish_plans
from bot.language.questioning import question_about
from bot.language.items import tag
from bot.language.kinds.outcomes import outcome_of
from bot.language.drafting import drafts_of
from bot.language.merging import dated_by_headings, merge, part_subsets, without_headings
from bot.language.settling_dates import settle_dates, usable
from bot.language.settling_subjects import narrow, settle_subjects
from bot.language.meaning import Amend, Ask, Context, Meaning
from bot.language.moods import mood_of
from bot.language.planning import PlanDraft, kind_named, plans_of, settle_plans, stop_of
from bot.language.refine import refine
from bot.language.setting_up import read_setup

if TYPE_CHECKING:
    from collections.abc import Mapping
    from datetime import datetime

    from bot.language.items import Item, Tagged
    from bot.language.quantities import Quantity
    from bot.language.roster import Roster

LONGEST = 4000
OUTDOORS = {"outside", "outdoors", "balcony", "garden", "weather", "here", "office", "work", "sunny", "street", "car"}
STRONG_VERBS = ("feed", "mist", "water", "clean", "spotclean", "moult", "move", "count", "die", "sell", "pair", "hatch", "weigh", "eat", "lay")
SAME_WORDS = {"same", "too", "also", "likewise", "ditto", "the", "the same", "of", "again", "as", "well", "as well", "and", "for", "with", "before"}
AGAIN = re.compile(r"^(?:the |and )?same\b|\bsame (?:again|for|with)\b|\b(?:ditto|likewise)\b|^and .{1,30} (?:too|as well)$")


@dataclass(slots=True)
class Reading:
    """What the clauses of a message yield, by mood."""

    told: list[Clause] = field(default_factory=list)
    drafts: list[Draft] = field(default_factory=list)
    plans: list[PlanDraft] = field(default_factory=list)
    asked: list[Clause] = field(default_factory=list)
    said: list[Clause] = field(default_factory=list)
    bare: Draft | None = None  # a name and a number told alone, until the next clause says what was counted
    days: list[Clause] = field(default_factory=list)  # days told before the act: "on tuesday and on friday I fed B"
    wished: list[Clause] = field(default_factory=list)


def read(text: str, now: datetime, roster: Roster, context: Context | None = None) -> Meaning:
    """The meaning of one message.

    `now` is the keeper's local clock, naive. A message that tells nothing is `chat`; one that is too doubtful to write is `unclear`.
    Never raises for any text.
    """
    context = context or Context()
    if len(text) > LONGEST or not text.strip():
        return Meaning("chat", score=0.0)
    retraction = read_retraction(text)
    if retraction is not None:
        return Meaning("amend", amend=retraction)
    setup = read_setup(text, now, roster)
    if setup is not None:
        return setup
    tagged = tag(text, now, roster)
    reading = _reading(tagged)
    change, made = read_change(tagged, acts=_tells_act(reading))
    if change is not None:
        return with_evidence(Meaning("amend", amend=change), [(f"amend.{name}", item) for name, item in made])
    return _meaning(text, now, roster, context, tagged, reading)


def _tells_act(reading: Reading) -> bool:
    return any(draft.names and draft.kind != "note" for draft in reading.drafts) or bool(reading.plans) or bool(reading.asked)


def _reading(tagged: Tagged) -> Reading:
    reading = Reading()
    for number, sentence in enumerate(_joined(sentences(tagged))):
        items = refine(list(sentence.items), tagged.index)
        _read_sentence(clauses(Sentence(tuple(items), sentence.end), number), sentence.end, reading)
    return reading


def _joined(found: list[Sentence]) -> list[Sentence]:
    """A sentence that takes back a piece of the one before ("… no wait, tub 3") belongs to it."""
    out: list[Sentence] = []
    for sentence in found:
        first = sentence.items[0]
        repairs = first.kind == "word" and first.sense("repair") is not None and (first.text not in {"wait", "actually", "no", "sorry", "oops"} or _one_piece(sentence))
        if out and repairs and len(sentence.items) < 8:
            out[-1] = Sentence((*out[-1].items, *sentence.items), sentence.end)
        else:
            out.append(sentence)
    return out


def _one_piece(sentence: Sentence) -> bool:
    """ "No, sorry, A2." : nothing but repair words and one name, number or day."""
    rest = [item for item in sentence.items if not (item.kind == "mark" or item.sense("repair") or item.sense("filler") or item.text in {"i", "it", "was", "the", "in", "on"})]
    return len(rest) == 1 and rest[0].kind in {"name", "number", "date"}


def _read_sentence(parts: list[Clause], end: str, reading: Reading) -> None:
    mood = "log"
    reading.said += parts
    for position, clause in enumerate(parts):
        if _only_day(clause) and position + 1 < len(parts) and _second_day(parts[position + 1]):
            reading.days = [*reading.days, clause]
            continue
        mood = mood_of(clause, mood, end, last=position == len(parts) - 1)
        if mood == "ask":
            if not reading.asked and end == "?" and reading.drafts and _bare_question(clause):
                _all_asked(parts[:position], reading)
            reading.asked.append(clause)
        elif mood in {"plan", "stop"}:
            _plan(clause, mood, reading)
        elif mood == "wish":
            reading.wished.append(clause)
            if position and parts[position - 1] in reading.told and not any(draft.clause is parts[position - 1] for draft in reading.drafts):
                reading.wished.insert(0, parts[position - 1])
        else:
            _tell(clause, reading)


def _bare_question(clause: Clause) -> bool:
    """ "mungo's next feed, when?": the question word stands alone, and what it asks stands before it."""
    return all(item.sense("question") or item.kind == "mark" or item.kind == "date" for item in clause.items) or (not clause.names and len(clause.items) <= 2)


def _all_asked(parts: list[Clause], reading: Reading) -> None:
    reading.drafts = [draft for draft in reading.drafts if draft.clause not in parts]
    reading.told = [clause for clause in reading.told if clause not in parts]
    reading.asked += parts


def _plan(clause: Clause, mood: str, reading: Reading) -> None:
    if mood == "stop":
        reading.plans.append(stop_of(clause))
        return
    last = reading.plans[-1] if reading.plans else None
    repeats = bool(clause.names) and any(item.date and item.date.recur for item in clause.dates)
    before = last if last is not None and (last.clause.number == clause.number or repeats) else None
    if before is not None and not clause.names and not clause.dates and not clause.senses("plan") and kind_named(clause) is None:
        return
    if before is not None and not any(item.kind in {"name", "date", "word"} for item in clause.items if not item.sense("filler") and not item.sense("plan")):
        return
    reading.plans += plans_of(clause, before, reading.drafts[-1] if reading.drafts else None)


def _tell(clause: Clause, reading: Reading) -> None:
    before = next((draft for draft in reversed(reading.drafts[-3:]) if draft.kind == "count" and "count" not in draft.fields), reading.drafts[-1] if reading.drafts else None)
    reading.told.append(clause)
    if before is not None and _another_day(clause, before):
        reading.drafts.append(replace(before, clause=clause, fields=dict(before.fields), names=list(before.names)))
        return
    if clause.joiner == ":" and before is not None and _only_names(clause):
        for draft in reading.drafts:
            draft.names = clause.names if draft.clause.number == clause.number else draft.names
        return
    bare = _bare_number(clause)
    if reading.bare is not None and not clause.names and (clause.verb("leave") or clause.senses("outcome")):
        reading.drafts.append(reading.bare)  # "larches 7, two left": seven were offered
        before = reading.bare
    reading.bare = None
    if _also(clause) and before is not None and before.kind not in {"note", ""}:
        before.names = [*before.names, *clause.names]
        return
    if clause.joiner in {"then", "also", "plus"} and before is not None and before.names and before.clause.number == clause.number and _only_names(clause):
        before.names = [*before.names, *clause.names]
        return
    if _outcome_of_all(clause, reading) or _prey_of_all(clause, reading):
        return
    own = _own_feeding(clause, reading)
    if own is not None:
        nameless = replace(clause, items=tuple(item for item in clause.items if item.kind != "name"))
        drafts_of(nameless, own)
        return
    outcome = before.fields.get("outcome") if before is not None else None
    made = _pronoun_place(clause, before) or drafts_of(clause, before)
    if before is not None and not made and before.fields.get("outcome") != outcome and clause.plain("they", "both", "all"):
        _share_outcome(clause, before, reading)
    for day in reading.days if made else ():
        reading.told.append(day)
        reading.drafts += [replace(draft, clause=day, fields=draft.fields, names=list(draft.names)) for draft in made]
    reading.bare = None if made else bare
    reading.days = [] if made else reading.days
    reading.drafts += made


def _only_names(clause: Clause) -> bool:
    return bool(clause.names) and all(item.kind in {"name", "mark"} or item.text in {"and", "the", ","} for item in clause.items)


def _bare_number(clause: Clause) -> Draft | None:
    number = next((item for item in clause.numbers if item.quantity and not item.quantity.article and not item.quantity.unit), None)
    others = [item for item in clause.items if item.kind not in {"name", "number", "mark"}]
    if number is None or number.quantity is None or not clause.names or others or len(clause.numbers) > 1:
        return None
    return Draft("feeding", clause, clause.names).put("quantity", number.quantity.count(), number)


def _also(clause: Clause) -> bool:
    """ "… and mochi's too", "same for D": the act told before, of others as well."""
    rest = [item for item in clause.items if item.kind != "name" and item.kind != "mark" and item.text not in {"the", "for", "with", "and", "in", "as"}]
    return bool(clause.names) and bool(rest) and all(item.text in {"too", "also", "as well", "same", "ditto", "likewise", "same again", "the same", "well", "again"} for item in rest) and any(item.text not in {"again", "well"} for item in rest)


def _outcome_of_all(clause: Clause, reading: Reading) -> bool:
    """ "… 8 crickets, Skog 6. All three groups ate.": the outcome is of each feeding told before."""
    open_feedings = [draft for draft in reading.drafts if draft.kind == "feeding" and "outcome" not in draft.fields and draft.names]
    spans = [item.name for item in clause.names if item.name]
    if len(open_feedings) < 2 or not spans or not any(item.text in {"all", "both", "everyone", "everybody"} or item.text.startswith(("all ", "both ")) for item in clause.items):
        return False
    scope = Scope(clause, list(clause.items), None)
    outcome, words = outcome_of(scope)
    if outcome is None or scope.prey() or any(item.quantity and not item.quantity.article for item in clause.numbers):
        return False
    for draft in open_feedings:
        draft.put("outcome", outcome, *words)
    return True


def _prey_of_all(clause: Clause, reading: Reading) -> bool:
    """ "fed A, fed B, fed C, all on roaches": the prey is of each feeding told before."""
    prey = next((item for item in clause.items if item.prey and item.kind == "word"), None)
    open_feedings = [draft for draft in reading.drafts if draft.kind == "feeding" and "prey" not in draft.fields and draft.clause.number == clause.number]
    if prey is None or len(open_feedings) < 2 or clause.names or not clause.plain("all", "both") or any(item.forms for item in clause.items):
        return False
    for draft in open_feedings:
        draft.put("prey", prey.prey, prey)
    return True


def _own_feeding(clause: Clause, reading: Reading) -> Draft | None:
    """ "Skog 8 crickets. … Skog left three.": what became of the feeding told for that very name."""
    subjects = {subject for item in clause.names if item.name for subject in item.name.subjects}
    scope = Scope(clause, list(clause.items), None)
    left = any(item.verb("leave") for item in clause.items) or bool(clause.senses("outcome", "partly", "refused", "ate"))
    if not subjects or not left or scope.prey() or clause.verb("feed", "offer") or clause.senses("sign"):
        return None
    for draft in reversed(reading.drafts):
        same = {subject for item in draft.names if item.name for subject in item.name.subjects} == subjects
        if draft.kind == "feeding" and same:
            return draft if "outcome" not in draft.fields and usable(clause) is None else None
    return None


def _share_outcome(clause: Clause, before: Draft, reading: Reading) -> None:
    """ "gave Tater five and Tot four, and they both ate": the outcome is of both."""
    for draft in reading.drafts:
        if draft.kind == "feeding" and draft.clause.number == clause.number and "outcome" not in draft.fields:
            draft.put("outcome", before.fields["outcome"], *before.made_by.get("outcome", []))


def _only_day(clause: Clause) -> bool:
    return all(item.kind == "date" or item.text == "on" for item in clause.items) and usable(clause) is not None


def _second_day(clause: Clause) -> bool:
    return clause.joiner in {"and", "&", "+", ","} and len(clause.items) > 1 and clause.items[0].kind == "date" and usable(clause) is not None and not _only_day(clause)


def _another_day(clause: Clause, before: Draft) -> bool:
    """ "misted the damons mon and tues": the same act on another day."""
    return clause.joiner in {"and", "&", "+", ","} and all((item.kind == "date" and item.date and item.date.on and not item.date.vague) or item.sense("filler") or item.text in {"on", "the"} for item in clause.items) and usable(before.clause) is not None and usable(clause) is not None


def _pronoun_place(clause: Clause, before: Draft | None) -> list[Draft] | None:
    """ "bought 100 crickets and tipped them in the cricket bin": the place belongs to what was told before."""
    put = clause.verb("put", "offer", "remove")
    if before is None or before.names or before.kind not in {"arrival", "feeding"} or not clause.names or put is None or not clause.plain("them", "it", "those"):
        return None
    if any(item.prey for item in clause.items if item.kind == "word"):
        return None
    before.names = clause.names
    before.stranger = ""
    return [Draft("", clause, [])]


def _meaning(text: str, now: datetime, roster: Roster, context: Context, tagged: Tagged, reading: Reading) -> Meaning:
    drafts = [draft for draft in reading.drafts if draft.kind]
    if reading.asked and all(draft.kind == "observation" and not draft.names for draft in drafts):
        drafts = []  # "When did Skog last eat? I cannot find it in my notes."
    focus = context.focus or _only_place(roster)
    settle_subjects(drafts, focus, reading.said, tagged.index.cultures)
    dated_by_headings(drafts)
    drafts = merge(drafts, tagged.index.place_of)
    settle_dates(drafts, reading.told)
    drafts = without_headings(drafts)
    part_subsets(drafts)
    for draft in drafts:
        narrow(draft, tagged.index.place_of)
    told = next((draft.subjects for draft in reversed(drafts) if draft.subjects), ())
    settle_plans(reading.plans, told or topic_before(reading), focus)
    ask = _asked(reading, now, told, focus)
    if ask is not None and ask[1]:
        return question_about("subjects", Meaning("unclear", ask=ask[0], missing=("subjects",)), ask[1])
    if _small_talk(tagged, drafts, reading, ask[0] if ask else None):
        return Meaning("chat")
    follow_up = _outcome_of_last(drafts, reading, context)
    if follow_up is not None:
        return follow_up
    if not drafts and not reading.plans and ask is None:
        return _loose(text, now, roster, context, tagged, reading)
    return _together(text, now, roster, context, drafts, reading, ask[0] if ask else None, tagged)


def _outcome_of_last(drafts: list[Draft], reading: Reading, context: Context) -> Meaning | None:
    """ "all gone" right after "nimbus had a few waxworms": what became of the feeding written last."""
    last = context.last[-1] if context.last else None
    if last is None or last.kind != "feeding" or "outcome" in last.fields or len(drafts) != 1 or reading.plans or reading.asked:
        return None
    draft = drafts[0]
    bare = draft.kind == "feeding" and set(draft.fields) == {"outcome"} and not draft.names and not draft.clause.dates and not draft.stranger
    return Meaning("amend", amend=Amend("change", {"outcome": draft.fields["outcome"]})) if bare else None


def _small_talk(tagged: Tagged, drafts: list[Draft], reading: Reading, ask: Ask | None) -> bool:
    """Talk with no name of the roster in it whose only hold on care is a loose one: weather, milk, "got it"."""
    if any(item.kind == "name" for item in tagged.items):
        return False
    if reading.plans:
        aimless = all(plan.kind == "note" for plan in reading.plans) and not drafts
        return aimless and not any(item.verb("remind") or "remind" in item.text for item in tagged.items)
    if drafts and all(draft.kind in {"reading", "observation"} for draft in drafts):
        return any(item.text in OUTDOORS for item in tagged.items)
    strong = any(item.kind == "word" and (item.prey or item.sense("verb", *STRONG_VERBS)) for item in tagged.items)
    return not drafts and ask is not None and ask.about == "did" and not strong


def topic_before(reading: Reading) -> tuple[str, ...]:
    """Whom a message names before its first plan, in a clause that tells nothing ("nettle: a roach every 10 days")."""
    names = [item for clause in reading.told for item in clause.names]
    return tuple(dict.fromkeys(subject for item in names if item.name and item.name.how != "either" for subject in item.name.subjects))


def _only_place(roster: Roster) -> tuple[str, ...]:
    lived_in = {occupant.enclosure for occupant in roster.occupants}
    if len(lived_in) == 1 and len(roster.enclosures) == 1:
        return (roster.occupants[0].name,)
    return ()


def _asked(reading: Reading, now: datetime, told: tuple[str, ...], focus: tuple[str, ...]) -> tuple[Ask, tuple[str, ...]] | None:
    if not reading.asked:
        return None
    ask = read_ask(reading.asked, now.date())
    if ask is None:
        return None
    items = [item for clause in reading.asked for item in clause.items]
    doubt = doubtful(items)
    if doubt:
        return replace(ask, subjects=()), doubt
    pronoun = any(item.text in {"it", "they", "them", "she", "he", "her", "him", "its", "their", "that"} for item in items)
    if not ask.subjects and ask.about in {"last", "did", "next", "size", "headcount", "climate", "history", "why"} and (told or (pronoun and focus)):
        ask = replace(ask, subjects=told or focus)
    return ask, ()


def _together(text: str, now: datetime, roster: Roster, context: Context, drafts: list[Draft], reading: Reading, ask: Ask | None, tagged: Tagged) -> Meaning:
    if reading.wished and not ask:
        drafts += _wishes(reading, drafts)
    planned = finish_plans(reading.plans, now, tagged)
    if drafts:
        return finish_log(text, drafts, now, planned, ask)
    if planned.plans:
        plan = Meaning("plan", plans=planned.plans, ask=ask)
        return planned.doubt or with_evidence(plan, plan_marks(reading.plans))
    return Meaning("ask", ask=ask) if ask else Meaning("chat")


def _wishes(reading: Reading, drafts: list[Draft]) -> list[Draft]:
    """A condition or a wish is kept as a note on those it names, once."""
    names = [item for clause in reading.wished for item in clause.names if not _after_to(clause, item)]
    subjects = tuple(dict.fromkeys(subject for item in names if item.name and item.name.how != "either" for subject in item.name.subjects))
    if not names and drafts:
        return []
    if any(draft.kind == "note" and set(draft.subjects) == set(subjects) for draft in drafts):
        return []
    told = next((draft.subjects for draft in drafts if draft.subjects), ())
    draft = Draft("note", reading.wished[0], names, subjects=subjects or told)
    if not draft.subjects:
        draft.missing.append("subjects")
    return [draft]


def _after_to(clause: Clause, name: Item) -> bool:
    before = [item.text for item in clause.before(name)][-2:]
    return bool(before) and bool({"to", "into"} & set(before)) and len(clause.names) > 1


def _loose(text: str, now: datetime, roster: Roster, context: Context, tagged: Tagged, reading: Reading) -> Meaning:
    """A message with no act in it: a note on those it names, a question, "same again", or small talk."""
    items = [item for item in tagged.items if item.kind != "mark"]
    names = [item for clause in (*reading.told, *reading.wished, *reading.asked) for item in clause.names if not _after_to(clause, item)]
    again = _same_again(text, context, names, items, now)
    if again is not None:
        return again
    greeting = any(item.sense("chat") for item in items) and all(item.name and item.name.how == "all" for item in names)
    if not names or greeting:
        return _without_names(reading, context, text, now, items, roster)
    draft = Draft("note", names and (reading.told or reading.wished or reading.asked)[0], names)
    settle_subjects([draft], (), reading.said, {})
    if reading.asked and not reading.told:
        return Meaning("ask", ask=Ask("history", subjects=draft.subjects)) if draft.subjects else Meaning("chat")
    described = [item for item in items if item.kind not in {"name", "date"} and not item.sense("filler") and item.text not in {"the", "my", "our", "in", "for", "a", "is", "at"}]
    if not draft.missing and _bare(described):
        numbers = [item for item in described if item.kind == "number"]
        return question_about("kind", Meaning("unclear", entries=(entry_of(draft, now, text),), missing=("kind",)), (), number=numbers[0].quantity if numbers else None)
    if not any(item.sense("plan", "true") for item in items):
        settle_dates([draft], reading.told)
    return finish_log(text, [draft], now, Planned(), None)


def _bare(described: list[Item]) -> bool:
    """Nothing but a name, or a name and a number: it cannot be told what was meant."""
    return all(item.kind == "number" for item in described)


def _without_names(reading: Reading, context: Context, text: str, now: datetime, items: list[Item], roster: Roster) -> Meaning:
    if context.focus and reading.wished and any(item.text in {"them", "they", "her", "him", "it", "she", "he"} for item in items):
        draft = Draft("note", reading.wished[0], [], subjects=context.focus)
        return finish_log(text, [draft], now, Planned(), None)
    return Meaning("chat")


def _same_again(text: str, context: Context, names: list[Item], items: list[Item], now: datetime) -> Meaning | None:
    """ "same again for D": the entries written last, for others."""
    if not context.last or not names or not (AGAIN.search(text.lower()) or _only_same(items)):
        return None
    subjects = tuple(dict.fromkeys(subject for item in names if item.name and item.name.how != "either" for subject in item.name.subjects))
    if not subjects:
        return None
    number = next((item.quantity for item in items if item.quantity and not item.quantity.article), None)
    entries = tuple(
        replace(entry, subjects=subjects, on=now.date(), at=None, words=text, fields=_with_number(entry.fields, number)) for entry in context.last
    )
    return Meaning("log", entries=entries)


def _only_same(items: list[Item]) -> bool:
    """ "pebbles same", "larches 5 of the same", "Flint too": names and words for sameness alone."""
    words = [item.text for item in items if item.kind not in {"name", "number"}]
    return any(word in {"same", "too", "also", "likewise", "ditto", "the same", "as well"} for word in words) and all(word in SAME_WORDS for word in words)


def _with_number(fields: Mapping[str, Any], number: Quantity | None) -> dict[str, Any]:
    """The fields of the entry said again, with a new quantity where one was told."""
    return {**fields, "quantity": number.count()} if number is not None and ("quantity" in fields or "prey" in fields) else dict(fields)
