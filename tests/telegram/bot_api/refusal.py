"""Answers by which the service refuses a request, with the words that it uses."""

from __future__ import annotations

import math
from typing import Any


class Refusal(Exception):
    """A request is refused.

    `code` is the HTTP status; `description` what the answer says; `parameters` what a ResponseParameters holds.
    `breaks` names the rule of the Bot API that the bot broke by asking; empty where a good bot may well be refused so.
    """

    def __init__(self, code: int, description: str, parameters: dict[str, Any] | None = None, breaks: str = "") -> None:
        super().__init__(description)
        self.code = code
        self.description = description
        self.parameters = parameters
        self.breaks = breaks

    def answer(self) -> dict[str, Any]:
        """The body of the answer."""
        body: dict[str, Any] = {"ok": False, "error_code": self.code, "description": self.description}
        return body if self.parameters is None else {**body, "parameters": self.parameters}


def bad_request(words: str, breaks: str = "") -> Refusal:
    """HTTP 400 with `words`."""
    return Refusal(400, f"Bad Request: {words}", breaks=breaks)


def forbidden(words: str) -> Refusal:
    """HTTP 403 with `words`."""
    return Refusal(403, f"Forbidden: {words}")


def conflict(words: str) -> Refusal:
    """HTTP 409 with `words`."""
    return Refusal(409, f"Conflict: {words}")


def too_many(wait: float, breaks: str = "") -> Refusal:
    """HTTP 429: the bot must wait `wait` seconds, told in whole ones."""
    seconds = max(1, math.ceil(wait))
    return Refusal(429, f"Too Many Requests: retry after {seconds}", {"retry_after": seconds}, breaks)


def upgraded(supergroup: int) -> Refusal:
    """HTTP 400: the group has become the supergroup with that id."""
    words = "Bad Request: group chat was upgraded to a supergroup chat"
    return Refusal(400, words, {"migrate_to_chat_id": supergroup})
