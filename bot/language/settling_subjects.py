"""Whom each draft is about: its own names, else those told before, else the next ones told, else the focus."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass, field
from typing import TYPE_CHECKING

from bot.language.drafts import Draft
from bot.language.roster_index import PLAIN_HEADS, RosterIndex
from bot.language.stores import at_home
from bot.language.those_meant import fewer_of, sets_of, so_many, the_others

if TYPE_CHECKING:
    from bot.language.clauses import Clause
    from bot.language.items import Item
    from bot.language.names import NameSpan

Subjects = tuple[str, ...]
SINGLE = ("she", "he", "it", "that")


def settle_subjects(drafts: list[Draft], focus: Subjects, said: list[Clause], index: RosterIndex) -> None:
    """Give every draft its subjects, or note that they are missing.

    `said` are all clauses of the message in order: one that tells nothing may still name whom the next is about.
    Prey that is bought is meant for the place where it is bred.
    """
    for draft in drafts:
        at_home(draft, index.cultures)
    drafts = [draft for draft in drafts if not draft.settled]
    _settle_in_order(drafts, _topics(said, drafts), Told(index, sets_of(said)))
    _from_behind(drafts)
    _from_later_clause(drafts, said)
    for draft in drafts:
        if not draft.subjects and "subjects" not in draft.missing:
            if focus and not draft.stranger:
                draft.subjects = focus
            else:
                draft.missing.append("subjects")


@dataclass(slots=True)
class Told:
    """Whom the message has told of so far, and the last draft of which it is in doubt whom it is about."""

    index: RosterIndex
    sets: list[Subjects]  # all that were named as several
    subjects: Subjects = ()
    doubt: Draft | None = None
    left_out: Subjects = ()  # of all those told of last, in the sentence of that number
    number: int = 0
    earlier: list[Subjects] = field(default_factory=list)  # whom the drafts before were about, each once


def _settle_in_order(drafts: list[Draft], topics: dict[int, Subjects], told: Told) -> None:
    for draft in drafts:
        told.subjects = topics.get(id(draft.clause), ()) or told.subjects
        culture = _culture_of(draft, told.index.cultures)
        if culture and not draft.names:
            draft.subjects, draft.stranger = (culture,), ""
        elif draft.names:
            _settle_named(draft, told)
        else:
            _settle_nameless(draft, told)
        if draft.subjects and draft.subjects not in told.earlier:
            told.earlier.append(draft.subjects)


def _culture_of(draft: Draft, cultures: Mapping[str, str]) -> str | None:
    """Where the prey that was bought is bred."""
    if draft.kind != "arrival":
        return None
    bred = (cultures.get(item.prey) for item in draft.clause.items if item.prey)
    return next((place for place in bred if place), None)


def _settle_named(draft: Draft, told: Told) -> None:
    unknown = next((item.raw for item in draft.names if item.name and item.name.how == "unknown"), None)
    told.left_out = tuple(name for item in draft.names if item.name for name in item.name.without)
    told.number = draft.clause.number
    if told.subjects and all(_is_plain_part(item) for item in draft.names):
        draft.subjects, draft.inherited = told.subjects, True
    elif unknown is not None:
        draft.stranger, draft.beside = unknown, _beside(draft)
        draft.missing.append("subjects")
        told.doubt = draft
    else:
        draft.subjects, draft.choices = subjects_of(draft.names)
        draft.subjects = fewer_of(draft, told.earlier, told.index.place_of) or draft.subjects
        if draft.choices and "to" not in draft.missing:
            draft.beside = _beside(draft)
            draft.missing.append("subjects")
            told.doubt = draft
        told.subjects = draft.subjects or told.subjects


def _beside(draft: Draft) -> Subjects:
    return tuple(subject for item in draft.names if item.name for subject in item.name.beside)


def _is_plain_part(item: Item) -> bool:
    """Whether "the drawer" after "no sign of Holm" is Holm's: one plain word of a longer name."""
    return item.name is not None and item.name.part and item.text in PLAIN_HEADS


def _settle_nameless(draft: Draft, told: Told) -> None:
    if draft.stranger:
        draft.missing.append("subjects")
    elif told.doubt is not None:
        draft.missing.append("subjects")
        draft.choices, draft.beside = told.doubt.choices, told.doubt.beside
    elif told.subjects:
        draft.inherited = True
        draft.subjects = (
            _left_out(draft, told)
            or so_many(draft.clause, told.earlier, told.index.place_of)
            or the_others(draft, told.subjects, [*told.sets, *told.earlier], told.index)
            or told.subjects
        )


def _left_out(draft: Draft, told: Told) -> Subjects:
    """Those left out of all, where it is said right after how they are: "fed everyone except Mabel, she is in premoult"."""
    seen = draft.kind in {"observation", "moult", "note"} or draft.fields.get("outcome") == "refused"
    apart = (
        draft.clause.texts[:2] == ["that", "one"] or draft.clause.plain("instead", "theirs", "hers", "his") is not None
    )
    seen = seen or apart  # "… they got a light mist instead"
    of_all = draft.clause.plain("all", "everyone", "others", "rest", "both") is not None
    near = draft.clause.number == told.number or draft.clause.plain(*SINGLE) is not None
    return told.left_out if seen and near and not of_all else ()


def _topics(said: list[Clause], drafts: list[Draft]) -> dict[int, Subjects]:
    """For each clause, whom one before it names that tells nothing ("saff's fangs are still red but she took one")."""
    telling = {id(draft.clause) for draft in drafts}
    topics: dict[int, Subjects] = {}
    topic: Subjects = ()
    for clause in said:
        if id(clause) in telling:
            topic = () if clause.names else topic
        elif clause.names:
            subjects, doubt = subjects_of(clause.names)
            topic = () if doubt else subjects
        topics[id(clause)] = topic
    return topics


def subjects_of(names: list[Item]) -> tuple[Subjects, Subjects]:
    """Subjects of some names, or the names to choose from where one fits several."""
    spans = [item.name for item in names if item.name]
    sure = [span for span in spans if span.how != "either"]
    if len(sure) < len(spans):
        choices = _choices(spans, {subject for span in sure for subject in span.subjects})
        return ((), choices) if choices else (_flat(sure), ())
    places = [set(span.places or span.subjects) for span in spans]
    own = [span for span, held in zip(spans, places, strict=True) if not any(other < held for other in places)]
    return tuple(dict.fromkeys(_flat(own))), ()


def _flat(spans: list[NameSpan]) -> Subjects:
    return tuple(subject for span in spans for subject in span.subjects)


def _choices(spans: list[NameSpan], settled: set[str]) -> Subjects:
    """The names to choose from, unless another name of the clause settles which one is meant."""
    for span in spans:
        if span.how == "either" and len(settled & set(span.subjects)) != 1:
            return tuple(subject for subject in span.subjects if subject in settled) or span.subjects
    return ()


def _from_behind(drafts: list[Draft]) -> None:
    """A draft without subjects is about those told next."""
    following: Subjects = ()
    for draft in reversed(drafts):
        if draft.subjects:
            following = draft.subjects
        elif following and "subjects" not in draft.missing and not draft.stranger:
            draft.subjects, draft.inherited = following, True


def _from_later_clause(drafts: list[Draft], said: list[Clause]) -> None:
    """The place named in a later clause that tells nothing: "removed the remains and two dead crickets from box 2"."""
    for draft in drafts:
        if draft.subjects or "subjects" in draft.missing or draft.stranger:
            continue
        later = next((clause for clause in said if clause.names and _comes_after(clause, draft.clause)), None)
        if later is not None:
            draft.subjects, doubt = subjects_of(later.names)
            draft.inherited = not doubt


def _comes_after(later: Clause, clause: Clause) -> bool:
    return later.number == clause.number and later.items[0].start > clause.items[0].start


def narrow(draft: Draft, place_of: Mapping[str, str]) -> None:
    """Keep the first of several names of one place ("Saffron in tub 4"); a pairing keeps both."""
    if draft.kind == "pairing" or len(draft.names) == 1:
        return
    first: dict[str, str] = {}
    for subject in draft.subjects:
        first.setdefault(place_of.get(subject, subject), subject)
    draft.subjects = tuple(first.values())
