"""How fast the bot may send. Pure: moments come in, in seconds of any clock that never goes back.

The limits are those of the service's questions and answers for bots ("My bot is hitting limits"): about one message a second in a
chat, with short bursts; 20 a minute in a group; 30 a second in all. Ours are a little tighter, since requests take unequal time.
"""

from __future__ import annotations

from collections import deque
from dataclasses import dataclass, field

from bot.channels.telegram.addresses import is_group

_FORGET_ABOVE = 4096
"""So many chats are remembered before those that sent nothing lately are forgotten."""


@dataclass(slots=True)
class Window:
    """At most `most` messages within `span` seconds."""

    most: int
    span: float
    sent: deque[float] = field(default_factory=deque)

    def wait(self, now: float) -> float:
        """Seconds until one more may go, 0 for now."""
        while self.sent and self.sent[0] + self.span <= now:
            self.sent.popleft()
        return 0.0 if len(self.sent) < self.most else self.sent[-self.most] + self.span - now

    def count(self, now: float) -> None:
        """One goes."""
        self.sent.append(now)


def _windows(chat_id: int) -> tuple[Window, ...]:
    short = Window(3, 3.2)
    return (short, Window(20, 61.0)) if is_group(chat_id) else (short,)


@dataclass(slots=True)
class Pacing:
    """What was sent lately, in all and in each chat, and which chats are to be left alone until when."""

    everywhere: Window = field(default_factory=lambda: Window(28, 1.05))
    chats: dict[int, tuple[Window, ...]] = field(default_factory=dict)
    held: dict[int, float] = field(default_factory=dict)

    def ask(self, chat_id: int, now: float, *, edit: bool = False) -> float:
        """0 where a message may go to this chat now, which is then counted; else the seconds until it is worth asking again.

        An edit adds nothing to the chat, and counts only in all.
        """
        windows = (self.everywhere,) if edit else (*self._of(chat_id, now), self.everywhere)
        wait = max([self.held.get(chat_id, now) - now, *(window.wait(now) for window in windows)])
        if wait > 0:
            return wait
        self.held.pop(chat_id, None)
        for window in windows:
            window.count(now)
        return 0.0

    def hold(self, chat_id: int, until: float) -> None:
        """The service wants nothing for this chat until then."""
        self.held[chat_id] = max(until, self.held.get(chat_id, until))

    def _of(self, chat_id: int, now: float) -> tuple[Window, ...]:
        if chat_id not in self.chats and len(self.chats) >= _FORGET_ABOVE:
            self.chats = {chat: kept for chat, kept in self.chats.items() if any(_lately(one, now) for one in kept)}
        return self.chats.setdefault(chat_id, _windows(chat_id))


def _lately(window: Window, now: float) -> bool:
    window.wait(now)
    return bool(window.sent)
