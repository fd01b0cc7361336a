"""The time zone and the units of a collection, told by talking: "my time zone is Europe/Lisbon", "use imperial units"."""

from __future__ import annotations

import re
from dataclasses import replace
from difflib import get_close_matches
from zoneinfo import available_timezones

from bot.conversation.answer import Answer, said
from bot.conversation.scene import Scene
from bot.conversation.writing import refuse_viewers
from bot.errors import Refusal
from storage import households

_ZONE = re.compile(r"(?:my|our|the) time ?zone (?:is|=) *(?P<zone>[\w/+-]+)[.!]*", re.IGNORECASE)
_UNITS = re.compile(
    r"(?:please )?(?:use |(?:the |my |our )?units (?:are |= *)?)(?P<units>metric|imperial)(?: units)?(?: please)?[.!]*",
    re.IGNORECASE,
)


def zone_named(text: str) -> str | None:
    """The zone that a message names as the keeper's own, perhaps misspelt; None if it is about something else."""
    found = _ZONE.fullmatch(text)
    return None if found is None else found["zone"]


def set_zone(scene: Scene, name: str) -> Answer:
    """Change the zone in which days and times are meant from now on. Raises Refusal for one that is not known."""
    refuse_viewers(scene)
    zones = {zone.lower(): zone for zone in available_timezones()}
    known = zones.get(name.lower())
    if known is None:
        near = get_close_matches(name.lower(), zones, 1)
        hint = f" Did you mean {zones[near[0]]}?" if near else " Say it like “my time zone is Europe/Lisbon”."
        raise Refusal(f"I know no time zone called {name}, so nothing was changed.{hint}")
    households.set_zone(scene.session, scene.collection.id, known)
    moved = replace(scene, collection=replace(scene.collection, zone=known))
    return said(f"The time zone is {known} from now on; it is {moved.local_now:%H:%M} there.")


def units_named(text: str) -> str | None:
    """The units that a message asks for, metric or imperial; None if it is about something else."""
    found = _UNITS.fullmatch(text)
    return None if found is None else found["units"].lower()


def set_units(scene: Scene, units: str) -> Answer:
    """Give answers in these units from now on."""
    refuse_viewers(scene)
    households.set_units(scene.session, scene.collection.id, units)
    return said(f"Answers are in {units} units from now on.")
