"""Reading a message: tag it, part it, and read each clause by its mood."""

from __future__ import annotations

from dataclasses import replace
from typing import TYPE_CHECKING

from bot.language.amending import read_change, read_retraction, takes_back
from bot.language.ask_special import asked_outright
from bot.language.clauses import Clause, Sentence, clauses, sentences
from bot.language.composing import compose
from bot.language.evidence import with_evidence
from bot.language.going_on import only_day, only_names, second_day
from bot.language.items import tag
from bot.language.meaning import Amend, Context, Meaning
from bot.language.meters import SALT_WORDS, add_meters, check_in, checks_told, leads_to_check, on_meter, placed
from bot.language.moods import mood_of
from bot.language.named_elsewhere import leaves_place_open
from bot.language.planning import adds_to, kind_named, plans_of, stop_of
from bot.language.prefaces import as_meant, is_doubted
from bot.language.reading import Message, Reading
from bot.language.refine import refine
from bot.language.refine.headed_values import units_headed, with_headed_units, with_shared_warmth
from bot.language.refine.labels_told import Places, places_named
from bot.language.refine.meters import meter_of
from bot.language.ruling import ruling
from bot.language.setting_up import read_setup
from bot.language.stores import stock_told
from bot.language.telling import keep_remarks, tell

if TYPE_CHECKING:
    from datetime import datetime

    from bot.language.drafts import Draft
    from bot.language.items import Item, Tagged
    from bot.language.planning import PlanDraft
    from bot.language.roster import Roster

LONGEST = 4000  # characters; a longer text is no message about care
LOOSE_REPAIRS = {"wait", "actually", "no", "sorry", "oops"}
STARTING_ANEW = ("scratch", "scrap", "correction", "a lie", "rephrase", "start again")
"""What a word for repairs has in it that takes back the sentence before."""

EXCEPTING = "except"
LEAVING_OUT = {"not", "skipped", "skipping", "except"}
REPAIR_SMALL_WORDS = {"i", "it", "was", "the", "in", "on"}


def read(text: str, now: datetime, roster: Roster, context: Context | None = None) -> Meaning:
    """The meaning of one message.

    `now` is the keeper's local clock, naive. A message that tells nothing is `chat`; one that is too doubtful to write
    is `unclear`. Never raises for any text.
    """
    if len(text) > LONGEST or not text.strip():
        return Meaning("chat", score=0.0)
    retraction = read_retraction(text)
    if retraction is not None:
        return Meaning("amend", amend=retraction)
    setup = read_setup(text, roster)
    if setup is not None:
        return setup
    tagged = tag(text, now, roster)
    if takes_back(tagged):
        return Meaning("amend", amend=Amend("retract"))
    reading = _reading(tagged)
    last = context.last if context is not None else ()
    change, made = read_change(tagged, acts=reading.tells_act, last=last) if not reading.doubted else (None, [])
    if change is not None:
        return with_evidence(Meaning("amend", amend=change), [(f"amend.{name}", item) for name, item in made], text)
    return compose(Message(tagged, now, roster, context or Context()), reading)


def _reading(tagged: Tagged) -> Reading:
    reading = Reading()
    parts = [as_meant(part, tagged.text) for part in _joined(sentences(tagged))]
    said = _refined(parts, tagged)
    for number, sentence in enumerate(said):
        if _tells_of_meters(said, number, reading):
            continue
        before = len(reading.drafts)
        doubted = sentence.end != "?" and is_doubted(sentence, tagged.text)
        reading.doubted = reading.doubted or doubted
        _read_sentence(clauses(sentence, number), sentence, reading, doubted=doubted)
        add_meters(sentence.items, reading.drafts[before:])
        if _starts_anew(parts[number]):
            reading.replace_last(before)
    keep_remarks(reading)
    return reading


def _refined(parts: list[Sentence], tagged: Tagged) -> list[Sentence]:
    """The sentences with their items settled, values under a heading with its units."""
    units: tuple[str, ...] = ()
    said: list[Sentence] = []
    told: Places = frozenset()
    for part in parts:
        items = refine(list(part.items), tagged.index, told)
        told |= places_named(items, tagged.index)
        units = units_headed(items, units)
        said.append(replace(part, items=tuple(with_shared_warmth(with_headed_units(items, units)))))
    return said


def _tells_of_meters(said: list[Sentence], number: int, reading: Reading) -> bool:
    """Whether a sentence only tells of a meter: checked over salt, or put in a place; then that is added."""
    if not any(meter_of(item) or item.text in SALT_WORDS for item in said[number].items):
        return False
    drafts = placed(said[number], number) or checks_told(said, number)
    if drafts or leads_to_check(said, number):
        _add_settled(drafts, reading)
        return True
    note = on_meter(said[number], number) if any(meter_of(item) for item in said[number].items) else None
    _add_settled([note] if note is not None else [], reading)
    return note is not None


def _add_settled(drafts: list[Draft], reading: Reading) -> None:
    reading.drafts += drafts
    reading.told += [draft.clause for draft in drafts[:1]]
    reading.said += [draft.clause for draft in drafts[:1]]


def _joined(found: list[Sentence]) -> list[Sentence]:
    """A sentence that takes back a piece of the one before ("… no wait, tub 3") belongs to it."""
    joined: list[Sentence] = []
    for sentence in found:
        if joined and _excepts(sentence, joined[-1]):
            joined[-1] = Sentence(
                (
                    *joined[-1].items,
                    replace(sentence.items[0], kind="plain", text=EXCEPTING, senses=()),
                    *sentence.items[1:],
                ),
                sentence.end,
            )
        elif joined and _goes_on_under_heading(sentence, joined[-1]):
            comma = replace(sentence.items[0], kind="mark", text=",", raw=",", senses=(), name=None)
            before = joined[-1]
            opens = before.items[-1].text == ":"
            joined[-1] = replace(before, items=(*before.items, *([] if opens else [comma]), *sentence.items))
        elif joined and len(sentence.items) < 8 and _repairs(sentence):
            joined[-1] = Sentence((*joined[-1].items, *sentence.items), sentence.end)
        else:
            joined.append(sentence)
    return joined


def _goes_on_under_heading(sentence: Sentence, before: Sentence) -> bool:
    """Whether a line of nothing but names goes on with the list under a heading such as "Misted:"."""
    heading = next((at for at, item in enumerate(before.items) if item.text == ":"), None)
    if heading is None or before.end != "\n" or any(item.kind == "name" for item in before.items[:heading]):
        return False
    if heading == len(before.items) - 1 == 1 and before.items[0].sense("verb") is not None:
        return True  # "Fed:" over its lines
    return all(
        item.kind == "name" or item.text in {",", "and"} for item in (*before.items[heading + 1 :], *sentence.items)
    )


def _excepts(sentence: Sentence, before: Sentence) -> bool:
    """Whether a sentence only takes some away from the many told before it: "misted all colonies. not B though"."""
    rest = [
        item
        for item in sentence.items[1:]
        if item.kind != "mark" and item.text not in REPAIR_SMALL_WORDS | {"though", "mind"}
    ]
    many = any(item.name is not None and len(item.name.subjects) > 1 for item in before.items)
    return sentence.items[0].text in LEAVING_OUT and many and bool(rest) and all(item.kind == "name" for item in rest)


def _repairs(sentence: Sentence) -> bool:
    first = sentence.items[0]
    if first.kind != "word" or first.sense("repair") is None:
        return False
    return first.text not in LOOSE_REPAIRS or _is_one_piece(sentence)


def _starts_anew(sentence: Sentence) -> bool:
    """Whether a sentence takes back what the one before told: "two dead in B. Scratch that, one dead"."""
    first = sentence.items[0]
    return first.sense("repair") is not None and any(words in first.text for words in STARTING_ANEW)


def _is_one_piece(sentence: Sentence) -> bool:
    """Whether there is nothing but repair words and one name, number or day: "No, sorry, A2."."""
    rest = [item for item in sentence.items if not _is_repair_word(item)]
    return len(rest) == 1 and rest[0].kind in {"name", "number", "date"}


def _is_repair_word(item: Item) -> bool:
    if item.kind == "mark" or item.text in REPAIR_SMALL_WORDS:
        return True
    return bool(item.sense("repair") or item.sense("filler"))


def _read_sentence(parts: list[Clause], sentence: Sentence, reading: Reading, *, doubted: bool) -> None:
    mood, end = "log", sentence.end
    reading.said += parts
    if asked_outright([item for clause in parts for item in clause.items]):
        reading.asked += parts
        return
    for position, clause in enumerate(parts):
        doubted = doubted and not clause.joiner
        if doubted:
            _wish(parts[: position + 1], reading)
            continue
        if only_day(clause) and any(second_day(following) for following in parts[position + 1 : position + 2]):
            reading.days = [*reading.days, clause]
            continue
        opened = sentence.asks and position == 0
        mood = "ask" if opened else mood_of(clause, mood, end, last=position == len(parts) - 1)
        if mood == "ask":
            _ask(parts[: position + 1], end, reading)
        elif mood in {"plan", "stop"}:
            _plan(clause, mood, reading)
        elif mood == "wish":
            _wish(parts[: position + 1], reading)
        elif not _tells_of_stock(parts, position, reading):
            tell(clause, reading)


def _tells_of_stock(parts: list[Clause], position: int, reading: Reading) -> bool:
    """Whether a clause is about the feeders in stock, or a meter over salt; then what it says of them is added."""
    clause, lead = parts[position], parts[position - 1] if position else None
    drafts = check_in(clause) or stock_told(clause, parts[position + 1 :], reading.last, lead)
    reading.drafts += drafts
    reading.told += [clause] if drafts else []
    return bool(drafts)


def _ask(parts: list[Clause], end: str, reading: Reading) -> None:
    """The last part asks; where it is a question word alone, all of the sentence before it is asked."""
    *before, clause = parts
    nobody = not any(draft.names for draft in reading.drafts)
    if not reading.asked and (end == "?" or nobody) and reading.drafts and _bare_question(clause):
        reading.drafts = [draft for draft in reading.drafts if draft.clause not in before]
        reading.told = [told for told in reading.told if told not in before]
        reading.asked += before
    elif before and not clause.names and only_names(before[-1]) and before[-1] not in reading.asked:
        reading.told = [told for told in reading.told if told is not before[-1]]
        reading.asked.append(before[-1])  # "clover, how big now?"
    reading.asked.append(clause)


def _bare_question(clause: Clause) -> bool:
    """Whether the question word stands alone, and what it asks stands before it: "mungo's next feed, when?"."""
    if not clause.names and len(clause.items) <= 2:
        return True
    return all(item.sense("question") or item.kind in {"mark", "date"} for item in clause.items)


def _wish(parts: list[Clause], reading: Reading) -> None:
    """The last part wishes; a part before it that told nothing belongs to the wish."""
    clause = parts[-1]
    if leaves_place_open(clause, reading):
        return
    reading.wished.append(clause)
    lead = parts[-2] if len(parts) > 1 else None
    if lead is not None and lead in reading.told and reading.told_nothing(lead):
        reading.wished.insert(0, lead)


def _plan(clause: Clause, mood: str, reading: Reading) -> None:
    if mood == "stop":
        if not reading.plans or kind_named(clause) or only_names(clause):
            reading.plans.append(stop_of(clause))
        return
    before = _plan_before(clause, reading)
    if before is not None and adds_to(before, clause):
        return
    if before is None or ruling(clause) or not _adds_nothing(clause):
        reading.plans += plans_of(clause, before, reading.last)


def _plan_before(clause: Clause, reading: Reading) -> PlanDraft | None:
    """The plan a clause may go on with: of its own sentence, or of any where it has a name and a repeat."""
    last = reading.plans[-1] if reading.plans else None
    repeats = bool(clause.names) and any(item.date and item.date.recur for item in clause.dates)
    return last if last is not None and (last.clause.number == clause.number or repeats) else None


def _adds_nothing(clause: Clause) -> bool:
    """Whether a clause after a plan has no name, no day and no act, or only small words."""
    empty = not clause.names and not clause.dates
    if empty and (kind_named(clause) is None or clause.plain("list") is not None):
        return True
    words = (item for item in clause.items if not item.sense("filler") and not item.sense("plan"))
    return not any(item.kind in {"name", "date", "word"} for item in words)
