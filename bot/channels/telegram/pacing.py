"""How fast the bot may send. Pure: moments come in, in seconds of any clock that never goes back.

The limits are those of the service's questions and answers for bots ("My bot is hitting limits"): about one message a second in a
chat, with short bursts; 20 a minute in a group; 30 a second in all. The service counts a request when it gets it, which is somewhere
between its start and its end here: so one counts for as long as it is under way, and for the span of the limit after its end.
"""

from __future__ import annotations

from collections import deque
from dataclasses import dataclass, field

from bot.channels.telegram.addresses import is_group

_FORGET_ABOVE = 4096
"""So many chats are remembered before those that sent nothing lately are forgotten."""


_SOON = 0.05
"""Seconds until it is worth asking again where only the end of a request can let another go."""


@dataclass(slots=True)
class Window:
    """At most `most` messages within `span` seconds: those under way, and the moments at which others ended."""

    most: int
    span: float
    under_way: int = 0
    ended: deque[float] = field(default_factory=deque)

    def wait(self, now: float) -> float:
        """Seconds until one more may go, 0 for now."""
        while self.ended and self.ended[0] + self.span <= now:
            self.ended.popleft()
        over = self.under_way + len(self.ended) - self.most
        if over < 0:
            return 0.0
        return self.ended[over] + self.span - now if over < len(self.ended) else _SOON

    def begin(self) -> None:
        """One goes."""
        self.under_way += 1

    def end(self, now: float) -> None:
        """One has gone."""
        self.under_way -= 1
        self.ended.append(now)


def _windows(chat_id: int) -> tuple[Window, ...]:
    short = Window(3, 3.1)
    return (short, Window(20, 60.5)) if is_group(chat_id) else (short,)


@dataclass(slots=True)
class Pacing:
    """What was sent lately, in all and in each chat, and which chats are to be left alone until when."""

    everywhere: Window = field(default_factory=lambda: Window(28, 1.05))
    chats: dict[int, tuple[Window, ...]] = field(default_factory=dict)
    held: dict[int, float] = field(default_factory=dict)

    def ask(self, chat_id: int, now: float, *, edit: bool = False) -> float:
        """0 where a message may go to this chat now; else the seconds until it is worth asking again.

        What may go is under way from then on, until `ended` is called. An edit adds nothing to the chat, and counts only in all.
        """
        windows = self._windows(chat_id, now, edit=edit)
        wait = max([self.held.get(chat_id, now) - now, *(window.wait(now) for window in windows)])
        if wait > 0:
            return wait
        self.held.pop(chat_id, None)
        for window in windows:
            window.begin()
        return 0.0

    def ended(self, chat_id: int, now: float, *, edit: bool = False) -> None:
        """The request for which `ask` gave 0 is over, whatever came of it."""
        for window in self._windows(chat_id, now, edit=edit):
            window.end(now)

    def hold(self, chat_id: int, until: float) -> None:
        """The service wants nothing for this chat until then."""
        self.held[chat_id] = max(until, self.held.get(chat_id, until))

    def _windows(self, chat_id: int, now: float, *, edit: bool) -> tuple[Window, ...]:
        return (self.everywhere,) if edit else (*self._of(chat_id, now), self.everywhere)

    def _of(self, chat_id: int, now: float) -> tuple[Window, ...]:
        if chat_id not in self.chats and len(self.chats) >= _FORGET_ABOVE:
            self.chats = {chat: kept for chat, kept in self.chats.items() if any(_lately(one, now) for one in kept)}
        return self.chats.setdefault(chat_id, _windows(chat_id))


def _lately(window: Window, now: float) -> bool:
    window.wait(now)
    return bool(window.ended or window.under_way)
