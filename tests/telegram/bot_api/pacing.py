"""How often the bot may send: the pauses it was told to make, and the limits of the service where a test asks for them.

The limits are those of the service's questions and answers for bots: about one message a second in a chat, 20 a minute in a
group, 30 a second in all, with short bursts let pass in a private chat.
"""

from __future__ import annotations

import time
from collections import defaultdict, deque
from dataclasses import dataclass, field

from tests.telegram.bot_api.refusal import too_many

BURST = 3
"""So many messages may follow each other at once in one chat."""
SLACK = 0.05
"""Seconds by which the two clocks may differ before a send counts as too early."""


@dataclass(slots=True)
class Pacing:
    """Pauses by chat (moments of the monotonic clock), those that the bot knows of, and when it has sent."""

    limited: bool = False
    pauses: dict[int, float] = field(default_factory=dict)
    told: dict[int, float] = field(default_factory=dict)
    sent: dict[int, deque[float]] = field(default_factory=lambda: defaultdict(lambda: deque(maxlen=64)))
    everywhere: deque[float] = field(default_factory=lambda: deque(maxlen=64))

    def flood(self, chat: int, seconds: float) -> None:
        """Refuse what is sent to a chat for so long."""
        self.pauses[chat] = time.monotonic() + seconds

    def hold(self, chat: int) -> None:
        """Refuse a message or an edit while the chat is flooded."""
        self._refuse(chat, self.pauses.get(chat, 0.0) - time.monotonic())

    def send(self, chat: int, *, group: bool) -> None:
        """Count a message to a chat; refused where the limits are held and it comes too soon."""
        now = time.monotonic()
        if self.limited:
            self._refuse(chat, self._wait(chat, now, group=group))
        self.sent[chat].append(now)
        self.everywhere.append(now)

    def _refuse(self, chat: int, wait: float) -> None:
        """Refuse where there are seconds to wait; too early once more where the bot was told of them."""
        if wait <= 0:
            return
        now = time.monotonic()
        early = now < self.told.get(chat, 0.0) - SLACK
        refused = too_many(wait, "sent before retry_after" if early else "")
        self.told[chat] = now + float((refused.parameters or {})["retry_after"])
        raise refused

    def _wait(self, chat: int, now: float, *, group: bool) -> float:
        """Seconds until the limits let a message to the chat pass; 0 or less where they do now."""
        here = self.sent[chat]
        rules = [(here, BURST, float(BURST)), (self.everywhere, 30, 1.0)]
        rules += [(here, 20, 60.0)] if group else []
        return max((sent[-most] + span - now for sent, most, span in rules if len(sent) >= most), default=0.0)
