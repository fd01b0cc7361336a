"""The people of one test: made when it names them, and gone home when it ends."""

from __future__ import annotations

import asyncio
import secrets
from collections.abc import Awaitable, Callable
from contextlib import AsyncExitStack
from pathlib import Path
from typing import Self

from tests.matrix.homeserver.person import Person
from tests.matrix.homeserver.server import Account, Homeserver


class Cast:
    """Makes users that no other test has, with their crypto stores below `folder`."""

    def __init__(self, homeserver: Homeserver, folder: Path) -> None:
        self.homeserver = homeserver
        self._folder = folder
        self._gone_home = AsyncExitStack()

    async def __aenter__(self) -> Self:
        await self._gone_home.__aenter__()
        return self

    async def __aexit__(self, *_error: object) -> None:
        await self._gone_home.aclose()

    def account(self, name: str) -> Account:
        """A new user whose name begins with this one."""
        return self.homeserver.user(f"{name}-{secrets.token_hex(4)}")

    async def person(self, name: str) -> Person:
        """A new user at a client."""
        return await self.at(self.account(name))

    async def people(self, *names: str) -> list[Person]:
        """New users, each at a client."""
        return [await self.person(name) for name in names]

    async def new_device(self, person: Person) -> Person:
        """The same user logged in on one more device, which has no keys of before."""
        return await self.at(self.homeserver.login(person.account))

    async def at(self, account: Account) -> Person:
        """An account's device, with its crypto store if it was used in this test before."""
        folder = self._folder / account.device_id
        return await self._gone_home.enter_async_context(Person(self.homeserver.url, account, folder))

    async def room(self, host: Person, *guests: Person, encrypted: bool = False) -> str:
        """A room of the host's in which the guests are, and everybody knows everybody's devices."""
        room = await host.makes_room(*[guest.user_id for guest in guests], encrypted=encrypted)
        for guest in guests:
            await guest.sees_invitation(room)
            await guest.join(room)
        for one in (host, *guests):
            for other in (host, *guests):
                await one.sees_joined(room, other.user_id)
                if encrypted and one is not other:
                    await one.knows_device(other.user_id, other.account.device_id)
        return room


Story = Callable[[Callable[[Cast], Awaitable[None]]], None]
"""Runs a coroutine of one test with a cast of its own, and sends everybody home afterwards."""


def told(homeserver: Homeserver, folder: Path, limit: float) -> Story:
    """The story runner for one test; TimeoutError after `limit` seconds."""

    async def played(tale: Callable[[Cast], Awaitable[None]]) -> None:
        async with asyncio.timeout(limit), Cast(homeserver, folder) as cast:
            await tale(cast)

    return lambda tale: asyncio.run(played(tale))
