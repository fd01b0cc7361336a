"""Set-up by talking: places and occupants added, renamed, measured, closed; words taught and forgotten."""

from __future__ import annotations

import re
from typing import TYPE_CHECKING, Any

from bot.language.meaning import Meaning, Setup
from bot.language.quantities import read_quantity
from bot.language.roster_index import key_of, roster_index
from bot.language.tokens import tokenise
from bot.language.units import MM_IN, UNITS

if TYPE_CHECKING:
    from datetime import datetime

    from bot.language.roster import Roster

PLACE_WORDS = r"(?:tub|box|pot|enclosure|tank|viv|vivarium|terrarium|cube|jar|bin|rack|tower|vial|cup|drawer|tray|faunarium|cage|glass|container)"
PLEASE = r"^(?:please |can you |could you |ok |okay |hey |right )*"
ADD = re.compile(PLEASE + r"(?:add|create|set up|register)\s+(?:an? |the )?(?:new )?(?P<rest>.+)$", re.IGNORECASE | re.DOTALL)
RENAME = re.compile(PLEASE + r"rename\s+(?P<name>.+?)\s+(?:to|as|into)\s+(?P<to>.+?)[.!]?$", re.IGNORECASE)
CALL = re.compile(PLEASE + r"(?:call|name)\s+(?P<name>.+?)\s+(?:from now on )?(?:by the name )?[\"'](?P<to>.+?)[\"'][.!]?$", re.IGNORECASE)
SIZE = re.compile(
    PLEASE + r"(?P<name>.+?)\s+(?:is|measures|=|are)\s+(?:about )?(?P<w>[\d.,]+)\s*(?P<u1>cm|mm|in|inch|inches|\")?\s*(?:x|by|\*|×)\s*(?P<d>[\d.,]+)\s*(?P<u2>cm|mm|in|inch|inches|\")?"
    r"(?:\s*(?:x|by|\*|×)\s*(?P<h>[\d.,]+))?\s*(?P<u>cm|mm|in|inch|inches|\")?(?: (?:tall|high|big|in size))?[.!]?$",
    re.IGNORECASE,
)
CLOSE = re.compile(PLEASE + r"(?:close|retire|decommission|put away)\s+(?:down )?(?P<name>[^,.!?]+?)[.!]?$", re.IGNORECASE)
TAG = re.compile(PLEASE + r"(?:tag|label)\s+(?P<name>.+?)\s+(?:as|with)\s+(?P<tags>.+?)[.!]?$", re.IGNORECASE)
ON_SHELF = re.compile(PLEASE + r"(?P<name>.+?)\s+is (?:now )?on\s+(?P<tags>(?:the )?[\w ]*shelf[\w ]*|rack [\w]+)[.!]?$", re.IGNORECASE)
TEACH = re.compile(PLEASE + r"(?:when i (?:say|write) )?[\"']?(?P<phrase>[^\"',?]{1,40}?)[\"']?,?\s+(?:means|stands for|is short for|=)\s+(?P<means>[^?]{1,80}?)[.!]?$", re.IGNORECASE)
ALIAS = re.compile(PLEASE + r"(?P<phrase>(?:the |my )?[^,?]{1,40}?)\s+(?:is|are|=|is also|are also|also means|is another name for)\s+(?P<name>[^,?]{1,60}?)[.!]?$", re.IGNORECASE)
FORGET = re.compile(PLEASE + r"(?:forget|unlearn)\s+(?:the word |the name |what )?[\"']?(?P<phrase>[^\"'?]{1,40}?)[\"']?(?: means)?[.!]?$", re.IGNORECASE)
PARTS = re.compile(r",\s*|\s+(?=(?:in|into|on|from|of)\s)")
ZONE = re.compile(PLEASE + r"(?:my |the |our )?(?:time ?zone) (?:is|=|should be|to) (?P<zone>[A-Za-z_]+(?:/[A-Za-z_+\-0-9]+)+|UTC)[.!]?$", re.IGNORECASE)
NOT_NAMES = {"that", "it", "this", "last", "to", "about", "them", "feeding", "misting", "the last", "one", "entry"}


def read_setup(text: str, now: datetime, roster: Roster) -> Meaning | None:
    """The set-up a message asks for, or None where it is none. Names are taken as the keeper spells them."""
    line = re.sub(r"[ \t]+", " ", text.translate({0x2019: "'", 0x201C: '"', 0x201D: '"', 0xD7: "x"})).strip()
    if len(line) > 300 or "\n" in line:
        return None
    for reader in (_rename, _size, _close, _tag, _teach, _forget, _add, _alias):
        setup = reader(line, now, roster)
        if setup is not None:
            return Meaning("setup", setup=setup)
    zone = ZONE.match(line)
    return Meaning("setup", setup=Setup("zone", {"zone": zone["zone"]})) if zone else None


def known(name: str, roster: Roster) -> str | None:
    """The roster's spelling of a name or alias; None where nobody has it."""
    node = roster_index(roster).tree
    for key in key_of(name.strip(" '\"")):
        if key not in node.next:
            return None
        node = node.next[key]
    return node.subjects[0] if node.subjects and len(node.subjects) == 1 and node.how == "name" else None


def _rename(line: str, _now: datetime, roster: Roster) -> Setup | None:
    found = RENAME.match(line) or CALL.match(line)
    return Setup("rename", {"name": known(found["name"], roster) or found["name"], "to": found["to"].strip("'\" ")}) if found else None


def _size(line: str, _now: datetime, roster: Roster) -> Setup | None:
    found = SIZE.match(line)
    if found is None:
        return None
    name = known(found["name"], roster)
    if name is None:
        return None
    unit = UNITS.get((found["u"] or found["u2"] or found["u1"] or "cm").lower(), "cm")
    sides = [found["w"], found["d"], found["h"] or found["d"]]
    centimetres = tuple(round(float(side.replace(",", ".")) * MM_IN[unit] / 10, 2) for side in sides)
    return Setup("size", {"name": roster_index(roster).place_of[name], "size_cm": centimetres})


def _close(line: str, _now: datetime, roster: Roster) -> Setup | None:
    found = CLOSE.match(line)
    if found is None:
        return None
    name = known(found["name"], roster)
    return Setup("close", {"name": name}) if name and name.lower() in roster.enclosure_by_name else None


def _tag(line: str, _now: datetime, roster: Roster) -> Setup | None:
    found = TAG.match(line) or ON_SHELF.match(line)
    if found is None:
        return None
    name = known(found["name"], roster)
    if name is None:
        return None
    tags = tuple(part.strip(" '\"") for part in re.split(r",| and ", re.sub(r"^the ", "", found["tags"])) if part.strip())
    return Setup("tag", {"name": roster_index(roster).place_of[name], "tags": tags})


def _teach(line: str, _now: datetime, roster: Roster) -> Setup | None:
    found = TEACH.match(line)
    if found is None or found["phrase"].lower() in {"that", "it", "this", "what", "which", "he", "she", "i"}:
        return None
    phrase, means = found["phrase"].strip(" '\""), found["means"].strip(" '\"")
    if len(phrase.split()) > 4:
        return None
    name = known(means, roster)
    return Setup("alias", {"phrase": phrase, "name": name}) if name else Setup("teach", {"phrase": phrase, "means": means})


def _alias(line: str, _now: datetime, roster: Roster) -> Setup | None:
    """ "the shy ones is group B": a new name for somebody, and nothing else in the sentence."""
    found = ALIAS.match(line)
    if found is None or line.endswith("?"):
        return None
    name = known(found["name"], roster)
    phrase = found["phrase"].strip(" '\"")
    strange = known(phrase, roster) is None and len(phrase.split()) <= 4 and not re.match(r"(?:that|it|this|what|which|who|where|he|she|they|there|sorry|no|the last one|how|when|why|is|are|did|was|not|actually|oops|all|everyone)\b", phrase, re.IGNORECASE)
    return Setup("alias", {"phrase": phrase, "name": name}) if name and strange else None


def _forget(line: str, _now: datetime, roster: Roster) -> Setup | None:
    found = FORGET.match(line)
    if found is None:
        return None
    phrase = found["phrase"].strip()
    taught = {word.lower() for word in roster.vocabulary}
    aliases = {alias.lower() for item in (*roster.occupants, *roster.enclosures) for alias in item.aliases}
    bare = phrase.lower() not in NOT_NAMES and len(phrase.split()) <= 3 and not re.match(r"(?:that|it|this|about|to|the last|my last)\b", phrase.lower())
    return Setup("forget", {"phrase": phrase}) if phrase.lower() in taught | aliases or (bare and phrase.isupper()) else None


def _add(line: str, _now: datetime, roster: Roster) -> Setup | None:
    """ "add group B, 42 Neoholothele incei, in tub 4 on shelf 2" and "add tub 7 on shelf 1, 30x20x15 cm"."""
    found = ADD.match(line)
    if found is None:
        return None
    pieces = [piece for piece in PARTS.split(found["rest"].rstrip(".!")) if piece]
    name = re.sub(r"^(?:an? |the )?(?:new )?", "", pieces[0]).strip(" '\"")
    verb = line.split()[0].lower()
    if re.match(r"\d", name) or (known(name, roster) and verb != "add") or re.match(r"(?:note|reminder|water|moss|food|\w+ to )", name, re.IGNORECASE):
        return None
    fields = _parts(pieces[1:], roster)
    if re.match(rf"(?:[\w ]+ )?{PLACE_WORDS}\b", name, re.IGNORECASE) and "count" not in fields and "species" not in fields and "enclosure" not in fields:
        return Setup("add_place", {"name": name, **{key: value for key, value in fields.items() if key in {"tags", "size_cm"}}})
    if not fields:
        return None
    grouped = re.match(r"(?:group|colony|brood) (?P<own>\w{3,}.*)$", name, re.IGNORECASE)
    if grouped:
        return Setup("add", {"name": grouped["own"], "kind": "group", **fields})
    kind = "animal" if not re.match(r"group|colony", name, re.IGNORECASE) and fields.get("count", [1, 1]) == [1, 1] else "group"
    if re.match(r"(?:animal|spider) ", name, re.IGNORECASE):
        name, kind = name.split(" ", 1)[1], "animal"
    return Setup("add", {"name": name, "kind": kind, **fields})


def _parts(pieces: list[str], roster: Roster) -> dict[str, Any]:
    fields: dict[str, Any] = {}
    for piece in pieces:
        _part(piece.strip(), fields, roster)
    return fields


def _part(piece: str, fields: dict[str, Any], roster: Roster) -> None:
    lead, _, rest = piece.partition(" ")
    size = re.match(r"(?P<w>[\d.]+)\s*(?:x|by)\s*(?P<d>[\d.]+)\s*(?:x|by)\s*(?P<h>[\d.]+)\s*(?P<u>cm|mm|in|inches)?", piece, re.IGNORECASE)
    if size:
        scale = MM_IN[UNITS.get((size["u"] or "cm").lower(), "cm")] / 10
        fields["size_cm"] = tuple(round(float(size[side]) * scale, 2) for side in "wdh")
    elif lead.lower() in {"in", "into"} and rest:
        fields["enclosure"] = re.sub(r"^the ", "", rest.strip())
    elif lead.lower() == "on" and rest:
        fields["tags"] = (*fields.get("tags", ()), re.sub(r"^the ", "", rest.strip()))
    elif lead.lower() in {"from", "of"} and rest and known(re.sub(r"'s? sac$", "", rest), roster):
        fields["parent"] = known(re.sub(r"'s? sac$", "", rest), roster)
    else:
        _count_and_species(re.sub(r"^of ", "", piece), fields)


def _count_and_species(piece: str, fields: dict[str, Any]) -> None:
    tokens = tokenise(piece)
    quantity = read_quantity(tokens, 0)
    rest = piece
    if quantity is not None and not quantity[0].article:
        fields["count"] = quantity[0].count()
        rest = piece[tokens[quantity[1]].start :] if quantity[1] < len(tokens) else ""
    elif quantity is not None:
        rest = piece[tokens[quantity[1]].start :] if quantity[1] < len(tokens) else ""
    rest = re.sub(r"^(?:x |of )?(?:baby |adult |juvenile |subadult |young )?", "", rest.strip(), flags=re.IGNORECASE)
    if rest:
        fields["species"] = rest
