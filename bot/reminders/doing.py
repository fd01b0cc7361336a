"""What "done", "out" or "eaten" writes: the entries that the keeper would have told in words."""

from __future__ import annotations

from collections.abc import Sequence
from datetime import time
from typing import Any

from bot.conversation import amending
from bot.conversation.changes import changed
from bot.conversation.echo import entry_of
from bot.conversation.scene import Scene
from bot.conversation.writing import Origin, Written, add, refuse_viewers, subjects, write_entry
from bot.language.meaning import Entry
from bot.reminders.model import LEFTOVERS, LOOK_IN, Item, Point
from bot.reminders.points import EATEN, NOTHING_YET, OUT, TAKEN_OUT, WEBBING
from storage import journal
from storage.journal import NewEntry

_SIGNS = {OUT: "out", WEBBING: "webbing", NOTHING_YET: "hiding"}

_NEED_A_NUMBER = {
    "recount": "“{ward} 34 counted”",
    "count": "“{ward} 34 counted”",
    "measurement": "“{ward} body 13 mm”",
    "reading": "“{ward} 24 degrees, 60 %”",
}
"""Kinds of which "done" alone says nothing, with what to say in its stead."""

_NOT_TASKS = frozenset({LOOK_IN, LEFTOVERS, "size"})

_NOON = time(12)


def can_be_done(kind: str) -> bool:
    """Whether "all done" is about a kind of task."""
    return kind not in _NOT_TASKS


def point_of(item: Item) -> Point:
    """A task of the agenda as something that is answered."""
    return Point("task", item.key, item.ward, item.kind, item.on, item.text, None, item.plan, item.fields)


def write(scene: Scene, points: Sequence[Point], origin: Origin, items: Sequence[Item]) -> Written:
    """Write that tasks are done, one entry for each place and task; those that stand no longer by `items` are passed over."""
    standing = {item.key for item in items if item.stands}
    written = Written()
    for point in points:
        if point.key not in standing:
            continue
        if point.kind in _NEED_A_NUMBER:
            example = _NEED_A_NUMBER[point.kind].format(ward=point.ward)
            written += Written(remarks=(f"Not written: {point.text}, since it needs its number; say {example}.",))
        else:
            extra = {} if point.entry is None else {"plan": point.entry}
            written += write_entry(scene, _entry(scene, point), origin, extra=extra)
            scene = scene.refreshed()
    return written


def write_seen(scene: Scene, point: Point, choice: str, origin: Origin) -> Written:
    """Write what was seen on a look-in, or what became of live prey."""
    if point.sort == LOOK_IN:
        return write_entry(scene, _sighting(scene, point, choice), origin)
    outcome = {EATEN: "ate", TAKEN_OUT: "refused"}[choice]
    feeding = None if point.entry is None else journal.entry(scene.session, point.entry)
    written = Written()
    if feeding is not None and feeding.current:
        written += amending.rewrite(scene, feeding, changed(entry_of(scene, feeding), {"outcome": outcome}))
    if choice == TAKEN_OUT:
        written += write_entry(scene, Entry("cleaning", _who(point), scene.today, fields={"scope": "spot"}), origin)
    return written


def skip(scene: Scene, points: Sequence[Point], origin: Origin) -> None:
    """Write that tasks are let go this once: the next time counts from today."""
    refuse_viewers(scene)
    for point in points:
        fields: dict[str, Any] = {"of": point.kind} if point.entry is None else {"plan": point.entry}
        who = subjects(scene, _who(point))
        new = NewEntry("skip", "plan", scene.today, None, None, scene.collection.zone, fields, who, origin.words)
        add(scene, [new], origin)


def _entry(scene: Scene, point: Point) -> Entry:
    """The entry that says that a task is done today; one of nothing that the journal has a kind for is a note of its plan."""
    fields = {name: value for name, value in point.fields.items() if name not in _OF_PLANS}
    if point.kind in _NO_ENTRY:
        return Entry("note", _who(point), scene.today, words=f"done: {point.text}")
    return Entry(point.kind, _who(point), scene.today, fields=fields)


_NO_ENTRY = frozenset({"note", "check"})
"""Plans of these kinds are answered by an entry that names the plan: to have looked in is no sighting yet."""

_OF_PLANS = frozenset({"every_days", "of", "until", "text"})


def _sighting(scene: Scene, point: Point, choice: str) -> Entry:
    """A sighting of the evening that was asked about: the same evening, or after midnight and in the morning the night before."""
    evening = point.on is not None and point.on < scene.today and scene.local_now.time() < _NOON
    on = point.on if evening and (scene.today - (point.on or scene.today)).days == 1 else scene.today
    part = "night" if on != scene.today else None
    return Entry("observation", _who(point), on, part=part, fields={"signs": [_SIGNS[choice]]})


def _who(point: Point) -> tuple[str, ...]:
    return (point.ward,) if point.ward else ()
