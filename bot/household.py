"""A data folder opened: its store, the bot on it, and the collection that is kept there."""

from __future__ import annotations

from collections.abc import Iterator
from contextlib import contextmanager
from dataclasses import dataclass
from pathlib import Path
from typing import TYPE_CHECKING

from sqlalchemy import event

from bot.app import CONSOLE, OWNER, App, Clock, build
from bot.conversation.reply import Reply
from bot.conversation.scene import load_names
from bot.errors import NoSuchCollection, Stranger
from bot.language.roster import Roster
from bot.roster_import import add_roster
from bot.settings import Settings
from storage import households, questions
from storage.households import CollectionRow, MemberRow
from storage.store import Store, prepare_folder
from storage.vocabulary import vocabulary

if TYPE_CHECKING:
    from sqlalchemy.engine.interfaces import DBAPIConnection


@dataclass(frozen=True, slots=True)
class Household:
    """The bot on one data folder, with what the ways in need of it beside talking.

    Of several collections it is about the one called `name`, in any case of letters, or about the first.
    """

    app: App
    name: str | None = None

    @property
    def collection(self) -> CollectionRow:
        """The collection kept here, as it stands now. Raises NoSuchCollection."""
        with self.app.store.read() as session:
            found = households.collections(session)
        if self.name is None:
            return found[0]
        named = [row for row in found if row.name.casefold() == self.name.casefold()]
        if not named:
            raise NoSuchCollection(self.name, [row.name for row in found])
        return named[0]

    @property
    def owner(self) -> MemberRow:
        """The owner of the collection who writes from the terminal. Raises Stranger where that one was removed."""
        with self.app.store.read() as session:
            present = households.members(session, self.collection.id)
        found = next((row for row in present if row.channel == CONSOLE and row.role == OWNER), None)
        if found is None:
            raise Stranger
        return found

    @property
    def roster(self) -> Roster:
        """The roster as it stands now, with the words that the keeper has taught."""
        kept = self.collection
        with self.app.store.read() as session:
            return load_names(session, kept.id).roster(kept.zone, vocabulary(session, kept.id))

    def say(self, text: str) -> list[Reply]:
        """One message of the owner, from the terminal."""
        return self.app.say(self.owner.address, text)

    def pushes(self) -> list[Reply]:
        """What the bot has to say unasked, by now, to the owner who writes from the terminal."""
        owner = self.owner
        self.app.sweep(member_id=owner.id)
        return self.app.collect(CONSOLE, owner.address)

    @property
    def asks_back(self) -> bool:
        """Whether a question to the owner, who writes from the terminal, is open."""
        owner = self.owner
        with self.app.store.read() as session:
            return questions.open_question(session, owner.id) is not None

    def file(self, path: str) -> Path:
        """Where a file that a reply names lies on this machine."""
        return (self.app.files or Path()) / path

    def set(self, settings: Settings) -> None:
        """Give the collection the zone and the units that the keeper has set, where they differ from what it has."""
        kept = self.collection
        with self.app.store.write() as session:
            households.hold(session, kept.id)
            if settings.zone not in {None, kept.zone}:
                households.set_zone(session, kept.id, str(settings.zone))
            if settings.units not in {None, kept.units}:
                households.set_units(session, kept.id, str(settings.units))

    def bring_in(self, roster: Roster) -> list[str]:
        """Add a roster to the collection; a line for each thing added, changed or left alone. All of it or nothing."""
        owner = self.owner
        with self.app.store.write() as session:
            households.hold(session, owner.collection_id)
            return add_roster(session, owner, roster, self.app.clock.now())

    def words(self) -> list[str]:
        """Names that a keeper may type: of animals, of places, and the tags of places."""
        kept = self.roster
        names = [animal.name for animal in kept.occupants] + [place.name for place in kept.enclosures]
        return list(dict.fromkeys(names + [tag for place in kept.enclosures for tag in place.tags]))


@contextmanager
def opened(
    folder: Path,
    settings: Settings,
    clock: Clock | None = None,
    zone: str | None = None,
    *,
    lasting: bool = True,
    collection: str | None = None,
) -> Iterator[Household]:
    """Open a data folder, making it where needed; `zone` is that of a new collection unless the settings name one.

    The records are in the database that the settings name, else in the folder; photos and pictures are in the folder in either case.

    `collection` names one of several. The settings are those of the first.

    `lasting` False is for a folder that is thrown away: then nothing waits for the disk. Raises StorageFault where the
    folder or the database in it cannot be used.
    """
    store = _store(folder, settings)
    try:
        if not lasting:
            _do_not_wait_for_disk(store)
        household = Household(build(store, clock, folder=folder), collection)
        household.app.prepare(zone=settings.zone or zone, units=settings.units or "metric")
        if collection is None and (settings.zone or settings.units):
            household.set(settings)
        yield household
    finally:
        store.close()


def _store(folder: Path, settings: Settings) -> Store:
    if settings.database is None:
        return Store.open(folder, make_parents=True)
    prepare_folder(folder, make_parents=True)
    return Store.open(settings.database.reveal())


def _do_not_wait_for_disk(store: Store) -> None:
    """Let commits return before they are on the disk, on the connection there is and on those to come."""
    told = "PRAGMA synchronous = OFF" if store.engine.dialect.name == "sqlite" else "SET synchronous_commit = off"

    def hurry(connection: DBAPIConnection, _record: object) -> None:
        connection.cursor().execute(told)
        connection.commit()  # a server would take back what is set in a transaction that is

    event.listen(store.engine, "connect", hurry)
    store.engine.dispose()  # the pool makes its connections anew, and `hurry` comes after the store's own set-up
