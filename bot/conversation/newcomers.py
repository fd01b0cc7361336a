"""A group or an animal put on the roster: what it is, how many, where it lives, and whose brood it is."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from typing import Any

from bot.conversation.limits import check_numbers, clean_name
from bot.conversation.scene import Scene
from bot.conversation.writing import Origin, add
from bot.errors import Refusal
from bot.wording import join_names, say_range, sentence
from storage import roster, stays
from storage.journal import NewEntry, Subject
from storage.roster import EnclosureRow, OccupantRow


def add_occupant(scene: Scene, fields: Mapping[str, Any], origin: Origin) -> str:
    """Put a group or an animal on the roster as the fields of a Setup tell; a sentence that says so. Raises Refusal, NameTaken."""
    name = clean_name(fields["name"])
    known = scene.names.animal(name)
    if known is not None:
        raise Refusal(f"{known.name} is on the roster already, so nothing was changed. Choose another name.")
    check_numbers({"count": fields.get("count")})
    mother = _mother(scene, fields)
    count = fields.get("count")
    kind = fields.get("kind") or ("animal" if count is None or tuple(count) == (1, 1) else "group")
    exact = count is not None and count[0] == count[1]
    species = fields.get("species") or (mother.species if mother else None)
    short = scene.names.short_name(name)
    occupant_id = roster.add_occupant(
        scene.session,
        scene.collection.id,
        name,
        kind,
        species=species,
        aliases=() if short is None else (short,),
        count=count[0] if exact and count else None,
        cause=scene.cause,
    )
    where = _settle(scene, fields, origin, occupant_id, mother)
    if count is not None and not exact:
        _note_count(scene, origin, occupant_id, count)
    told = [kind, f"{say_range(count)} in it" if count and kind == "group" else None, species]
    called = name if short is None else f"{name} or “{short}”"
    added = f"Added {called} ({', '.join(part for part in told if part)}){where}."
    return f"{added}\n{_care(name, kind, species)}"


def _care(name: str, kind: str, species: str | None) -> str:
    """Which care sheet goes with a newcomer, and how to see it."""
    from bot.care.sheet import suggestion  # noqa: PLC0415 - the sheets are read for this alone

    because = sentence(suggestion(species, kind, name).because)
    return f"{because} “show the care sheet for {name}” tells all of it."


def _settle(
    scene: Scene, fields: Mapping[str, Any], origin: Origin, occupant_id: int, mother: OccupantRow | None
) -> str:
    """Place a newcomer, keep whose brood it is, and say both."""
    place_name, tags = fields.get("enclosure"), [clean_name(tag) for tag in fields.get("tags") or ()]
    entry_id, where = None, ", in no place yet"
    if place_name:
        place, is_new = _find_place(scene, str(place_name))
        roster.add_tags(scene.session, place.id, tags, scene.cause)
        entry_id = _place_in(scene, origin, occupant_id, place, is_brood=mother is not None)
        where = f" in {place.name}" + (" (a new place)" if is_new else "")
        where += f", tagged {join_names(tags)}" if tags else ""
    elif tags:
        raise Refusal(f"A tag such as {tags[0]} belongs to a place, so nothing was changed. Say where they live too.")
    if mother is None:
        return where
    roster.add_lineage(scene.session, occupant_id, mother.id, "brood", entry_id, scene.today)
    return f"{where}, brood of {mother.name}"


def _place_in(scene: Scene, origin: Origin, occupant_id: int, place: EnclosureRow, *, is_brood: bool) -> int:
    """Write that it lives there: since before the records, unless it hatched here or others have lived there before."""
    fresh = is_brood or bool(stays.stays_in(scene.session, place.id))
    new = NewEntry(
        kind="placed",
        mood="log",
        on=scene.today if fresh else None,
        at=None,
        part=None,
        zone=scene.collection.zone,
        fields={"to": place.name, "to_enclosure_id": place.id},
        subjects=(Subject(occupant_id=occupant_id),),
        words=origin.words,
    )
    return add(scene, [new], origin)[0]


def _note_count(scene: Scene, origin: Origin, occupant_id: int, count: Sequence[float | None]) -> None:
    """A number told as a range ("about 40") is kept as a count of today."""
    subject, zone = Subject(occupant_id=occupant_id), scene.collection.zone
    fields = {"count": list(count)}
    add(scene, [NewEntry("count", "log", scene.today, None, None, zone, fields, (subject,), origin.words)], origin)


def _find_place(scene: Scene, name: str) -> tuple[EnclosureRow, bool]:
    """The place that a name stands for, made if it is not on the roster; whether it was made."""
    animal = scene.names.animal(name)
    found = scene.names.place(name) or (scene.names.home(animal) if animal else None)
    if found is not None:
        return found, False
    made = clean_name(name)
    roster.add_enclosure(scene.session, scene.collection.id, made, opened_on=scene.today, cause=scene.cause)
    place = scene.refreshed().names.place(made)
    if place is None:
        raise LookupError(f"{made} was added and is not there")
    return place, True


def _mother(scene: Scene, fields: Mapping[str, Any]) -> OccupantRow | None:
    """Whose brood it is: a group or an animal by name, or the only one that lives in a place of that name."""
    name = fields.get("parent")
    if not name:
        return None
    place = scene.names.place(name)
    living = scene.names.living_in(place.id) if place else ()
    found = scene.names.animal(name) or (living[0] if len(living) == 1 else None)
    if found is None:
        raise Refusal(f"There is no {name} on the roster that this could be the brood of, so nothing was changed.")
    return found
