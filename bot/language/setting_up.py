"""Set-up by talking: places and occupants renamed, measured, tagged, closed; words taught and forgotten."""

from __future__ import annotations

import re
from typing import TYPE_CHECKING

from bot.language.adding import read_add
from bot.language.known_names import known
from bot.language.meaning import Meaning, Setup
from bot.language.roster_index import roster_index
from bot.language.set_up_patterns import (
    ALIAS,
    CALL,
    CLOSE,
    FORGET,
    NOT_AN_ALIAS,
    NOT_FORGOTTEN,
    ON_SHELF,
    RENAME,
    SIZE,
    TAG,
    TEACH,
    ZONE,
)  # fmt: skip
from bot.language.units import MM_IN, UNITS

if TYPE_CHECKING:
    from collections.abc import Iterator

    from bot.language.roster import Roster

LONGEST = 300  # characters
LONGEST_PHRASE = 4  # words
NEVER_TAUGHT = {"that", "it", "this", "what", "which", "he", "she", "i"}
NOT_NAMES = {"that", "it", "this", "last", "to", "about", "them", "feeding", "misting", "the last", "one", "entry"}
PLAIN_MARKS = {0x2019: "'", 0x201C: '"', 0x201D: '"', 0xD7: "x"}


def read_setup(text: str, roster: Roster) -> Meaning | None:
    """The set-up a message asks for, or None where it is none. Names are taken as the keeper spells them."""
    line = re.sub(r"[ \t]+", " ", text.translate(PLAIN_MARKS)).strip()
    if len(line) > LONGEST or "\n" in line:
        return None
    readers = (_rename, _size, _close, _tag, _teach, _forget, read_add, _alias, _zone)
    setup = next((setup for reader in readers if (setup := reader(line, roster))), None)
    return Meaning("setup", setup=setup) if setup else None


def _rename(line: str, roster: Roster) -> Setup | None:
    found = RENAME.match(line) or CALL.match(line)
    if found is None:
        return None
    return Setup("rename", {"name": known(found["name"], roster) or found["name"], "to": found["to"].strip("'\" ")})


def _size(line: str, roster: Roster) -> Setup | None:
    found = SIZE.match(line)
    name = known(found["name"], roster) if found else None
    if found is None or name is None:
        return None
    unit = UNITS.get((found["u"] or found["u2"] or found["u1"] or "cm").lower(), "cm")
    sides = (found["w"], found["d"], found["h"] or found["d"])
    centimetres = tuple(round(float(side.replace(",", ".")) * MM_IN[unit] / 10, 2) for side in sides)
    return Setup("size", {"name": roster_index(roster).place_of[name], "size_cm": centimetres})


def _close(line: str, roster: Roster) -> Setup | None:
    found = CLOSE.match(line)
    name = known(found["name"], roster) if found else None
    return Setup("close", {"name": name}) if name and name.lower() in roster.enclosure_by_name else None


def _tag(line: str, roster: Roster) -> Setup | None:
    found = TAG.match(line) or ON_SHELF.match(line)
    name = known(found["name"], roster) if found else None
    if found is None or name is None:
        return None
    parts = re.split(r",| and ", re.sub(r"^the ", "", found["tags"]))
    tags = tuple(part.strip(" '\"") for part in parts if part.strip())
    return Setup("tag", {"name": roster_index(roster).place_of[name], "tags": tags})


def _teach(line: str, roster: Roster) -> Setup | None:
    found = TEACH.match(line)
    if found is None or found["phrase"].lower() in NEVER_TAUGHT:
        return None
    phrase, means = found["phrase"].strip(" '\""), found["means"].strip(" '\"")
    if len(phrase.split()) > LONGEST_PHRASE:
        return None
    name = known(means, roster)
    if name:
        return Setup("alias", {"phrase": phrase, "name": name})
    return Setup("teach", {"phrase": phrase, "means": means})


def _alias(line: str, roster: Roster) -> Setup | None:
    """A new name for somebody, and nothing else in the sentence: "the shy ones is group B"."""
    found = ALIAS.match(line)
    if found is None or line.endswith("?"):
        return None
    name = known(found["name"], roster)
    phrase = found["phrase"].strip(" '\"")
    is_new = known(phrase, roster) is None and len(phrase.split()) <= LONGEST_PHRASE
    return (
        Setup("alias", {"phrase": phrase, "name": name}) if name and is_new and not NOT_AN_ALIAS.match(phrase) else None
    )


def _forget(line: str, roster: Roster) -> Setup | None:
    """A taught word or an alias; a short one in capitals also where nobody taught it."""
    found = FORGET.match(line)
    if found is None:
        return None
    phrase = found["phrase"].strip()
    taught = {word.lower() for word in (*roster.vocabulary, *_aliases(roster))}
    short = len(phrase.split()) <= 3 and phrase.lower() not in NOT_NAMES and not NOT_FORGOTTEN.match(phrase)
    return Setup("forget", {"phrase": phrase}) if phrase.lower() in taught or (short and phrase.isupper()) else None


def _aliases(roster: Roster) -> Iterator[str]:
    for occupant in roster.occupants:
        yield from occupant.aliases
    for enclosure in roster.enclosures:
        yield from enclosure.aliases


def _zone(line: str, _roster: Roster) -> Setup | None:
    found = ZONE.match(line)
    return Setup("zone", {"zone": found["zone"]}) if found else None
