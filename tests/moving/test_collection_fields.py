"""The schema of a document has room for everything that the reader makes of keepers' words."""

from __future__ import annotations

import json
from datetime import datetime
from pathlib import Path

import jsonschema
import pytest

import fixtures.phrases
from bot.language import read
from bot.language.contract import plain
from bot.moving.collection_form import schema
from bot.roster_file import load_roster

SETS = sorted(Path(fixtures.phrases.__file__).parent.glob("*.jsonl"))


@pytest.mark.slow
@pytest.mark.parametrize("path", SETS, ids=lambda path: path.stem)
def test_every_reading_of_the_phrase_sets_fits(path: Path) -> None:
    """Amounts are pairs, repeats are days: what is written here can be brought in elsewhere."""
    roster = load_roster(path.with_suffix(".toml"))
    whole = schema()
    fits = jsonschema.Draft202012Validator({**whole["$defs"]["fields"], "$defs": whole["$defs"]})
    looked_at = 0
    for line in path.read_text(encoding="utf-8").splitlines():
        told = json.loads(line)
        meaning = read(told["text"], datetime.fromisoformat(told["now"]).replace(tzinfo=None), roster)
        for one in (*meaning.entries, *meaning.plans):
            every = getattr(one, "every_days", None)
            fits.validate(plain({**one.fields, "every_days": every}))
            looked_at += 1
    assert looked_at > 20
