"""All messages of a file taken in, one after the other, each in the name of its sender."""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from dataclasses import replace
from datetime import datetime
from hashlib import sha256
from typing import TYPE_CHECKING
from zoneinfo import ZoneInfo

from bot.moving.hearing import Outcome
from bot.moving.taking_in import CHANNEL, Teller
from bot.moving.told import Contents, Told, in_order
from storage import households

if TYPE_CHECKING:
    from sqlalchemy.orm import Session

    from bot.app import App
    from storage.households import CollectionRow

EARLIEST_YEAR = 1900
KEEPER = "keeper"
"""The role of a teller: one that writes records and changes the roster, and has no say over members."""


def up_to_now(contents: Contents, zone: ZoneInfo, now: datetime) -> Contents:
    """What was told by now, in the order of time, each with its moment. What lies ahead, or before all records, is unreadable."""
    today, kept, wrong = now.astimezone(zone).date(), [], list(contents.unreadable)
    for one in contents.told:
        if one.at.year < EARLIEST_YEAR:
            wrong.append(f"{one.where}: {one.at:%Y} is too long ago to be right.")
        elif one.moment(zone).astimezone(zone).date() > today:
            wrong.append(f"{one.where}: its day has not come yet.")
        else:
            kept.append(replace(one, at=min(one.moment(zone), now)))  # a line of today stands at its end
    return replace(contents, told=tuple(in_order(kept, zone)), unreadable=tuple(wrong))


def bring(
    app: App, collection: CollectionRow, contents: Contents, keeper: str, *, again: bool = False
) -> Iterator[Outcome]:
    """Take in what a file tells, in order; what becomes of each message. `keeper` is who tells where no sender is named.

    May be stopped at any message, and be run again: what is here already is left as it is.
    """
    mark = _mark(contents.told, again=again)
    tellers: dict[str, Teller] = {}
    for told in contents.told:
        name = told.sender or keeper
        if name not in tellers:
            tellers[name] = _teller(app, collection.id, contents, name, mark, again=again)
        yield tellers[name].take(told)
    for teller in tellers.values():
        teller.finish()


def _teller(app: App, collection_id: int, contents: Contents, name: str, mark: str, *, again: bool) -> Teller:
    with app.store.write() as session:
        households.hold(session, collection_id)
        uid = households.uid(session, collection_id)
        member_id = _member(session, collection_id, name, f"{uid} {mark} {name}", app.clock.now())
    return Teller(
        app, collection_id, member_id, f"{uid} {contents.form} {contents.chat}".strip(), contents.records, again
    )


def _member(session: Session, collection_id: int, name: str, address: str, now: datetime) -> int:
    """The member of that address who has left, from an import that was stopped; else a new one, who leaves at once."""
    for row in households.everyone(session, collection_id):
        if row.channel == CHANNEL and row.address == f"{address} (left, {row.id})":
            return row.id
    made = households.add_member(session, collection_id, CHANNEL, address, name, KEEPER, now)
    households.leave(session, made, now)
    return made


def _mark(told: Sequence[Told], *, again: bool) -> str:
    """What is the same for the same messages, and for no others."""
    keys = sha256(b"again" if again else b"")
    for one in told:
        keys.update(f"{one.key} {one.text}\n".encode("utf-8", "surrogatepass"))
    return keys.hexdigest()[:16]
