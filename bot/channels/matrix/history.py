"""What was said while we were away: an answer to a sync holds the newest events of a room, and the gap before them is filled here."""

from __future__ import annotations

from typing import Any

from nio import MessageDirection, RoomMemberEvent

from bot.channels.matrix.link import Link, Refused, granted

PAGE = 200
"""So many events are asked for at a time."""

_WANTED = {
    "types": ["m.room.message", "m.room.encrypted", "m.reaction", "m.room.redaction", "m.sticker", "m.room.member"]
}
_NOT_OURS = {"M_FORBIDDEN", "M_NOT_FOUND"}


async def whole(link: Link, room: str, timeline: Any, since: str | None) -> list[Any]:  # noqa: ANN401 - nio carries no types
    """All events of a room since then, oldest first, decrypted as far as they can be; none from before the bot came in.

    The very first time, when nothing was ever taken, there is no since, and what was said before is nobody's business. Raises
    Refused, or one of UNREACHABLE: then nothing may be counted as taken.
    """
    if since is None:
        return []
    events = list(timeline.events)
    entry = _place_of_entry(events, link.user_id)
    if entry is not None:
        return events[entry + 1 :]
    if not timeline.limited or timeline.prev_batch is None:
        return events
    return [*await _before(link, room, timeline.prev_batch, since), *events]


async def _before(link: Link, room: str, start: str, since: str) -> list[Any]:
    found: list[Any] = []
    while True:
        try:
            page = granted(
                await link.room_messages(room, start, since, MessageDirection.back, PAGE, message_filter=_WANTED)
            )
        except Refused as fault:
            if fault.code in _NOT_OURS:  # thrown out meanwhile: what was said there is not ours to read
                return found
            raise
        older = list(reversed(page.chunk))
        entry = _place_of_entry(older, link.user_id)
        if entry is not None:
            return [*older[entry + 1 :], *found]
        found = [*older, *found]
        if not page.end or page.end in (start, since):
            return found
        start = page.end


def _place_of_entry(events: list[Any], own: str) -> int | None:
    """Where the bot last came into the room, None where it was there all along. A new name or picture is no coming in."""
    places = range(len(events) - 1, -1, -1)
    return next((place for place in places if _is_entry(events[place], own)), None)


def _is_entry(event: object, own: str) -> bool:
    return (
        isinstance(event, RoomMemberEvent)
        and event.state_key == own
        and event.membership == "join"
        and event.prev_membership != "join"
    )
