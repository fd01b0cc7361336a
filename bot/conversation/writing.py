"""What was read becomes journal entries, and what a move brings about on the roster."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import dataclass, replace
from datetime import date
from typing import Any

from bot.conversation.echo import INTERNAL
from bot.conversation.effects import end_joined
from bot.conversation.limits import check_entry, check_plan
from bot.conversation.moves import Route, find_route
from bot.conversation.scene import Scene
from bot.errors import ReadOnly, Refusal
from bot.language.meaning import Entry, Meaning, Plan
from bot.wording import join_names, say_range
from storage import roster
from storage.journal import EntryRow, NewEntry, Subject, append
from storage.journal import entry as stored_entry

VIEWER = "viewer"


@dataclass(frozen=True, slots=True)
class Origin:
    """The message that entries belong to: its inbox id, and its words."""

    message_id: int
    words: str


@dataclass(frozen=True, slots=True)
class Written:
    """The ids of the entries written, in order, and what else the keeper is told, a sentence each."""

    ids: tuple[int, ...] = ()
    remarks: tuple[str, ...] = ()

    def __add__(self, other: Written) -> Written:
        return Written(self.ids + other.ids, self.remarks + other.remarks)

    def rows(self, scene: Scene) -> list[EntryRow]:
        """The entries written, as they stand in the journal."""
        return [stored_entry(scene.session, entry_id) for entry_id in self.ids]


def refuse_viewers(scene: Scene) -> None:
    """Raise ReadOnly for a member who may only ask."""
    if scene.member.role == VIEWER:
        raise ReadOnly


def write(scene: Scene, meaning: Meaning, origin: Origin, supersedes: Sequence[int | None] = ()) -> Written:
    """Write the entries and plans of a Meaning, in order, each superseding the entry at its place in `supersedes`.

    Raises Refusal for what cannot be: then nothing at all of the message is written.
    """
    refuse_viewers(scene)
    written = Written()
    items: list[Entry | Plan] = [*meaning.entries, *meaning.plans]
    for place, item in enumerate(items):
        old = supersedes[place] if place < len(supersedes) else None
        if isinstance(item, Plan) and item.kind == "skip":
            from bot.reminders import skipping  # noqa: PLC0415 - few messages let anything go, and only those pay for it

            written += skipping.write_skip(scene, item, origin, old)
        elif isinstance(item, Plan):
            written += _write_plan(scene, item, origin, old)
        else:
            written += write_entry(scene, item, origin, old)
            if item.kind == "move":
                scene = scene.refreshed()
    return written


def write_entry(
    scene: Scene, entry: Entry, origin: Origin, supersedes: int | None = None, extra: Mapping[str, Any] | None = None
) -> Written:
    """Write one entry; `extra` are fields for the journal's own reckoning."""
    entry = replace(entry, words=entry.words or origin.words)
    check_entry(entry, scene.today)
    subjects(scene, entry.subjects)
    fields = {name: value for name, value in entry.fields.items() if name not in INTERNAL} | dict(extra or {})
    if entry.kind == "move":
        return _write_move(scene, replace(entry, fields=fields), find_route(scene, entry), origin, supersedes)
    [entry_id] = add(scene, [_log(scene, entry, fields)], origin, [supersedes])
    return Written((entry_id,), (*_offers(scene, entry), *_beside(scene, entry, entry_id)))


def write_note(scene: Scene, words: str, message_id: int, on: date | None = None) -> Written:
    """Keep words as a note of a day, today if none is given."""
    refuse_viewers(scene)
    note = Entry("note", (), on or scene.today, words=words)
    return Written(tuple(add(scene, [_log(scene, note, {})], Origin(message_id, words))))


def add(
    scene: Scene, entries: Sequence[NewEntry], origin: Origin, supersedes: Sequence[int | None] | None = None
) -> list[int]:
    """Append entries to the journal in the name of the scene's member; their ids."""
    return append(
        scene.session, scene.collection.id, scene.member.id, origin.message_id, scene.now, entries, supersedes
    )


def subjects(scene: Scene, names: Sequence[str]) -> tuple[Subject, ...]:
    """What roster names stand for, in order. Raises Refusal for a name that is not on the roster."""
    found = [(name, scene.names.subject(name)) for name in names]
    unknown = [name for name, subject in found if subject is None]
    if unknown:
        raise Refusal(f"There is no {join_names(unknown)} on the roster, so nothing was written.")
    return tuple(dict.fromkeys(subject for _, subject in found if subject is not None))


def _log(scene: Scene, entry: Entry, fields: Mapping[str, Any], who: tuple[Subject, ...] | None = None) -> NewEntry:
    return NewEntry(
        kind=entry.kind,
        mood="log",
        on=entry.on,
        at=entry.at,
        part=entry.part,
        zone=scene.collection.zone,
        fields=dict(fields),
        subjects=subjects(scene, entry.subjects) if who is None else who,
        words=entry.words,
    )


def _write_plan(scene: Scene, plan: Plan, origin: Origin, supersedes: int | None) -> Written:
    check_plan(plan, scene.today)
    fields = {"every_days": plan.every_days, "to": plan.to, "of": plan.of, **plan.fields}
    new = NewEntry(
        kind=plan.kind,
        mood="plan",
        on=plan.on,
        at=plan.at,
        part=plan.part,
        zone=scene.collection.zone,
        fields={name: value for name, value in fields.items() if value is not None},
        subjects=subjects(scene, plan.subjects),
        words=plan.words or origin.words,
    )
    return Written(tuple(add(scene, [new], origin, [supersedes])))


def _write_move(scene: Scene, entry: Entry, route: Route, origin: Origin, supersedes: int | None) -> Written:
    """Write a move and make what it calls for: a new place, a group split off, the end of a group that joined another."""
    fields = dict(entry.fields)
    place_id = None if route.place is None else route.place.id
    if route.new_place is not None:
        place_id = roster.add_enclosure(
            scene.session, scene.collection.id, route.new_place, opened_on=entry.on, cause=scene.cause
        )
        fields |= {"to": route.new_place, "made_place": True}
    if place_id is not None:
        fields["to_enclosure_id"] = place_id
    remarks = _about_place(scene, route)
    if route.is_part:
        added, remark = _part_off(scene, route, fields)
        fields |= added
        remarks += (remark,)
    elif route.joins and route.host is not None:
        fields |= {"to": fields.get("to", route.host.name), "new_occupant_id": route.host.id, "joined": True}
        remarks += (f"{_names(route)} joined {route.host.name} and is kept on under that name.",)
    who = tuple(Subject(occupant_id=row.id) for row in route.movers)
    [entry_id] = add(scene, [_log(scene, entry, fields, who)], origin, [supersedes])
    _keep_lineage(scene, entry, route, fields, origin.message_id, entry_id)
    return Written((entry_id,), remarks)


def _about_place(scene: Scene, route: Route) -> tuple[str, ...]:
    """What the keeper should know of where a move leads: that the place is new, who lives there, or that it is none."""
    if route.new_place is not None:
        return (f"{route.new_place} was not on the roster; it is now.",)
    if route.place is None and route.is_part:
        return ()
    if route.place is None:
        stays = "stays" if len(route.movers) == 1 else "stay"
        return (f"On the roster {_names(route)} {stays} in place: the move names no enclosure.",)
    others = [row.name for row in scene.names.living_in(route.place.id) if row not in route.movers]
    if not others or route.joins or (route.is_part and route.host is not None):
        return ()
    return (f"{join_names(others)} {'lives' if len(others) == 1 else 'live'} in {route.place.name} too.",)


def _part_off(scene: Scene, route: Route, fields: Mapping[str, Any]) -> tuple[dict[str, Any], str]:
    """The fields and the sentence of a part that leaves its group: for a group of its own, or for the group it joins."""
    mother, count = route.movers[0], fields["count"]
    if route.host is not None and route.host.kind == "group":
        joined = {"part_of_group": True, "new_occupant_id": route.host.id, "joined": True}
        return joined, f"{say_range(count)} of {mother.name} are with {route.host.name} now."
    name = scene.names.offshoot(mother.name)
    made = roster.add_occupant(
        scene.session,
        scene.collection.id,
        name,
        mother.kind,
        species=mother.species,
        count=count[0] if count[0] == count[1] else None,
        cause=scene.cause,
    )
    where = route.new_place or (route.place.name if route.place else None)
    lives = f"in {where}" if where else "in no place yet"
    remark = f"New on the roster: {name}, {say_range(count)} {lives}. “rename {name} to …” calls it otherwise."
    return {"part_of_group": True, "new_occupant_id": made}, remark


def _keep_lineage(
    scene: Scene, entry: Entry, route: Route, fields: Mapping[str, Any], message_id: int, entry_id: int
) -> None:
    """Write down which group came of which, and end a group that went into another as a whole."""
    other = fields.get("new_occupant_id")
    if other is None:
        return
    for mover in route.movers:
        roster.add_lineage(
            scene.session, other, mover.id, "join" if fields.get("joined") else "split", entry_id, entry.on
        )
    if fields.get("joined") and not fields.get("part_of_group"):
        end_joined(scene, stored_entry(scene.session, entry_id), message_id)


def _offers(scene: Scene, entry: Entry) -> tuple[str, ...]:
    """What the keeper may want to say next."""
    name = entry.subjects[0] if entry.subjects else ""
    if entry.kind == "sac" and entry.fields.get("stage") == "hatched":
        number = entry.fields.get("number")
        heads = f", {say_range(number)}" if number else ""
        return (f"To put the brood on the roster: “add brood NAME{heads} from {name}, in PLACE”.",)
    animal = scene.names.animal(name)
    if entry.kind in ("death", "departure") and animal is not None and animal.kind == "animal":
        return (f"{animal.name} stays on the roster until you say “close {animal.name}”.",)
    return ()


def _beside(scene: Scene, entry: Entry, entry_id: int) -> list[str]:
    """What a meter's check makes of a reading, and what is known of feeders in stock."""
    if "humidity_pct" not in entry.fields and not entry.fields.keys() & {"salt", "stock"}:
        return []
    from bot.conversation import beside  # noqa: PLC0415 - most messages tell neither, and only those pay for it

    return beside.said_of(scene, stored_entry(scene.session, entry_id))


def _names(route: Route) -> str:
    return join_names([row.name for row in route.movers])
