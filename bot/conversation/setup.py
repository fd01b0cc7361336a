"""The roster and the vocabulary changed by talking: "add tub 9 to shelf 2", "RR means red runner roach"."""

from __future__ import annotations

import re
from collections.abc import Callable, Mapping
from typing import Any

from bot.conversation.answer import Answer, said
from bot.conversation.limits import clean_name
from bot.conversation.newcomers import add_occupant
from bot.conversation.scene import Scene
from bot.conversation.writing import Origin, add, refuse_viewers
from bot.conversation.zones import set_zone
from bot.errors import Refusal
from bot.language.meaning import Choice, Meaning, Setup
from bot.wording import join_names, say_number
from storage import roster, vocabulary
from storage.journal import NewEntry, Subject
from storage.roster import EnclosureRow, OccupantRow

_LARGEST_CM = 2_000.0
_CLOSE = re.compile(r"(?:please )?(?:close|retire) (?P<name>[^,.!?]+)[.!]?", re.IGNORECASE)


def change(scene: Scene, setup: Setup, origin: Origin) -> Answer | Meaning:
    """Change the roster or the vocabulary as told; a question where it must be asked first. Raises Refusal and NameTaken."""
    refuse_viewers(scene)
    return ACTIONS[setup.action](scene, setup.fields, origin)


def closing(scene: Scene, text: str) -> Setup | None:
    """The closing that a message asks for by the name of a group or an animal ("close Saffron"); None if it is no such."""
    found = _CLOSE.fullmatch(text)
    animal = None if found is None else scene.names.animal(found["name"])
    return None if animal is None else Setup("close", {"name": animal.name})


def _add(scene: Scene, fields: Mapping[str, Any], origin: Origin) -> Answer:
    line = add_occupant(scene, fields, origin)
    return said(line, about=origin.message_id, focus=(clean_name(fields["name"]),), setup=True)


def _add_place(scene: Scene, fields: Mapping[str, Any], _origin: Origin) -> Answer:
    name = clean_name(fields["name"])
    _refuse_known(scene.names.place(name))
    tags, size = tuple(fields.get("tags") or ()), _size(fields)
    roster.add_enclosure(
        scene.session, scene.collection.id, name, tags=tags, size_cm=size, opened_on=scene.today, cause=scene.cause
    )
    told = [name, *([say_size(size)] if size else []), *([f"tagged {join_names(tags)}"] if tags else [])]
    return said(f"Added the place {', '.join(told)}.", focus=(name,), setup=True)


def _rename(scene: Scene, fields: Mapping[str, Any], _origin: Origin) -> Answer:
    row, new_name = _known(scene, fields["name"]), clean_name(fields["to"])
    if isinstance(row, OccupantRow):
        _refuse_known(scene.names.animal(new_name), row)
        roster.rename_occupant(scene.session, row.id, new_name, scene.cause)
        short = scene.names.short_name(new_name)
        if short is not None:
            roster.add_alias(scene.session, occupant_id=row.id, alias=short, cause=scene.cause)
    else:
        _refuse_known(scene.names.place(new_name), row)
        new_name = new_name.removeprefix("the ")
        roster.rename_enclosure(scene.session, row.id, new_name, scene.cause)
    return said(f"{row.name} is now called {new_name}; the old name is understood too.", focus=(new_name,), setup=True)


def _resize(scene: Scene, fields: Mapping[str, Any], _origin: Origin) -> Answer:
    place, size = _place(scene, fields["name"]), _size(fields)
    if size is None:
        raise Refusal("Say the size as width, depth and height, such as “tub 4 is 30x20x15 cm”; nothing was changed.")
    roster.set_size(scene.session, place.id, size, scene.cause)
    return said(f"{place.name} is {say_size(size)}.", focus=(place.name,), setup=True)


def _close(scene: Scene, fields: Mapping[str, Any], origin: Origin) -> Answer | Meaning:
    row = _known(scene, fields["name"])
    if fields.get("keep"):
        return said(f"{row.name} stays as it is.")
    if isinstance(row, OccupantRow):
        _end(scene, row, origin)
        return said(f"{row.name} is off the roster; the history is kept.", about=origin.message_id, setup=True)
    living = scene.names.living_in(row.id)
    if living and not fields.get("with_all"):
        return _ask_to_close(row, living, fields)
    for occupant in living:
        _end(scene, occupant, origin)
    roster.close_enclosure(scene.session, row.id, scene.today, scene.cause)
    names = join_names([row.name, *(occupant.name for occupant in living)])
    verb = "are" if living else "is"
    return said(f"{names} {verb} off the roster; the history is kept.", about=origin.message_id, setup=True)


def _ask_to_close(place: EnclosureRow, living: tuple[OccupantRow, ...], fields: Mapping[str, Any]) -> Meaning:
    names = join_names([row.name for row in living])
    lives = "lives" if len(living) == 1 else "live"
    return Meaning(
        "unclear",
        setup=Setup("close", fields),
        missing=("subjects",),
        question=f"{names} {lives} in {place.name}. Move {names} first, or shall both go off the roster?",
        choices=(
            Choice(f"close {place.name}, and {names} with it", {"with_all": True}),
            Choice(f"keep {place.name}", {"keep": True}),
        ),
    )


def _end(scene: Scene, row: OccupantRow, origin: Origin) -> None:
    zone, subject = scene.collection.zone, Subject(occupant_id=row.id)
    add(scene, [NewEntry("ended", "log", scene.today, None, None, zone, {}, (subject,), origin.words)], origin)
    roster.end_occupant(scene.session, row.id, scene.today, scene.cause)


def _tag(scene: Scene, fields: Mapping[str, Any], _origin: Origin) -> Answer:
    place, tags = _place(scene, fields["name"]), tuple(clean_name(tag) for tag in fields["tags"])
    roster.add_tags(scene.session, place.id, tags, scene.cause)
    return said(f"{place.name} is tagged {join_names(tags)}.", focus=(place.name,), setup=True)


def _alias(scene: Scene, fields: Mapping[str, Any], _origin: Origin) -> Answer:
    row, phrase = _known(scene, fields["name"]), clean_name(fields["phrase"])
    _refuse_known(scene.names.animal(phrase), row)
    _refuse_known(scene.names.place(phrase), row)
    if isinstance(row, OccupantRow):
        roster.add_alias(scene.session, occupant_id=row.id, alias=phrase, cause=scene.cause)
    else:
        roster.add_alias(scene.session, enclosure_id=row.id, alias=phrase, cause=scene.cause)
    return said(f"“{phrase}” is {row.name} from now on.", focus=(row.name,), setup=True)


def _teach(scene: Scene, fields: Mapping[str, Any], _origin: Origin) -> Answer:
    phrase, means = clean_name(fields["phrase"]), clean_name(fields["means"])
    was = _taught(scene, phrase)
    vocabulary.teach(scene.session, scene.collection.id, phrase, means, scene.member.id, scene.message.id, scene.now)
    return said(f"“{phrase}” means {means} from now on. “forget {phrase}” takes it back.", taught=phrase, was=was)


def _forget(scene: Scene, fields: Mapping[str, Any], _origin: Origin) -> Answer:
    phrase = clean_name(fields["phrase"])
    was = _taught(scene, phrase)
    if was is None:
        row = scene.names.animal(phrase) or scene.names.place(phrase)
        called = "" if row is None else f" It is a name of {row.name}, and such a name stays."
        raise Refusal(f"I was never taught “{phrase}”, so there is nothing to forget.{called}")
    vocabulary.forget(scene.session, scene.collection.id, phrase, scene.member.id, scene.message.id, scene.now)
    return said(f"Forgotten: “{phrase}” no longer means {was}.", taught=phrase, was=was)


def _zone(scene: Scene, fields: Mapping[str, Any], _origin: Origin) -> Answer:
    return set_zone(scene, fields["zone"])


def _taught(scene: Scene, phrase: str) -> str | None:
    known = vocabulary.vocabulary(scene.session, scene.collection.id)
    return next((means for key, means in known.items() if key.casefold() == phrase.casefold()), None)


def _known(scene: Scene, name: str) -> EnclosureRow | OccupantRow:
    row = scene.names.animal(name) or scene.names.place(name)
    if row is None:
        raise Refusal(f"There is no {name} on the roster, so nothing was changed.")
    return row


def _place(scene: Scene, name: str) -> EnclosureRow:
    """The place of that name, or where the animals of that name live."""
    row = _known(scene, name)
    found = row if isinstance(row, EnclosureRow) else scene.names.home(row)
    if found is None:
        raise Refusal(f"{row.name} has no place yet, so nothing was changed.")
    return found


def _refuse_known(found: EnclosureRow | OccupantRow | None, unless: EnclosureRow | OccupantRow | None = None) -> None:
    if found is not None and found != unless:
        raise Refusal(f"{found.name} goes by that name already, so nothing was changed. Choose another.")


def _size(fields: Mapping[str, Any]) -> tuple[float, float, float] | None:
    size = fields.get("size_cm")
    if size is None:
        return None
    edges = [float(edge) for edge in size]
    if len(edges) != 3 or not all(0 < edge <= _LARGEST_CM for edge in edges):
        raise Refusal("That size cannot be right, so nothing was changed. Say width, depth and height in centimetres.")
    return edges[0], edges[1], edges[2]


def say_size(size: tuple[float, float, float]) -> str:
    """Width, depth and height: "30 x 20 x 15 cm"."""
    return f"{' x '.join(say_number(edge) for edge in size)} cm"


ACTIONS: Mapping[str, Callable[[Scene, Mapping[str, Any], Origin], Answer | Meaning]] = {
    "add": _add,
    "add_place": _add_place,
    "rename": _rename,
    "size": _resize,
    "close": _close,
    "tag": _tag,
    "alias": _alias,
    "teach": _teach,
    "forget": _forget,
    "zone": _zone,
}
"""Every change of the set-up by its name, with what makes it."""
