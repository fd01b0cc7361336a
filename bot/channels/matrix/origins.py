"""Where events come from: an event that edits, removes or reacts to another may only do so by what is known of that other.

Whoever likes can send an event that claims to edit somebody else's message; nothing in Matrix keeps them from it but who reads it.
What passed by is remembered, and what did not is asked of the homeserver.
"""

from __future__ import annotations

from collections import Counter, OrderedDict
from collections.abc import Mapping
from dataclasses import dataclass, field
from typing import Any

from bot.channels.matrix.events import Origin
from bot.channels.matrix.link import Link, Refused, granted

MOST = 5000
"""So many events are remembered."""

MOST_TRIES = 3
"""An event that the homeserver stumbles over is asked for so often: it must not keep out what comes after it."""

_NOT_THERE = {"M_NOT_FOUND", "M_FORBIDDEN", "M_INVALID_PARAM", "M_BAD_JSON", "M_UNRECOGNIZED"}


@dataclass(slots=True)
class Origins:
    """Remembers the senders and kinds of events, in `known`."""

    link: Link
    known: OrderedDict[str, Origin] = field(default_factory=OrderedDict)
    _tries: Counter[str] = field(default_factory=Counter)

    def note(self, source: Mapping[str, Any]) -> None:
        """Remember an event that passes by."""
        key, sender, kind = source.get("event_id"), source.get("sender"), source.get("type")
        if isinstance(key, str) and isinstance(sender, str) and isinstance(kind, str):
            self.known[key] = Origin(sender, kind)
            while len(self.known) > MOST:
                self.known.popitem(last=False)

    async def learn(self, room: str, event_id: str) -> None:
        """Find out about an event; one that is not there stays unknown.

        Raises Refused, or one of UNREACHABLE, where that must be asked again.
        """
        if event_id in self.known or not event_id.startswith("$"):
            return
        try:
            answer = granted(await self.link.room_get_event(room, event_id))
        except Refused as fault:
            if self._may_ask_again(event_id, fault):
                raise
            return
        source = getattr(answer.event, "source", None)
        if isinstance(source, Mapping):
            self.note(source)

    def _may_ask_again(self, event_id: str, fault: Refused) -> bool:
        if fault.wait is not None or fault.is_logged_out:
            return True
        self._tries[event_id] += 1
        final = fault.code in _NOT_THERE or self._tries[event_id] >= MOST_TRIES
        if final:
            del self._tries[event_id]
        return not final
