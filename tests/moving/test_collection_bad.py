"""A document that is not as it should be: one sentence that names the place, and nothing written."""

from __future__ import annotations

import copy
import json
from collections.abc import Callable, Iterator
from contextlib import suppress
from pathlib import Path
from typing import Any

import jsonschema
import pytest
from hypothesis import HealthCheck, given, settings
from hypothesis import strategies as st

from bot.moving.collection_form import check, schema
from bot.moving.faults import MovingFault
from storage.faults import StorageFault
from storage.store import Store
from tests.front import Front
from tests.moving.documents import brought, counted, document, laid_out, new_house

Document = dict[str, Any]


@pytest.fixture
def told(front: Front) -> Document:
    front.household.say("fed larches 6 crickets, all eaten")
    front.household.say("rushes: counted 31")
    front.household.say("split 6 off rushes into pot 9")
    front.household.say("undo")
    front.household.say("RR means red runner roach")
    return document(front.desk.app.store)


@pytest.fixture
def other(tmp_path: Path) -> Iterator[Store]:
    store = new_house(tmp_path / "other")
    yield store
    store.close()


def refused(store: Store, told: Document | str, folder: Path) -> str:
    """The sentence; nothing was written."""
    before = counted(store)
    with pytest.raises((MovingFault, StorageFault)) as fault:
        brought(store, told, folder)
    assert counted(store) == before
    assert str(fault.value).endswith(".")
    assert "\n" not in str(fault.value)
    return str(fault.value)


def at(section: str, number: int, **changed: object) -> Callable[[Document], None]:
    """A change of one row."""
    return lambda told: told[section][number].update(changed)


def without(section: str, number: int, name: str) -> Callable[[Document], None]:
    return lambda told: told[section][number].pop(name)


WRONG: dict[str, tuple[Callable[[Document], None], str]] = {
    "no such kind of mood": (at("entries", 2, mood="wish"), '/entries/2/mood: "wish" must be one of'),
    "a day that is none": (at("entries", 2, on="2026-02-30"), "/entries/2/on is '2026-02-30', which is not a day like"),
    "a day in words": (at("entries", 2, on="today"), '/entries/2/on: "today" must match pattern'),
    "a moment that is none": (at("entries", 1, told_at="2026-03-02T25:00:00Z"), "/entries/1/told_at is"),
    "a time that is none": (at("entries", 1, at="24:61"), "/entries/1/at is '24:61', which is not a time of day"),
    "no such zone": (at("entries", 0, zone="Europe/Atlantis"), "/entries/0/zone is 'Europe/Atlantis', which is no time zone"),
    "no such animal": (at("entries", 3, subjects=[{"occupant": "99"}]), "/entries/3/subjects/0/occupant names '99'"),
    "no such message": (at("entries", 3, message="99"), "/entries/3/message names '99', and nothing among messages"),
    "corrects what comes later": (at("entries", 0, supersedes="3"), "/entries/0/supersedes names '3'"),
    "a place that is a number": (at("entries", 0, fields={"to_enclosure_id": 4}), "/entries/0/fields/to_enclosure_id"),
    "an amount in words": (at("entries", 3, fields={"quantity": "six"}), '/entries/3/fields/quantity: "six" must be'),
    "an amount of three": (at("entries", 3, fields={"count": [1, 2, 3]}), "/entries/3/fields/count: [1, 2, 3] must contain"),
    "never again": (at("entries", 3, fields={"every_days": 0}), "/entries/3/fields/every_days: 0 must be"),
    "a field too many": (at("occupants", 1, colour="red"), "/occupants/1: must not contain {'colour'} properties"),
    "words missing": (without("entries", 1, "words"), "/entries/1: must contain"),
    "told never": (without("entries", 1, "told_at"), "/entries/1: must contain"),
    "one name for two": (at("entries", 3, id="1"), "/entries/3/id is '1', which a row before it is called already"),
    "two of one name in use": (at("occupants", 1, name="Marigolds"), "/occupants/1/name is 'Marigolds', and another one in use"),
    "another stay": (at("stays", 0, since="2020-01-01"), "/stays/0 is not what the entries of the file say"),
    "two taken back": (lambda told: told["retractions"].append({**told["retractions"][0], "id": "x"}), "/retractions has two rows"),
    "a negative count": (at("occupants", 0, count=-1), "/occupants/0/count"),
    "a count beyond numbers": (at("occupants", 0, count=10**30), "/occupants/0/count"),
    "a section missing": (lambda told: told.pop("lineage"), "the file: must contain"),
    "a newer form": (lambda told: told.update(version=2), "was written by a newer Rackside (form 2, this one knows 1); update Rackside"),
    "another document": (lambda told: told.update(format="shopping"), "is no collection of Rackside's"),
    "a zone of the collection": (lambda told: told["collection"].update(zone="Nowhere"), "/collection/zone is 'Nowhere'"),
    "a photo without a file": (
        lambda told: told["photos"].append({"id": "1", "message": "1", "about": "1", "channel": "x", "state": "kept"}),
        "/photos/0 is a photo that is kept, and has no digest",
    ),
}  # fmt: skip


@pytest.mark.parametrize("name", WRONG)
def test_the_sentence_names_the_place(name: str, told: Document, other: Store, tmp_path: Path) -> None:
    """As a JSON pointer (RFC 6901); the same whether it is read a row at a time or as a whole."""
    change, words = WRONG[name]
    change(told)
    sentence = refused(other, told, tmp_path)
    assert words in sentence
    assert refused(other, laid_out(told), tmp_path) == sentence


@pytest.mark.parametrize(
    ("text", "words"),
    [
        ("", "is not good JSON"),
        ("{", "is not good JSON"),
        ("[1, 2]", "is no collection of Rackside's"),
        ('{"format": "rackside-collection", "version": NaN}', "NaN is no number in JSON"),
        ("[" * 100_000, "is not good JSON"),
    ],
)
def test_what_is_no_document_is_said_to_be_none(text: str, words: str, other: Store, tmp_path: Path) -> None:
    """Cut off, of another sort, or nested without end."""
    assert words in refused(other, text, tmp_path)


def test_what_is_no_text_is_said_to_be_none(other: Store, tmp_path: Path) -> None:
    """A picture, say; and a file that is not there."""
    (tmp_path / "records.json").write_bytes(b"\xff\xd8\xff\xe0")
    from bot.moving.collection_form import read_document  # noqa: PLC0415 - beside the helper, which writes text

    with pytest.raises(MovingFault, match="is not text in UTF-8"):
        read_document(tmp_path / "records.json")
    with pytest.raises(MovingFault, match="cannot be read: No such file"):
        read_document(tmp_path / "nothing.json")
    assert counted(other)["entries"] == 0


def test_a_mark_of_the_byte_order_is_no_fault(told: Document, other: Store, tmp_path: Path) -> None:
    """Some editors put one."""
    assert brought(other, "\ufeff" + json.dumps(told, indent=4), tmp_path).added["entries"] == len(told["entries"])


VALUES = st.one_of(
    st.none(), st.booleans(), st.integers(-5, 10**12), st.floats(allow_nan=False, allow_infinity=False), st.text(max_size=5),
    st.just([]), st.just({}), st.sampled_from(["2026-03-02", "21:30", "2026-03-02T21:30:00Z", "1", "group", "done"]),
)  # fmt: skip


def places(value: object, here: tuple[str | int, ...] = ()) -> Iterator[tuple[str | int, ...]]:
    """Every place in a document."""
    inner = value.items() if isinstance(value, dict) else enumerate(value) if isinstance(value, list) else ()
    for step, part in inner:
        yield (*here, step)
        yield from places(part, (*here, step))


@pytest.mark.slow
@settings(max_examples=400, suppress_health_check=[HealthCheck.function_scoped_fixture])
@given(data=st.data())
def test_the_check_is_that_of_the_schema(told: Document, other: Store, tmp_path: Path, data: st.DataObject) -> None:
    """Whatever is changed: the library of reference (jsonschema) and ours say the same; and what passes is brought in or refused in words."""
    changed = copy.deepcopy(told)
    place = data.draw(st.sampled_from(sorted(places(told), key=str)))
    part: Any = changed
    for step in place[:-1]:
        part = part[step]
    if data.draw(st.booleans()) and isinstance(part, dict):
        del part[place[-1]]
    else:
        part[place[-1]] = data.draw(VALUES)
    valid = jsonschema.Draft202012Validator(schema()).is_valid(changed)
    try:
        check(changed, "it")
        passed = True
    except MovingFault:
        passed = False
    assert passed == valid
    before = counted(other)
    with suppress(MovingFault, StorageFault):  # a sentence; anything else is our own fault
        brought(other, changed, tmp_path, dry_run=True)
    assert counted(other) == before
