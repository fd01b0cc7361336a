"""What a test holds of the fake service: it reaches it over HTTP, so that it is the same for a thread and for a process."""

from __future__ import annotations

import asyncio
import http.client
import json
import time
from collections.abc import Callable
from datetime import datetime
from typing import Any

from tests.patience import PATIENCE
from tests.telegram.bot_api.handles import Group, Person
from tests.telegram.bot_api.world import BOT_NAME, TOKEN


class BotApi:
    """The fake Bot API at a port of this machine.

    `base_url` and `base_file_url` are what python-telegram-bot takes; `token` is the bot's and `username` its name.
    """

    token = TOKEN
    username = BOT_NAME

    def __init__(self, port: int) -> None:
        self.port = port
        self.address = f"http://127.0.0.1:{port}"
        self.base_url = f"{self.address}/bot"
        self.base_file_url = f"{self.address}/file/bot"

    def call(self, act: str, **arguments: object) -> Any:  # noqa: ANN401 - JSON of whatever shape the act gives
        """Let an act of control.py happen; gives its result."""
        line = http.client.HTTPConnection("127.0.0.1", self.port, timeout=30)
        try:
            line.request("POST", f"/control/{act}", json.dumps(arguments), {"Content-Type": "application/json"})
            answer = json.loads(line.getresponse().read())
        finally:
            line.close()
        if "error" in answer:
            raise AssertionError(answer["error"])
        return answer["result"]

    # People and chats

    def user(
        self,
        name: str = "Ann",
        *,
        username: str | None = None,
        language: str | None = "en",
        stranger: bool = False,
    ) -> Person:
        """A new person with a private chat. A `stranger` never started the bot: it cannot write there."""
        number = self.call("user", name=name, username=username, language=language, stranger=stranger)
        return Person(self.call, number, name)

    def group(
        self,
        title: str,
        *members: Person,
        supergroup: bool = False,
        forum: bool = False,
        announce: bool = True,
    ) -> Group:
        """A new group with the bot in it, founded by the first member. With `announce` the bot is told that it was taken in."""
        kind = "supergroup" if supergroup or forum else "group"
        ids = [member.id for member in members]
        number = self.call("group", kind=kind, title=title, members=ids, forum=forum, announce=announce)
        return Group(self.call, number)

    def privacy(self, *, on: bool) -> None:
        """Privacy mode in groups: on (as a new bot has it), only commands, mentions and answers to the bot reach it."""
        self.call("setting", privacy=on)

    def clock(self, moment: datetime | None) -> None:
        """The moment that dates of messages show from now on; None for the clock of this machine."""
        self.call("setting", fixed=None if moment is None else int(moment.timestamp()))

    # Faults

    def fail_next(self, status: int = 502, *, method: str | None = None, times: int = 1) -> None:
        """Answer the next requests with an HTTP status and do nothing. Without a `method`: any but getUpdates."""
        self.call("fault", kind="fail", amount=status, method=method, times=times)

    def drop_next(self, *, method: str | None = "sendMessage", times: int = 1) -> None:
        """Do what the next requests ask, then drop the connection: the outcome stays unknown to the bot."""
        self.call("fault", kind="drop", amount=0, method=method, times=times)

    def slow_next(self, seconds: float, *, method: str | None = None, times: int = 1) -> None:
        """Take so long for the next requests."""
        self.call("fault", kind="slow", amount=seconds, method=method, times=times)

    def limits(self, *, on: bool = True) -> None:
        """Hold the bot to the service's limits on messages: 429 where it sends more."""
        self.call("limits", on=on)

    def inject(self, **update: object) -> int:
        """Lay out an update as given, malformed or not, such as `inject(message={"message_id": "seven"})`; gives its id."""
        return int(self.call("inject", update=update))

    def restart_ids(self) -> int:
        """Begin update ids anew below the old ones, as after a week without updates; pending ones are gone."""
        return int(self.call("restart_ids"))

    def expire_queries(self) -> None:
        """Let all presses so far be too old to be answered."""
        self.call("expire_queries")

    # Views

    @property
    def pending(self) -> list[dict[str, Any]]:
        """Updates that the bot has not confirmed."""
        return list(self.call("pending"))

    @property
    def violations(self) -> list[dict[str, Any]]:
        """Broken rules of the Bot API so far: rule, method, detail. A good bot leaves this empty."""
        return list(self.call("violations"))

    def forget_violations(self) -> None:
        """Empty `violations`."""
        self.call("forget_violations")

    @property
    def requests(self) -> list[dict[str, Any]]:
        """Requests of the bot: method, parameters (decoded), moment (seconds since 1970), status; "dropped" where it was."""
        return list(self.call("requests", since=0))

    def requested(self, method: str) -> list[dict[str, Any]]:
        """The parameters of each request of one method."""
        return [request["parameters"] for request in self.requests if request["method"] == method]

    @property
    def counts(self) -> dict[str, int]:
        """How many requests, pending updates and violations there are; cheap to ask often."""
        return dict(self.call("counts"))

    @property
    def webhook(self) -> dict[str, str]:
        """Where updates are posted: url and secret, both empty where the bot polls."""
        return dict(self.call("webhook"))

    def file(self, file_id: str) -> bytes:
        """The bytes of a file."""
        return bytes.fromhex(self.call("file", file_id=file_id))

    # Waiting

    def wait(self, condition: Callable[[], object], seconds: float = PATIENCE) -> None:
        """Wait until a condition holds, for a bot in another process or thread."""
        until = time.monotonic() + seconds
        while not condition():
            if time.monotonic() > until:
                raise AssertionError(f"waited {seconds} s in vain")
            time.sleep(0.02)

    async def eventually(self, condition: Callable[[], object], seconds: float = PATIENCE) -> None:
        """Wait until a condition holds, for a bot in the same event loop."""
        until = time.monotonic() + seconds
        while not condition():
            if time.monotonic() > until:
                raise AssertionError(f"waited {seconds} s in vain")
            await asyncio.sleep(0.02)
