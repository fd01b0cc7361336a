"""Clauses to drafts of entries: recognise the kinds, then settle subjects and days across the message."""

from __future__ import annotations

from dataclasses import replace
from typing import TYPE_CHECKING

from bot.language.drafts import Draft, Scope
from bot.language.kinds import RECOGNISERS, feeding_after
from bot.language.roster_index import PLAIN_HEADS
from bot.language.vocabulary import vocabulary

if TYPE_CHECKING:
    from bot.language.clauses import Clause
    from bot.language.items import Item

NEGATABLE = {"misting", "watering", "cleaning", "moult", "move", "count", "measurement", "reading", "death", "arrival", "departure", "pairing", "sac"}  # fmt: skip
ACT_VERBS = {"feed", "mist", "clean", "spotclean", "move", "count", "weigh", "measure", "offer", "water", "check", "split"}
NAME_LEADS = {"the", "my", "our", "up", "out", "on", "both", "just", "little", "old", "big"}


def drafts_of(clause: Clause, before: Draft | None, *, planned: bool = False) -> list[Draft]:
    """What one clause tells: drafts in the order they are recognised; an empty list where it tells nothing of care."""
    scope = Scope(clause, list(clause.items), before, planned)
    if before is not None and before.kind == "death" and _tells_cause(clause):
        before.fields.setdefault("cause", " ".join(item.raw for item in clause.items))
        return []
    negation = _negation(scope)
    if feeding_after(scope):
        if not any(item.sense("sign") or item.sense("verb") or item.thing() for item in scope.free if item.kind == "word"):
            return []
        before = scope.before
    did = _did_after_all(clause, before)
    if did is not None:
        return [did]
    drafts: list[Draft] = []
    for recognise in RECOGNISERS:
        made = recognise(scope)
        drafts += made
        if made:
            scope.before = made[-1]
    if negation is not None:
        drafts = [_denied(draft, negation) for draft in drafts]
        if not drafts and _did_not(clause, negation, before):
            drafts = [Draft("feeding", clause, list(clause.names)).put("outcome", "refused", negation)]
        if not drafts and _worth_noting(clause, negation):
            drafts = [Draft("note", clause, list(clause.names), negated=True)]
    for draft in drafts:
        draft.stranger = _stranger(clause) if not draft.names else ""
    return drafts


def _did_after_all(clause: Clause, before: Draft | None) -> Draft | None:
    """ "Forgot to mist A yesterday. I did it this morning": the act denied before is done; the denial goes."""
    if before is None or not before.was or clause.names or not (clause.plain("did", "done") and clause.plain("it", "that", "them", "now")) or clause.senses("negation"):
        return None
    kind, before.kind = before.was, ""
    return Draft(kind, clause, list(before.names))


def _tells_cause(clause: Clause) -> bool:
    """ "… dead. Found him curled up, looks dehydrated": looks of the dead are no sighting."""
    if clause.names or clause.numbers or clause.thing("exuvia"):
        return False
    acts = [item for item in clause.items if item.forms and not item.verb("see", "get", "check", "moult", "eat", "take")]
    return not acts and any(item.sense("sign") or item.sense("outcome") or item.text in {"looks", "looked", "dried", "think", "probably"} for item in clause.items)


def _negation(scope: Scope) -> Item | None:
    for item in scope.clause.items:
        if item.kind in {"name", "date", "number"} or not item.sense("negation") or item.sense("sign") or item.sense("outcome"):
            continue
        following = scope.clause.after(item)
        if item.text == "no" and following and following[0].text in {"wonder", "idea", "problem", "worries", "fuss", "drama"}:
            continue
        if item.text == "not" and following and following[0].text in {"only", "just", "sure", "bad", "much", "long", "too"}:
            continue
        return item
    return None


def _denied(draft: Draft, negation: Item) -> Draft:
    """An act that is denied is a note; a feeding that the animal did not take is a refusal already."""
    items = draft.clause.items
    made = [item for items_of in draft.made_by.values() for item in items_of if item in items]
    first = min((items.index(item) for item in made), default=0)
    if items.index(negation) > first and draft.kind != "feeding":
        follows = draft.clause.after(negation)
        if draft.kind in {"observation"} or not any(item in follows for item in made):
            return draft
    if draft.kind == "feeding" and (draft.fields.get("outcome") or items.index(negation) > first):
        keeper = draft.clause.verb("feed", "offer")
        if not (keeper and items.index(keeper) > items.index(negation)):
            return draft
    if draft.kind == "observation" and items.index(negation) > first:
        return draft
    return replace_kind(draft)


def replace_kind(draft: Draft) -> Draft:
    """The draft as a note: its words are kept, its act is not claimed."""
    return replace(draft, kind="note", was=draft.kind, fields={}, negated=True, missing=[], made_by={"kind": draft.made_by.get("kind", [])})


def _did_not(clause: Clause, negation: Item, before: Draft | None) -> bool:
    """ "june ate, penny didn't": the verb is the one told before."""
    lead = clause.before(negation)[-1:]
    return before is not None and before.kind == "feeding" and bool(clause.names) and bool(lead) and lead[0].text in {"did", "has", "would", "have"} and not clause.after(negation)


def _worth_noting(clause: Clause, negation: Item) -> bool:
    texts = set(clause.texts)
    if {"tell", "mention", "say", "write", "log", "note", "record", "enter"} & texts:
        return False
    return bool(clause.names) or bool({"deaths", "problems", "issues", "changes", "losses", "dead", "news", "change"} & texts) or negation.text in {"forgot", "forgot to", "skipped"}


def _stranger(clause: Clause) -> str:
    """A word where a name should be that nobody on the roster bears: after an act's verb, or before an animal's."""
    items = clause.items
    for position, item in enumerate(items):
        verb = item.sense("verb")
        if verb is None or item.kind != "word":
            continue
        if verb.value in ACT_VERBS:
            following = position + 1
            while following < len(items) and items[following].text in NAME_LEADS:
                following += 1
            if following < len(items) and is_strange(items[following]):
                return items[following].raw
        if verb.agent == "animal" and position and is_strange(items[position - 1]):
            return items[position - 1].raw
    return next((item.raw for item in items if _proper(item)), "")


def is_strange(item: Item) -> bool:
    """A word that is neither of the trade nor an everyday one."""
    return item.kind == "plain" and item.text.isalpha() and len(item.text) > 1 and item.text not in vocabulary().ordinary


def _proper(item: Item) -> bool:
    return is_strange(item) and item.raw[:1].isupper() and item.start > 0


def settle_subjects(drafts: list[Draft], focus: tuple[str, ...], said: list[Clause], cultures: dict[str, str]) -> None:
    """Give every draft its subjects: its own names, else those told before, else the next ones told, else the focus.

    `said` are all clauses of the message in order: a clause that tells nothing itself may still name whom the next is about.
    """
    told: tuple[str, ...] = ()
    doubt: Draft | None = None
    topics = _topics(said, drafts)
    for draft in drafts:
        told = topics.get(id(draft.clause), ()) or told
        culture = next((cultures[item.prey] for item in draft.clause.items if item.prey in cultures), None) if draft.kind == "arrival" else None
        if culture and not draft.names:
            draft.subjects, draft.stranger = (culture,), ""
            continue
        if draft.names and told and all(item.name and item.name.part and item.text in PLAIN_HEADS for item in draft.names):
            draft.subjects, draft.inherited = told, True  # "no sign of Holm. I wetted a corner of the drawer": Holm's drawer
        elif any(item.name and item.name.how == "unknown" for item in draft.names):
            draft.stranger = next(item.raw for item in draft.names if item.name and item.name.how == "unknown")
            draft.missing.append("subjects")
            doubt = draft
        elif draft.names:
            draft.subjects, draft.choices = _subjects(draft)
            if draft.choices and "to" not in draft.missing:
                draft.missing.append("subjects")
                doubt = draft
            told = draft.subjects or told
        elif doubt is not None and not draft.stranger:
            draft.missing.append("subjects")
            draft.choices = doubt.choices
        elif draft.stranger and _names_first(draft):
            draft.missing.append("subjects")
        elif told:
            draft.subjects, draft.inherited = told, True
    _from_behind(drafts)
    _from_next_clause(drafts, said)
    for draft in drafts:
        if not draft.subjects and "subjects" not in draft.missing:
            if focus and not draft.stranger:
                draft.subjects = focus
            else:
                draft.missing.append("subjects")


def _topics(said: list[Clause], drafts: list[Draft]) -> dict[int, tuple[str, ...]]:
    """For each clause, whom a clause before it names that tells nothing itself ("saff's fangs are still red but she took one")."""
    telling = {id(draft.clause) for draft in drafts}
    topics: dict[int, tuple[str, ...]] = {}
    topic: tuple[str, ...] = ()
    for clause in said:
        if id(clause) in telling:
            topic = () if clause.names else topic
        elif clause.names:
            subjects, doubt = _subjects(Draft("", clause, clause.names))
            topic = () if doubt else subjects
        topics[id(clause)] = topic
    return topics


def _names_first(draft: Draft) -> bool:
    return bool(draft.stranger)


def _subjects(draft: Draft) -> tuple[tuple[str, ...], tuple[str, ...]]:
    """Subjects of a draft's names, or the names to choose from where one fits several."""
    spans = [item.name for item in draft.names if item.name]
    if any(span.how == "either" for span in spans):
        settled = {subject for span in spans if span.how != "either" for subject in span.subjects}
        for span in spans:
            if span.how == "either" and len(settled & set(span.subjects)) != 1:
                return (), tuple(subject for subject in span.subjects if subject in settled) or span.subjects
        return tuple(subject for span in spans if span.how != "either" for subject in span.subjects), ()
    sets = [set(span.places or span.subjects) for span in spans]
    spans = [span for span, own in zip(spans, sets, strict=True) if not any(other < own for other in sets)]
    return tuple(dict.fromkeys(subject for span in spans for subject in span.subjects)), ()


def _from_behind(drafts: list[Draft]) -> None:
    following: tuple[str, ...] = ()
    for draft in reversed(drafts):
        if draft.subjects:
            following = draft.subjects
        elif following and "subjects" not in draft.missing and not draft.stranger:
            draft.subjects, draft.inherited = following, True


def _from_next_clause(drafts: list[Draft], said: list[Clause]) -> None:
    """ "removed the remains and two dead crickets from box 2": the place is named only in a clause that tells nothing."""
    for draft in drafts:
        if draft.subjects or "subjects" in draft.missing or draft.stranger:
            continue
        later = [clause for clause in said if clause.number == draft.clause.number and clause.items[0].start > draft.clause.items[0].start and clause.names]
        if later:
            draft.subjects, doubt = _subjects(Draft("", later[0], later[0].names))
            draft.inherited = not doubt


def narrow(draft: Draft, place_of: dict[str, str]) -> None:
    """ "Saffron in tub 4": one place said twice; of several names of one place, the first stays."""
    seen: set[str] = set()
    if draft.kind == "pairing":
        return
    kept = []
    for subject in draft.subjects:
        place = place_of.get(subject, subject)
        if place not in seen or len(draft.names) == 1:
            seen.add(place)
            kept.append(subject)
    draft.subjects = tuple(kept)


def settle_dates(drafts: list[Draft], clauses: list[Clause]) -> None:
    """Give every draft the date that holds for it: its own, one told before it, or one told at the end of its sentence."""
    held: Item | None = None
    leading = False
    sentence = -1
    dates: dict[int, Item | None] = {}
    for clause in clauses:
        if clause.number != sentence and not leading:
            held = None
        sentence = clause.number
        own = usable(clause)
        if own is None and clause.plain("now") and not clause.dates:
            held = None  # "sold 6 on tuesday, 34 in there now"
        if own is not None:
            held = own
            leading = _leads(clause, own)
        dates[id(clause)] = own or held
    made = {id(draft.clause): draft for draft in drafts}
    _told_after(clauses, dates, made)
    _back(clauses, dates, made)
    for draft in drafts:
        draft.date = dates.get(id(draft.clause)) or draft.date


def _month(item: Item) -> bool:
    return item.date is not None and item.date.on is not None and item.date.until is not None and (item.date.until - item.date.on).days > 20


def _no_day(clause: Clause, item: Item) -> bool:
    """ "this month" and "not seen in three days" tell a stretch, not the day of what is told."""
    words = item.text.lower()
    stretch = words.startswith(("this week", "this month", "this year", "this wk"))
    unseen = item.date is not None and bool(item.date.days) and words.startswith("in ") and any(other.text.startswith(("not", "no ", "have not", "has not", "did not")) for other in clause.items)
    within = item.date is not None and item.date.relation == "future" and item.date.at is not None and words.startswith("in ") and any(other.sense("outcome") for other in clause.items)
    return stretch or unseen or within


def usable(clause: Clause) -> Item | None:
    """The clause's date that says when: not a length of time, nor the end of one."""
    own = [item for item in clause.dates if item.date and not item.date.till and (item.date.on or item.date.vague or item.date.impossible or item.date.at or item.date.part)]
    own = [item for item in own if not _no_day(clause, item)]
    points = [item for item in own if item.date and not item.date.since and (item.date.vague or not (item.date.days and item.date.until))] or [item for item in own if item.date and item.date.on and not item.date.since and not item.date.days]
    if not points:
        return None
    if len(points) == 1:
        return points[0]
    return _together(points)


def _together(points: list[Item]) -> Item:
    """Two pieces told apart ("yesterday … at 9pm") are one date: the day of one, the time of the other."""
    day = next((item for item in points if item.date and item.date.on and not item.date.at), points[0])
    time = next((item for item in points if item.date and item is not day and (item.date.at or item.date.part)), None)
    if time is None or day.date is None or time.date is None:
        return points[0]
    return replace(day, date=replace(day.date, at=day.date.at or time.date.at, part=day.date.part or time.date.part))


def _leads(clause: Clause, date: Item) -> bool:
    """A date before everything else in its clause holds for what follows, over full stops too."""
    earlier = [item for item in clause.items if item.start < date.start]
    return all(item.kind == "mark" or item.sense("filler") or item.sense("chat") or (item.kind == "plain" and item.text in {"on", "from", "so", "this", "that", "the"}) for item in earlier) and not any(clause.joiner == word for word in ("and", ","))


def _back(clauses: list[Clause], dates: dict[int, Item | None], made: dict[int, Draft]) -> None:
    """ "fed A and misted B yesterday": a date at the end reaches back over clauses joined by "and"."""
    for earlier, later in reversed(list(zip(clauses, clauses[1:], strict=False))):
        if dates[id(earlier)] is not None or dates[id(later)] is None or earlier.number != later.number:
            continue
        own = usable(later)
        alike = made.get(id(earlier)) is not None and made.get(id(later)) is not None and _by_keeper(earlier) and _by_keeper(later)
        if own is not None and later.joiner in {"and", "&", "+", "then", ""} and alike and own.start > later.items[0].start:
            dates[id(earlier)] = dates[id(later)]


def _told_after(clauses: list[Clause], dates: dict[int, Item | None], made: dict[int, Draft]) -> None:
    """ "fed B, that was yesterday", "… can't remember which day": a date in a clause without an act belongs to the act before."""
    for earlier, later in zip(clauses, clauses[1:], strict=False):
        own = usable(later)
        alone = later.number == earlier.number or not any(clause.number == later.number and id(clause) in made for clause in clauses)
        if own is not None and alone and not _month(own) and id(later) not in made and id(earlier) in made and usable(earlier) is None and not later.names:
            dates[id(earlier)] = own


def _by_keeper(clause: Clause) -> bool:
    return any(sense.agent == "keeper" for item in clause.items for sense in item.senses if sense.category == "verb")


def merge(drafts: list[Draft], place_of: dict[str, str]) -> list[Draft]:
    """Join what is one sighting or one act: signs of the same places, notes, a value told after its word."""
    merged: list[Draft] = []
    for draft in drafts:
        twin = next((other for other in reversed(merged) if _same(other, draft, place_of)), None)
        again = next((other for other in merged if _said_again(other, draft, place_of)), None)
        if again is not None:
            continue
        if twin is None:
            merged.append(draft)
        elif draft.kind == "observation":
            twin.fields["signs"] = list(dict.fromkeys([*twin.fields["signs"], *draft.fields["signs"]]))
    return [draft for draft in merged if not _empty(draft, merged)]


def _said_again(one: Draft, two: Draft, place_of: dict[str, str]) -> bool:
    """The same act told once more, with nothing new ("put A in with B … I think they mated")."""
    places = [{place_of.get(subject, subject) for subject in draft.subjects} for draft in (one, two)]
    alike = one.kind == two.kind and places[0] == places[1] and two.inherited and one.kind not in {"feeding", "note", "measurement"}
    return alike and all(one.fields.get(name) == value for name, value in two.fields.items()) and (one.date is two.date or two.date is None)


def without_headings(drafts: list[Draft]) -> list[Draft]:
    """ "fed the mantids: Violet got two flies, Ghost three": a feeding that is told in detail right after is not one more."""
    kept = []
    for at, draft in enumerate(drafts):
        details = [other for other in drafts[at + 1 :] if other.kind == draft.kind and other.clause.number == draft.clause.number and other.fields]
        told_below = bool(details) and details[0].clause.joiner == ":" and not details[0].inherited
        heading = not draft.fields and told_below and (draft.kind == "feeding" or not draft.names)
        for other in details if heading else ():
            other.date = other.date or draft.date
        if not heading:
            kept.append(draft)
    return kept


def dated_by_headings(drafts: list[Draft]) -> None:
    """ "I weighed Clover and Sunny this morning. Clover was 62 g …": the values are of the day the weighing was told for."""
    for at, draft in enumerate(drafts):
        if draft.kind == "measurement" and "value" not in draft.fields:
            for other in drafts[at + 1 :]:
                if other.kind == "measurement":
                    other.date = usable(draft.clause)


def part_subsets(drafts: list[Draft]) -> None:
    """ "slings all got flies, cup 3 didn't touch any": those told apart are taken from the feeding of all, and share its prey."""
    for at, draft in enumerate(drafts):
        if draft.kind != "feeding" or draft.inherited or set(draft.fields) - {"outcome"} or "outcome" not in draft.fields:
            continue
        whole = next((other for other in drafts[:at] if other.kind == "feeding" and set(draft.subjects) < set(other.subjects)), None)
        if whole is None:
            continue
        whole.subjects = tuple(subject for subject in whole.subjects if subject not in draft.subjects)
        draft.fields = {name: value for name, value in whole.fields.items() if name != "outcome"} | draft.fields
        draft.date = draft.date or whole.date


def _same(one: Draft, two: Draft, place_of: dict[str, str]) -> bool:
    places = [{place_of.get(subject, subject) for subject in draft.subjects} for draft in (one, two)]
    if one.kind != two.kind or places[0] != places[1] or one.kind not in {"observation", "note"}:
        return False
    later = two.clause.plain("now") is not None and bool(one.clause.dates)  # "half an hour ago out, now digging"
    return one.kind == "note" or (_day(one) == _day(two) and not later)


def _day(draft: Draft) -> object:
    return draft.date.date.on if draft.date and draft.date.date else None


def _empty(draft: Draft, drafts: list[Draft]) -> bool:
    """A measurement without a value or a count without a number tells nothing yet."""
    if draft.kind == "count" and "count" not in draft.fields:
        return len(drafts) > 1
    return draft.kind == "measurement" and "value" not in draft.fields and len(drafts) > 1
