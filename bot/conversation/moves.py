"""Moves: who goes where, what new place or new group comes of it, and how to take it all back.

A move is one journal entry. What it brings about beside (a place made, a group split off or ended) is kept in fields of
that entry, so that it can be found again when the move is corrected or taken back:

    to_enclosure_id   where they live from then on
    made_place        true: the place was not on the roster before
    part_of_group     true: only a part went; the group itself stays where it is
    new_occupant_id   the group that the part is from then on
    joined            true: they went into the group new_occupant_id, which is kept on
"""

from __future__ import annotations

import re
from dataclasses import dataclass

from bot.conversation.limits import clean_name
from bot.conversation.scene import Scene
from bot.errors import Refusal
from bot.language.meaning import Choice, Entry, Meaning
from bot.wording import say_range
from storage.roster import EnclosureRow, OccupantRow

_JOIN = re.compile(
    r"\b(join\w*|merg\w+|combin\w+|unit(e|ed|ing)|reunit\w+|put back (in )?with|in with|together with)\b", re.IGNORECASE
)
_SPLIT = re.compile(
    r"\b(split\w*|separat\w+|off|part of|some of|half of|took|pulled)\b|\d+ (from|of|out of)\b", re.IGNORECASE
)
_INTO_LAST = re.compile(r"\b(with|into|to)\b", re.IGNORECASE)
_NUMBER = r"(?:\d+|one|two|three|four|five|six|seven|eight|nine|ten|eleven|twelve|a dozen|some|a few|a couple)"
_MOST_STAYED = 0.8
"""A count of at least this part of the group is the whole group, some having been lost or not seen."""


@dataclass(frozen=True, slots=True)
class Route:
    """Where a move leads. `place` None and no `new_place`: the roster stays as it is.

    `new_place` is the name of a place still to be made, `host` the group or animal that `to` named instead of a place.
    """

    movers: tuple[OccupantRow, ...]
    place: EnclosureRow | None = None
    new_place: str | None = None
    host: OccupantRow | None = None
    is_part: bool = False
    joins: bool = False


def find_route(scene: Scene, entry: Entry) -> Route:
    """Where a move leads. Raises Refusal where there is nobody to move, or they would move into themselves."""
    movers = _movers(scene, entry)
    words = entry.fields.get("to")
    names = scene.names
    if not words and len(movers) > 1 and _JOIN.search(entry.words) and all(row.kind == "group" for row in movers):
        return _union(scene, entry, movers)
    is_part = _is_part(scene, entry, movers)
    if not words or names.has_tag(str(words)):
        return Route(movers, is_part=is_part)
    place = names.place(str(words))
    if place is not None:
        return Route(movers, place, is_part=is_part)
    host = names.animal(str(words))
    if host is None:
        return Route(movers, new_place=clean_name(str(words)), is_part=is_part)
    if host in movers:
        raise Refusal(f"{host.name} cannot be moved in with itself, so nothing was written.")
    home = names.home(host)
    if home is None:
        raise Refusal(f"{host.name} has no place yet, so nothing was written. Say where {host.name} lives first.")
    joins = bool(_JOIN.search(entry.words)) and all(row.kind == "group" for row in (host, *movers))
    return Route(movers, home, host=host, is_part=is_part, joins=joins)


def _union(scene: Scene, entry: Entry, groups: tuple[OccupantRow, ...]) -> Route:
    """Groups joined without a word of where: "joined D with B" into the last one named, "merged B and D" into the first."""
    host = groups[-1] if _INTO_LAST.search(entry.words) else groups[0]
    movers = tuple(row for row in groups if row != host)
    return Route(movers, scene.names.home(host), host=host, joins=True)


def split_in_doubt(scene: Scene, entry: Entry) -> Meaning | None:
    """The question whether all of a group moved or only some; None where the words or the numbers say it."""
    count = entry.fields.get("count")
    if entry.kind != "move" or "part_of_group" in entry.fields or count is None or not entry.fields.get("to"):
        return None
    movers = _movers(scene, entry)
    known = None if len(movers) != 1 else known_count(scene, movers[0])
    low, high = count
    if known is None or high is None or high >= known * _MOST_STAYED or _tells_of_some(entry, movers[0]) or not low:
        return None
    name = movers[0].name
    return Meaning(
        intent="unclear",
        entries=(entry,),
        missing=("part_of_group",),
        question=f"By the records {name} has {known}. Did all of {name} move, {say_range(count)} of them now, "
        f"or were {say_range(count)} split off?",
        choices=(
            Choice(f"all of {name} moved, {say_range(count)} in", {"part_of_group": False}),
            Choice(f"{say_range(count)} split off, the rest stay", {"part_of_group": True}),
        ),
    )


def known_count(scene: Scene, occupant: OccupantRow) -> int | None:
    """How many there are in a group at least, by its records; None if they do not say."""
    from bot.answers.heads import count_of  # noqa: PLC0415 - only a move with a number pays for the answers
    from bot.answers.view import View  # noqa: PLC0415 - the same

    count = count_of(View.open(scene.session, scene.collection.id, scene.now), occupant)
    return count.low or None


def _is_part(scene: Scene, entry: Entry, movers: tuple[OccupantRow, ...]) -> bool:
    """Whether only a part of one group goes: as answered, else as the words and the numbers say."""
    count = entry.fields.get("count")
    if len(movers) != 1 or movers[0].kind != "group" or count is None:
        return False
    if "part_of_group" in entry.fields:
        return bool(entry.fields["part_of_group"])
    known, high = known_count(scene, movers[0]), count[1]
    fewer = known is None or (high is not None and high < known)
    return fewer and _tells_of_some(entry, movers[0])


def _tells_of_some(entry: Entry, group: OccupantRow) -> bool:
    """Whether the words say that only some of a group went: "split", "6 from B", "moved 15 juniors"."""
    called = "|".join(re.escape(name) for name in (group.name, *group.aliases))
    counted_out = rf"\b{_NUMBER}\s+(?:of\s+)?(?:the\s+|my\s+)?(?:{called})\b"
    return bool(_SPLIT.search(entry.words) or re.search(counted_out, entry.words, re.IGNORECASE))


def _movers(scene: Scene, entry: Entry) -> tuple[OccupantRow, ...]:
    """The groups and animals that a move names, a place standing for all who live in it."""
    found: list[OccupantRow] = []
    for name in entry.subjects:
        animal, place = scene.names.animal(name), scene.names.place(name)
        if animal is not None:
            found.append(animal)
        elif place is not None:
            found.extend(_living(scene, place))
    return tuple(dict.fromkeys(found))


def _living(scene: Scene, place: EnclosureRow) -> tuple[OccupantRow, ...]:
    living = scene.names.living_in(place.id)
    if not living:
        raise Refusal(f"Nobody lives in {place.name}, so nobody can be moved out of it; nothing was written.")
    return living
