"""Names of rows that are the same in every copy of a collection.

A row made in the collection's first database is named by its number there: "12". A collection that was brought in from a
document is a copy; it carries a mark of its own, and what is written there is named by mark and number: "9f3c21d07a4e-5".
What was brought in keeps its name, by the table `origins`. So two copies may both go on being written to, and each can take
in what is new in the other: a name never stands for two rows, and a row never has two names.
"""

from __future__ import annotations

from collections.abc import Iterable
from typing import TYPE_CHECKING, Any
from uuid import uuid4

from sqlalchemy import delete, insert, select

from storage.moving_form import SECTIONS, Section, of_collection
from storage.tables import Collection, Origin

if TYPE_CHECKING:
    from sqlalchemy import ColumnElement
    from sqlalchemy.orm import Session

_COPY = "copy"
"""The kind of the row of `origins` that holds the mark of a copy."""

_ALIAS = ", too"
"""Added to the kind of a row of `origins` that holds a second name."""


class Names:
    """The names of the rows of one collection. Read lazily, a table at a time."""

    def __init__(self, session: Session, collection_id: int) -> None:
        self.session = session
        self.collection_id = collection_id
        self.uid = str(session.get_one(Collection, collection_id).uid)
        self.mark: str | None = session.scalar(select(Origin.source_id).where(*self._of_kind(_COPY)))
        self._foreign: dict[str, dict[int, str]] = {}
        self._own: dict[str, dict[str, int]] = {}

    def name(self, section: str, own_id: int) -> str:
        """The name of a row."""
        found = self._brought_in(section).get(own_id)
        return self._plain(own_id) if found is None else found

    def find(self, section: Section, name: str) -> int | None:
        """The row of this name, None where it is not here."""
        return self._known(section).get(name)

    def made_here(self, name: str) -> bool:
        """Whether a name is of the form that rows written in this very copy have."""
        mark, _, number = name.rpartition("-")
        return mark == (self.mark or "") and number.isdecimal()

    def learn(self, section: Section, pairs: Iterable[tuple[str, int]]) -> None:
        """These rows were brought in under these names."""
        fresh = list(pairs)
        known, foreign = self._known(section), self._brought_in(section.name)
        for name, own_id in fresh:
            known[name] = own_id
            foreign[own_id] = name
        self._write([(section.name, name, own_id) for name, own_id in fresh])

    def also(self, section: Section, name: str, own_id: int) -> None:
        """What is called so elsewhere is this row, which keeps the name that it has."""
        self._known(section)[name] = own_id
        self._write([(section.name + _ALIAS, name, own_id)])

    def become_copy(self) -> None:
        """From now on what is written here is named by a new mark; what is here keeps its names."""
        for section in SECTIONS:
            foreign = self._brought_in(section.name)
            fresh = [(name, own_id) for name, own_id in self._known(section).items() if own_id not in foreign]
            self.learn(section, fresh)
        self.session.execute(delete(Origin).where(*self._of_kind(_COPY)))
        self._take_mark()

    def adopt(self, uid: str) -> None:
        """The collection, empty as yet, is a copy of the one of this name from now on."""
        self.session.get_one(Collection, self.collection_id).uid = uid
        self.session.flush()
        self.uid = uid
        self._foreign.clear()
        self._own.clear()
        self._take_mark()

    def _take_mark(self) -> None:
        self.mark = uuid4().hex[:12]
        self._write([(_COPY, self.mark, self.collection_id)])

    def _plain(self, own_id: int) -> str:
        return f"{self.mark}-{own_id}" if self.mark else str(own_id)

    def _brought_in(self, section: str) -> dict[int, str]:
        if section not in self._foreign:
            self._foreign[section] = dict(self._of(section))
        return self._foreign[section]

    def _known(self, section: Section) -> dict[str, int]:
        if section.name not in self._own:
            model: Any = section.model
            here = self.session.scalars(select(model.id).where(of_collection(section, self.collection_id)))
            known = {self.name(section.name, own_id): own_id for own_id in here}
            known.update((name, own_id) for own_id, name in self._of(section.name + _ALIAS))
            self._own[section.name] = known
        return self._own[section.name]

    def _of(self, kind: str) -> list[tuple[int, str]]:
        """The rows of `origins` of a kind: own number and name."""
        wanted = select(Origin.own_id, Origin.source_id).where(*self._of_kind(kind))
        return [(own_id, name) for own_id, name in self.session.execute(wanted)]

    def _of_kind(self, kind: str) -> tuple[ColumnElement[bool], ...]:
        return (Origin.collection_id == self.collection_id, Origin.source == self.uid, Origin.kind == kind)

    def _write(self, rows: list[tuple[str, str, int]]) -> None:
        owner = {"collection_id": self.collection_id, "source": self.uid}
        values = [{**owner, "kind": kind, "source_id": name, "own_id": own_id} for kind, name, own_id in rows]
        if values:
            self.session.execute(insert(Origin), values)
