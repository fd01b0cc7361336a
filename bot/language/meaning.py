"""What a message means: the values that reading text yields and the rest of the house uses.

`Meaning` is the parse of one message. Its intent is one of
    log      entries: something was done or seen
    ask      ask: the keeper wants an answer
    plan     plans: something to come
    amend    amend: changes or takes back what was logged just before
    unclear  missing and question: it must ask before it may write; `entries`/`plans` hold what it has so far
    setup    setup: the roster or the vocabulary is changed by talking
    chat     nothing to do with the collection
"""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass, field
from datetime import date, time
from typing import Any

Fields = Mapping[str, Any]
"""An entry's own fields as the parse contract names them: quantity [low, high], prey, outcome, to, signs, …"""


@dataclass(frozen=True, slots=True)
class Entry:
    """One dated act or sighting. `subjects` are roster names; `on` None means: the day is in doubt.

    `beside` are those named for sure beside one who is in doubt; whoever that turns out to be comes on top.
    """

    kind: str
    subjects: tuple[str, ...]
    on: date | None
    at: time | None = None
    part: str | None = None
    fields: Fields = field(default_factory=dict)
    words: str = ""
    beside: tuple[str, ...] = ()


@dataclass(frozen=True, slots=True)
class Plan:
    """Something to come: a task for one day or a repeating one, `kind` as for entries, or `check`; or how to keep them.

    kind     what it lays down
    stop     no reminders, `of` a kind or of none at all, until `on`
    skip     a task, `of` a kind or of those that are due, let go this once
    rule     `fields`: humidity_pct or temperature_c [low, high], settling_days, look_in_days, back (to the care sheet),
             resume (reminders again, with `task` those of one kind)
    away     the keeper is away: `fields` since and until, ISO days

    A task's `fields` are those of the entry that it calls for (amount, scope, measure); `beside` is as for an entry.
    """

    kind: str
    subjects: tuple[str, ...]
    on: date | None = None
    at: time | None = None
    part: str | None = None
    every_days: float | None = None
    to: str | None = None
    of: str | None = None
    words: str = ""
    fields: Fields = field(default_factory=dict)
    beside: tuple[str, ...] = ()


@dataclass(frozen=True, slots=True)
class Ask:
    """A question. `about` is last, did, who, due, next, history, headcount, size, feeders, climate, why, day, sheet or help.

    `sheet` asks for the care sheet that holds (`handover`, among those of the reckoning, for the one for whoever takes it over), `day` ("what did I do yesterday") carries since and until; `help` is "what can you do".
    Questions of the reckoning (`bot.language.ask_special`) have names of their own, and may carry `fields`.
    """

    about: str
    kind: str | None = None
    subjects: tuple[str, ...] = ()
    since: date | None = None
    until: date | None = None
    days: int | None = None
    overdue: bool = False  # of what is due, only what is late
    fields: Fields = field(default_factory=dict)


@dataclass(frozen=True, slots=True)
class Amend:
    """`action` is retract or change; `changes` holds entry fields, dates as `date`, subjects as a tuple of names.

    `of` names whose entry is meant, where several were written and the correction says it ("no, D was 5").
    """

    action: str
    changes: Fields = field(default_factory=dict)
    of: tuple[str, ...] = ()


@dataclass(frozen=True, slots=True)
class Setup:
    """A change of roster or vocabulary by talking.

    action       fields
    add          name, kind (group|animal), species?, count? [low, high], enclosure?, parent?, tags? tuple
    add_place    name, tags?, size_cm? (width, depth, height)
    rename       name, to
    size         name, size_cm
    close        name
    tag          name, tags
    alias        phrase, name          ("the shy ones is group B")
    teach        phrase, means         ("RR means red runner roach")
    forget       phrase
    zone         zone                  (an IANA name)
    """

    action: str
    fields: Fields = field(default_factory=dict)


@dataclass(frozen=True, slots=True)
class Choice:
    """One way to settle a question: what the keeper reads, and what it changes in every entry and plan in doubt."""

    label: str
    changes: Fields


@dataclass(frozen=True, slots=True)
class Evidence:
    """Which words made which field: `where` is entries.0.prey and the like, start and end count characters."""

    where: str
    words: str
    start: int
    end: int


@dataclass(frozen=True, slots=True)
class Meaning:
    """The reading of one message, with its evidence and the readings that came next."""

    intent: str
    entries: tuple[Entry, ...] = ()
    plans: tuple[Plan, ...] = ()
    ask: Ask | None = None
    amend: Amend | None = None
    setup: Setup | None = None
    missing: tuple[str, ...] = ()
    question: str = ""
    choices: tuple[Choice, ...] = ()
    score: float = 1.0
    evidence: tuple[Evidence, ...] = ()
    runners_up: tuple[Meaning, ...] = ()


@dataclass(frozen=True, slots=True)
class Context:
    """What a member's message may lean on: roster names last talked of, and the entries last written by that member.

    Both are empty unless at most 15 minutes old and unmistakable; the caller sees to that.
    """

    focus: tuple[str, ...] = ()
    last: tuple[Entry, ...] = ()
