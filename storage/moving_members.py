"""Members and their messages on their way in. A document lets nobody in by itself.

Whoever is a member here at the same address already is the same; the owner at the terminal is the owner at the terminal.
Everybody else comes in as a name that the records stand under, and may neither ask nor write, unless `admit` is set and
nobody has the address here. Addresses and chats that open nothing are marked, so that no message of a service can ever
meet them; `storage.moving_out` takes the marks off again.
"""

from __future__ import annotations

from collections.abc import Callable, Iterable, Sequence
from functools import cache
from typing import Any

from sqlalchemy import exists, select

from storage.moving_form import MEMBERS, MESSAGES, PREFERENCES
from storage.moving_out import BATCH, CONSOLE, IMPORT, MOVED_IN
from storage.moving_values import Arriving, Row, SeparateWays, known_rows, moment
from storage.tables import Inbox, Member, Preference

OWNER = "owner"


def bring_members(arriving: Arriving, rows: Sequence[Row]) -> None:
    """Add the members that are not here yet. Raises Misfit."""
    kept_out = []
    for number, row in enumerate(rows):
        if arriving.names.find(MEMBERS, row["id"]) is not None:
            continue
        same = _same_member(arriving, row)
        if same is not None:
            _is(arriving, row, same)
            continue
        columns = arriving.columns(row, MEMBERS.parts, ("members", number))
        if "left_at" not in row and not _may_come_in(arriving, row):
            kept_out.append(row["name"])
            columns |= {"left_at": arriving.now, "address": f"{row['address']} ({MOVED_IN}, {_tag(arriving, row)})"}
        elif "left_at" in row:
            columns["address"] = f"{row['address']} ({MOVED_IN}, left, {_tag(arriving, row)})"
        stored = Member(collection_id=arriving.collection_id, **columns)
        arriving.session.add(stored)
        arriving.session.flush()
        if "left_at" in row:  # as `storage.households.leave` has it
            stored.address = f"{row['address']} (left, {stored.id})"
            arriving.session.flush()
        arriving.names.learn(MEMBERS, [(row["id"], stored.id)])
        arriving.added["members"] += 1
    if kept_out:
        arriving.remarks.append(_kept_out(kept_out))


def _kept_out(names: Sequence[str]) -> str:
    listed = ", ".join(names[:10]) + (f" and {len(names) - 10} more" if len(names) > 10 else "")
    return f"By name only, without access: {listed}. A file lets nobody in; use `rackside invite`, or --with-members."


def _same_member(arriving: Arriving, row: Row) -> Member | None:
    """The member of this collection that writes from the same place."""
    if "left_at" in row:
        return None
    wanted = select(Member).where(Member.collection_id == arriving.collection_id, Member.left_at.is_(None))
    wanted = wanted.where(Member.channel == row["channel"])
    if row["channel"] == CONSOLE and row["address"] == OWNER:
        return arriving.session.scalar(wanted.where(Member.role == OWNER).order_by(Member.id).limit(1))
    return arriving.session.scalar(wanted.where(Member.address == row["address"]))


def _is(arriving: Arriving, row: Row, stored: Member) -> None:
    if not arriving.fresh:
        arriving.names.also(MEMBERS, row["id"], stored.id)
        return
    stored.name = row["name"]
    stored.joined_at = min(stored.joined_at, moment(row["joined_at"]))
    arriving.session.flush()
    arriving.names.learn(MEMBERS, [(row["id"], stored.id)])


def _may_come_in(arriving: Arriving, row: Row) -> bool:
    if not arriving.admit or row["channel"] == CONSOLE:
        return False
    taken = exists().where(Member.channel == row["channel"], Member.address == row["address"])
    return not arriving.session.scalar(select(taken))


def bring_preferences(arriving: Arriving, rows: Sequence[Row]) -> None:
    """Add what members want to hear, where nothing is set here."""
    for number, row in enumerate(rows):
        member_id = arriving.row_of("members", row["member"], ("preferences", number, "member"))
        if arriving.session.get(Preference, member_id) is None:
            columns = arriving.columns(row, PREFERENCES, ("preferences", number))
            arriving.session.add(Preference(member_id=member_id, **columns))
            arriving.session.flush()
            arriving.added["preferences"] += 1


def bring_messages(arriving: Arriving, rows: Sequence[Row]) -> None:
    """Add the messages that are not here yet. Raises Misfit."""
    _same_as_here(arriving, rows)
    in_use = cache(lambda channel, chat: _chat_in_use(arriving, channel, chat))
    fresh: list[tuple[str, dict[str, Any]]] = []
    for number, row in enumerate(rows):
        if arriving.names.find(MESSAGES, row["id"]) is not None:
            continue
        columns = arriving.columns(row, MESSAGES.parts, ("messages", number))
        columns["overheard"] = bool(columns["overheard"])
        if not _keeps_its_chat(arriving, row, in_use):
            columns["chat"] = f"{row['chat']} ({MOVED_IN}, {_tag(arriving, row)})"
        fresh.append((row["id"], {"collection_id": arriving.collection_id, "tries": 0, **columns}))
        if len(fresh) == BATCH:
            arriving.insert(MESSAGES, fresh)
            fresh = []
    arriving.insert(MESSAGES, fresh)


def _keeps_its_chat(arriving: Arriving, row: Row, in_use: Callable[[str, str], bool]) -> bool:
    if row["channel"] == IMPORT:  # so that the file, read again here, adds nothing
        of = (Inbox.channel == IMPORT, Inbox.chat == row["chat"], Inbox.key == row["key"])
        return not arriving.session.scalar(select(exists().where(*of, Inbox.revision == row["revision"])))
    return arriving.admit and row["channel"] != CONSOLE and not in_use(row["channel"], row["chat"])


def _chat_in_use(arriving: Arriving, channel: str, chat: str) -> bool:
    return bool(arriving.session.scalar(select(exists().where(Inbox.channel == channel, Inbox.chat == chat))))


def _tag(arriving: Arriving, row: Row) -> str:
    """What keeps addresses and chats of one copy apart from those of others; a member's also from one another."""
    copy = row["id"].rpartition("-")[0]
    own = f"-{row['id']}" if "joined_at" in row else ""
    return f"{arriving.names.uid[:8]}{f'-{copy}' if copy else ''}{own}"


def _same_as_here(arriving: Arriving, rows: Iterable[Row]) -> None:
    """As for entries: what is called the same must be the same. Raises Misfit."""
    for here in known_rows(arriving, MESSAGES, rows):
        wanted = select(Inbox.id, Inbox.sent_at, Inbox.text).where(Inbox.id.in_(list(here)))
        for inbox_id, *stored in arriving.session.execute(wanted):
            number, row = here[inbox_id]
            if stored != [moment(row["sent_at"]), row["text"]]:
                raise SeparateWays(("messages", number), "message")
