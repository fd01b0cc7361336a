"""Invitations: good for one person, once, within their time; the code itself is kept nowhere."""

from __future__ import annotations

from datetime import timedelta
from pathlib import Path

import pytest

from storage import invites
from storage.store import Store
from tests import databases
from tests.storage.keeper import NOW, Keeper

UNTIL = NOW + timedelta(days=1)
CODE = "join-0123456789abcdef"


def test_an_invitation_is_found_by_its_code(keeper: Keeper) -> None:
    """With role and time, by the very code, and by no other."""
    made = invites.invite(keeper.session, keeper.collection_id, "keeper", CODE, UNTIL)
    assert invites.by_code(keeper.session, CODE) == invites.InviteRow(made, keeper.collection_id, "keeper", UNTIL, None)
    assert invites.by_code(keeper.session, CODE.upper()) is None
    assert invites.by_code(keeper.session, "join-\ud800") is None


def test_an_invitation_is_open_up_to_its_end(keeper: Keeper) -> None:
    """Open until the moment it runs out, and not at that moment; a used one is open no more."""
    made = invites.invite(keeper.session, keeper.collection_id, "keeper", CODE, UNTIL)
    second = timedelta(seconds=1)
    opened = [invites.open_invites(keeper.session, 1, at) for at in (NOW, UNTIL - second, UNTIL, UNTIL + second)]
    assert [len(rows) for rows in opened] == [1, 1, 0, 0]
    assert invites.open_invites(keeper.session, 2, NOW) == []
    invites.use(keeper.session, made, keeper.member_id)
    assert invites.open_invites(keeper.session, 1, NOW) == []
    found = invites.by_code(keeper.session, CODE)
    assert found is not None
    assert (found.used_by, found.is_open(NOW)) == (keeper.member_id, False)


def test_an_invitation_that_is_not_there_cannot_be_used(keeper: Keeper) -> None:
    """Using one that does not exist is a LookupError."""
    with pytest.raises(LookupError):
        invites.use(keeper.session, 99, keeper.member_id)


def test_the_code_is_not_in_the_database(directory: Path, store: Store) -> None:
    """Neither the file nor its log, nor any value on a server, holds the code, so that a copy of the data lets nobody in."""
    with store.write() as session:
        keeper = Keeper(session)
        invites.invite(session, keeper.collection_id, "owner", CODE, UNTIL)
    written = databases.bytes_written(directory)
    assert b"owner" in written  # the row is there
    assert CODE.encode() not in written
    assert CODE.removeprefix("join-").encode() not in written
