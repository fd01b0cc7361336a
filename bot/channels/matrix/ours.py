"""Which events are the bot's own: asked of the homeserver where that is not known, and remembered."""

from __future__ import annotations

from collections import OrderedDict
from dataclasses import dataclass, field

from bot.channels.matrix.link import Link, Refused, granted

MOST = 5000


@dataclass(slots=True)
class Ours:
    """Remembers of events whether the bot sent them; `event_id in ours` is true of those that it did."""

    link: Link
    _known: OrderedDict[str, bool] = field(default_factory=OrderedDict)

    def __contains__(self, event_id: object) -> bool:
        return isinstance(event_id, str) and self._known.get(event_id, False)

    def note(self, event_id: str, *, ours: bool = True) -> None:
        """Remember whether an event is the bot's."""
        self._known[event_id] = ours
        while len(self._known) > MOST:
            self._known.popitem(last=False)

    async def learn(self, room: str, event_id: str) -> None:
        """Find out of an event whose it is. Raises Refused, or one of UNREACHABLE, where that must be asked again."""
        if event_id in self._known:
            return
        try:
            answer = granted(await self.link.room_get_event(room, event_id))
        except Refused as fault:
            if fault.code not in {"M_NOT_FOUND", "M_FORBIDDEN"}:
                raise
            self.note(event_id, ours=False)
            return
        self.note(event_id, ours=answer.event.sender == self.link.user_id)
