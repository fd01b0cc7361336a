"""What a backup says of itself: when it was made, of which schema, what it holds, and the digest of each of its members."""

from __future__ import annotations

import json
import re
from collections.abc import Mapping
from dataclasses import dataclass
from datetime import UTC, datetime
from typing import Any

from bot.backup.faults import BadBackup

FORM = 1
"""Counted up when an older Rackside could not read it rightly any more."""

DATABASE, SETTINGS, MANIFEST = "rackside.sqlite3", "settings.toml", "manifest.json"
PHOTO = re.compile(r"photos/([0-9a-f]{2})/(\1[0-9a-f]{62})\.[a-z]{3,4}")
"""Names of photos: the digest of the content, in a folder named by its beginning."""


@dataclass(frozen=True, slots=True)
class Member:
    """One file: its size in bytes, and the SHA-256 of its content in hex."""

    size: int
    sha256: str


@dataclass(frozen=True, slots=True)
class Manifest:
    """A backup made at `made_at` (aware) of a database of the revision `schema` with so many `rows` in each table.

    `members` are the files in it; `apart` the photos that lie in the folder `photos` beside it; `missing` those that were not
    where the database says they are, or were not what they should be.
    """

    made_at: datetime
    schema: str
    rows: Mapping[str, int]
    members: Mapping[str, Member]
    apart: tuple[str, ...] = ()
    missing: tuple[str, ...] = ()

    @property
    def entries(self) -> int:
        """How many entries the journal in it has."""
        return self.rows.get("entries", 0)

    @property
    def photos(self) -> tuple[str, ...]:
        """The photos that come with it, inside or beside."""
        return (*(name for name in self.members if PHOTO.fullmatch(name)), *self.apart)


def written(manifest: Manifest) -> str:
    """The manifest as JSON."""
    told = {
        "rackside_backup": FORM,
        "made_at": manifest.made_at.astimezone(UTC).isoformat(),
        "schema": manifest.schema,
        "rows": dict(manifest.rows),
        "members": {name: {"size": one.size, "sha256": one.sha256} for name, one in manifest.members.items()},
        "photos_apart": list(manifest.apart),
        "photos_missing": list(manifest.missing),
    }
    return json.dumps(told, indent=1, ensure_ascii=False) + "\n"


def read(content: bytes) -> Manifest:
    """A manifest from its JSON, of which nothing is believed. Raises BadBackup; the sentence has no subject but "It"."""
    try:
        told = json.loads(content)
        form = told["rackside_backup"]
        if isinstance(form, int) and form > FORM:
            raise BadBackup("It was made by a newer Rackside; update Rackside.")
        found = _manifest(told)
    except (ValueError, KeyError, TypeError, AttributeError, RecursionError) as fault:
        raise BadBackup("It is no backup made by Rackside, or is damaged.") from fault
    if DATABASE not in found.members or not all(map(_is_known, (*found.members, *found.apart))):
        raise BadBackup("It holds files that no backup of Rackside holds.")
    return found


def _manifest(told: Mapping[str, Any]) -> Manifest:
    made_at = datetime.fromisoformat(told["made_at"])
    if made_at.tzinfo is None:
        raise ValueError(told["made_at"])
    return Manifest(
        made_at,
        str(told["schema"]),
        {str(name): int(rows) for name, rows in told["rows"].items()},
        {str(name): Member(int(one["size"]), str(one["sha256"])) for name, one in told["members"].items()},
        tuple(map(str, told["photos_apart"])),
        tuple(map(str, told["photos_missing"])),
    )


def _is_known(name: str) -> bool:
    return name in {DATABASE, SETTINGS} or PHOTO.fullmatch(name) is not None
