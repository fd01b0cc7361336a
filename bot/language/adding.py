"""Occupants and places added by talking: "add group B, 42 Neoholothele incei, in tub 4 on shelf 2"."""

from __future__ import annotations

import re
from typing import TYPE_CHECKING, Any

from bot.language.known_names import known
from bot.language.meaning import Setup
from bot.language.quantities import read_quantity
from bot.language.set_up_patterns import ADD, PLACE_WORDS
from bot.language.tokens import tokenise
from bot.language.units import MM_IN, UNITS

if TYPE_CHECKING:
    from bot.language.roster import Roster

PARTS = re.compile(r",\s*|\s+(?=(?:in|into|on|from|of)\s)")
PLACE_NAME = re.compile(rf"(?:[\w ]+ )?{PLACE_WORDS}\b", re.IGNORECASE)
NO_NAME = re.compile(r"\d|(?:note|reminder|water|moss|food|\w+ to )", re.IGNORECASE)
RUN_ON = re.compile(
    r"(?P<name>(?:an? |the )?(?:new )?(?:group|colony|brood) \S+) (?P<rest>(?:about |around |of |~ ?)?\d+ [A-Za-z].*)",
    re.IGNORECASE,
)
"""A group's name, number and species without a comma between them: "group W 31 Damon medius"."""
NAMED_GROUP = re.compile(r"(?:group|colony|brood) (?P<own>\w{3,}.*)$", re.IGNORECASE)
GROUP = re.compile(r"group|colony", re.IGNORECASE)
ANIMAL = re.compile(r"(?:animal|spider) ", re.IGNORECASE)
SIZE = re.compile(
    r"(?P<w>[\d.]+)\s*(?:x|by)\s*(?P<d>[\d.]+)\s*(?:x|by)\s*(?P<h>[\d.]+)\s*(?P<u>cm|mm|in|inches)?", re.IGNORECASE
)
DESCRIBING = re.compile(r"^(?:x |of )?(?:baby |adult |juvenile |subadult |young )?", re.IGNORECASE)
LIVING = {"count", "species", "enclosure"}
"""Fields that only occupants have."""


def read_add(line: str, roster: Roster) -> Setup | None:
    """The occupant or place a line adds, or None: "add tub 7 on shelf 1, 30x20x15 cm"."""
    found = ADD.match(line)
    if found is None:
        return None
    pieces = [piece for piece in PARTS.split(found["rest"].rstrip(".!")) if piece]
    if not pieces:
        return None
    run_on = RUN_ON.fullmatch(pieces[0])
    if run_on:
        pieces[:1] = [run_on["name"], run_on["rest"]]
    name = re.sub(r"^(?:an? |the )?(?:new )?", "", pieces[0]).strip(" '\"")
    verb = line.split(maxsplit=1)[0].lower()
    if NO_NAME.match(name) or (verb != "add" and known(name, roster)):
        return None
    fields = _fields(pieces[1:], roster)
    if PLACE_NAME.match(name) and not LIVING & set(fields):
        own = {field: value for field, value in fields.items() if field in {"tags", "size_cm"}}
        return Setup("add_place", {"name": name, **own})
    return Setup("add", {**_named(name, fields), **fields}) if fields else None


def _named(name: str, fields: dict[str, Any]) -> dict[str, Any]:
    """The name without the word for what it is, and whether it is a group or an animal."""
    group = NAMED_GROUP.match(name)
    if group:
        return {"name": group["own"], "kind": "group"}
    if ANIMAL.match(name):
        return {"name": name.split(" ", 1)[1], "kind": "animal"}
    single = not GROUP.match(name) and fields.get("count", [1, 1]) == [1, 1]
    return {"name": name, "kind": "animal" if single else "group"}


def _fields(pieces: list[str], roster: Roster) -> dict[str, Any]:
    fields: dict[str, Any] = {}
    for piece in pieces:
        _add_piece(piece.strip(), fields, roster)
    return fields


def _add_piece(piece: str, fields: dict[str, Any], roster: Roster) -> None:
    lead, _, rest = piece.partition(" ")
    lead, rest = lead.lower(), rest.strip()
    place = re.sub(r"^the ", "", rest)
    parent = known(re.sub(r"'s? sac$", "", rest), roster) if rest and lead in {"from", "of"} else None
    size = SIZE.match(piece)
    if size:
        scale = MM_IN[UNITS.get((size["u"] or "cm").lower(), "cm")] / 10
        fields["size_cm"] = tuple(round(float(size[side]) * scale, 2) for side in "wdh")
    elif rest and lead in {"in", "into"}:
        fields["enclosure"] = place
    elif rest and lead == "on":
        fields["tags"] = (*fields.get("tags", ()), place)
    elif parent:
        fields["parent"] = parent
    else:
        _add_count_and_species(re.sub(r"^of ", "", piece), fields)


def _add_count_and_species(piece: str, fields: dict[str, Any]) -> None:
    tokens = tokenise(piece)
    found = read_quantity(tokens, 0)
    rest = piece
    if found is not None:
        quantity, end = found
        rest = piece[tokens[end].start :] if end < len(tokens) else ""
        if not quantity.article:
            fields["count"] = quantity.count()
    species = DESCRIBING.sub("", rest.strip())
    if species:
        fields["species"] = species
