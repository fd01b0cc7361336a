"""Any sequence of acts, corrections and undoings gives what a simple model in memory gives."""

from __future__ import annotations

from collections.abc import Iterator
from datetime import date, time, timedelta
from functools import partial
from pathlib import Path
from typing import TYPE_CHECKING

import pytest
from hypothesis import HealthCheck, given, settings
from hypothesis import strategies as st

from storage import households, journal, roster, stays
from storage.journal import NewEntry, Subject
from storage.store import Store
from tests import databases
from tests.storage.keeper import NOW, ZONE
from tests.storage.model import Act, Model

if TYPE_CHECKING:
    from sqlalchemy.orm import Session

OCCUPANTS, ENCLOSURES = 3, 3
KINDS = ("feeding", "misting", "placed", "move", "ended")
FIRST = date(2025, 6, 1)  # long before it is told: what has no time of day is ordered as of noon

days = st.none() | st.integers(0, 5).map(lambda number: FIRST + timedelta(days=number))
times = st.none() | st.sampled_from([time(0), time(8, 15), time(12), time(23, 59)])
subjects = st.lists(
    st.tuples(st.sampled_from(["occupant", "enclosure"]), st.integers(0, OCCUPANTS - 1)), max_size=3, unique=True
)
acts = st.fixed_dictionaries(
    {
        "kind": st.sampled_from(KINDS),
        "mood": st.sampled_from(["log", "log", "log", "plan"]),
        "on": days,
        "at": times,
        "subjects": subjects.map(tuple),
        "to": st.none() | st.integers(0, ENCLOSURES - 1),
        "part_of_group": st.booleans(),
        "makes": st.none() | st.integers(0, OCCUPANTS - 1),
    }
)
steps = st.lists(
    st.tuples(st.sampled_from(["write", "write", "write", "correct", "retract"]), acts, st.integers(0, 30)), max_size=14
)


class Both:
    """The journal and the model, told the same things."""

    def __init__(self, session: Session) -> None:
        self.session = session
        self.model = Model()
        self.collection_id = households.create_collection(session, "model", ZONE)
        names = [f"number {number}" for number in range(3)]
        self.occupants = [roster.add_occupant(session, self.collection_id, name, "group") for name in names]
        self.enclosures = [roster.add_enclosure(session, self.collection_id, name) for name in names]

    def write(self, drawn: dict[str, object], corrected: Act | None = None) -> None:
        """One entry, maybe a correction. A move that makes a group without saying where to places nobody."""
        act = Act(0, 0, **drawn)  # type: ignore[arg-type]
        new = NewEntry(act.kind, act.mood, act.on, act.at, None, ZONE, self.fields(act), self.subjects(act))
        supersedes = [None if corrected is None else corrected.id]
        (written,) = journal.append(self.session, self.collection_id, None, None, NOW, [new], supersedes)
        origin = written if corrected is None else corrected.origin
        self.model.acts.append(Act(written, origin, **drawn))  # type: ignore[arg-type]
        if corrected is not None:
            self.model.gone.add(corrected.id)

    def retract(self, act: Act) -> None:
        journal.retract(self.session, [act.id], None, None, NOW)
        self.model.gone.add(act.id)

    def subjects(self, act: Act) -> tuple[Subject, ...]:
        return tuple(
            Subject(self.occupants[number]) if sort == "occupant" else Subject(None, self.enclosures[number])
            for sort, number in act.subjects
        )

    def fields(self, act: Act) -> dict[str, object]:
        fields: dict[str, object] = {"part_of_group": True} if act.part_of_group else {}
        if act.to is not None:
            fields["to_enclosure_id"] = self.enclosures[act.to]
        if act.makes is not None:
            fields["new_occupant_id"] = self.occupants[act.makes]
        return fields

    def told_stays(self) -> list[list[tuple[int, date | None, date | None]]]:
        return [
            [
                (self.enclosures.index(stay.enclosure_id), stay.since, stay.until)
                for stay in stays.stays(self.session, one)
            ]
            for one in self.occupants
        ]

    def check(self) -> None:
        """Stays, rebuilt stays, histories whole and paged, and the last of each kind are those of the model."""
        lived = self.model.stays()
        expected = [[(stay.enclosure, stay.since, stay.until) for stay in lived.get(n, [])] for n in range(OCCUPANTS)]
        assert self.told_stays() == expected
        stays.rebuild(self.session, self.collection_id)
        assert self.told_stays() == expected
        for number in range(3):
            self.check_history("occupant", number, Subject(self.occupants[number]))
            self.check_history("enclosure", number, Subject(None, self.enclosures[number]))
        between = journal.between(self.session, self.collection_id, None, None, ("log", "plan"))
        assert {row.id for row in between} == {act.id for act in self.model.current() if act.on is not None}

    def check_history(self, sort: str, number: int, of: Subject) -> None:
        occupant_id, enclosure_id = of.occupant_id, of.enclosure_id
        history = partial(journal.history, self.session, occupant_id=occupant_id, enclosure_id=enclosure_id)
        last_of_kind = partial(journal.last_of_kind, self.session, occupant_id=occupant_id, enclosure_id=enclosure_id)
        whole = self.model.history(sort, number)
        assert [row.id for row in history(limit=99)] == whole
        pages: list[int] = []
        while page := history(limit=2, before=pages[-1] if pages else None):
            pages += [row.id for row in page]
        assert pages == whole
        for kind in KINDS:
            last = last_of_kind(kind=kind)
            assert [row.id for row in last] == self.model.history(sort, number, kind)[:1]


@pytest.fixture(scope="module")
def shared(empty_folder: Path, tmp_path_factory: pytest.TempPathFactory) -> Iterator[Store]:
    """A store for this module; every example ends without a commit."""
    folder = databases.copy(empty_folder, tmp_path_factory.mktemp("model") / "data")
    opened = Store.open(databases.of(folder))
    yield opened
    opened.close()


@pytest.mark.slow
@settings(max_examples=150, suppress_health_check=[HealthCheck.too_slow])
@given(steps=steps)
def test_the_journal_is_what_the_model_is(shared: Store, steps: list[tuple[str, dict[str, object], int]]) -> None:
    """After any sequence: current entries, history by occupant and by place, pages, the last of a kind, stays and their rebuild."""
    with databases.passing(shared) as session:
        both = Both(session)
        for step, drawn, chosen in steps:
            earlier = both.model.acts[chosen % len(both.model.acts)] if both.model.acts else None
            if step == "write" or earlier is None:
                both.write(drawn)
            elif step == "correct":
                both.write(drawn, earlier)
            else:
                both.retract(earlier)
        both.check()
