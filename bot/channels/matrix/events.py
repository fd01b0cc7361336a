"""A room's events as the house takes them, pure: `read` makes a `Carried`, a `Press` or nothing of one.

Content comes from whoever likes to send it, so every field is looked at before it is used.
"""

from __future__ import annotations

import re
from collections.abc import Mapping
from dataclasses import dataclass, field
from datetime import UTC, datetime, timedelta
from typing import Any

from bot.channels.matrix.signs import place_of
from bot.channels.port import DOCUMENT, OTHER, PHOTO, STICKER, UNREADABLE, VOICE, Carried, Press

Event = Mapping[str, Any]
"""An event as the homeserver gives it, decrypted where it was encrypted."""

_SAYING = ("m.room.message", "m.room.encrypted", "m.sticker")
_WORDS = ("m.text", "m.emote")
_CARRIES = {"m.image": PHOTO, "m.file": DOCUMENT, "m.audio": VOICE, "m.video": OTHER, "m.location": OTHER}
_IN_FRONT = r"\s*(?:@?(?:{names})\s*[:,]\s*|@(?:{names})(?:\s+|$))"
_IN_FRONT_OF_MENTION = r"\s*@?(?:{names})\s*(?:[:,]\s*|\s|$)"
_QUOTED = re.compile(r"(?:>[^\n]*(?:\n|$))+\n?")
_COMMAND = re.compile(r"!(?=[A-Za-z])")
EPOCH = datetime(1970, 1, 1, tzinfo=UTC)
_NOT_READ = " unread"


@dataclass(frozen=True, slots=True)
class Origin:
    """Of an event: who sent it, and of what kind it is."""

    sender: str
    kind: str


@dataclass(frozen=True, slots=True)
class View:
    """What must be known of a room to read its events.

    `own` is the bot's user id and `name` what it is called there; `names` what to call others. `private` says that the bot and one
    other are in it; `origins` holds what is known of other events.
    """

    room: str
    own: str
    name: str
    private: bool
    names: Mapping[str, str] = field(default_factory=dict)
    origins: Mapping[str, Origin] = field(default_factory=dict)

    def is_by(self, sender: str, event_id: str | None) -> bool:
        """Whether an event is known to be somebody's."""
        origin = None if event_id is None else self.origins.get(event_id)
        return origin is not None and origin.sender == sender


def read(event: Event, view: View) -> Carried | Press | None:
    """What the house should hear of an event; None for what is not for it: our own, other bots', state, and what is malformed."""
    kind, sender, key = event.get("type"), event.get("sender"), event.get("event_id")
    sent_at = _moment(event.get("origin_server_ts"))
    if not (isinstance(sender, str) and isinstance(key, str) and sent_at) or sender == view.own:
        return None
    known = _Sent(sender, view.names.get(sender) or _local(sender), key, sent_at)
    content = _table(event.get("content"))
    if kind == "m.room.message":
        return _message(content, view, known)
    if kind == "m.sticker":
        return _carried(view, known, carries=STICKER, addressed=view.private)
    if kind == "m.reaction":
        return _reaction(content, view, known)
    if kind == "m.room.redaction":
        return _redaction(event, content, view, known)
    return None


def unread(event: Event, view: View) -> Carried | None:
    """What the house should hear of an event that cannot be decrypted: who sent it, and when.

    It has a key of its own, so that the message itself can still be taken should it become readable.
    """
    sender, key, sent_at = event.get("sender"), event.get("event_id"), _moment(event.get("origin_server_ts"))
    if not (isinstance(sender, str) and isinstance(key, str) and sent_at) or sender == view.own:
        return None
    known = _Sent(sender, view.names.get(sender) or _local(sender), f"{key}{_NOT_READ}", sent_at)
    return _carried(view, known, carries=UNREADABLE, addressed=view.private)


def event_of(key: str) -> str:
    """The event that a key stands for."""
    return key.removesuffix(_NOT_READ)


def asks_about(event: Event, *, private: bool) -> str | None:
    """The event whose origin must be known before this one can be read; None for none."""
    content = _table(event.get("content"))
    relation, kind = _relation(content), event.get("type")
    target: object = None
    if kind == "m.reaction":
        sign = relation.get("key")
        target = relation.get("event_id") if isinstance(sign, str) and place_of(sign) is not None else None
    elif kind == "m.room.redaction":
        target = _gone(event, content)
    elif kind == "m.room.message":
        target = _edits(relation) or (None if private else _reply_to(relation))
    return target if isinstance(target, str) else None


@dataclass(frozen=True, slots=True)
class _Sent:
    address: str
    name: str
    key: str
    sent_at: datetime


def _message(content: Event, view: View, known: _Sent) -> Carried | None:
    relation = _relation(content)
    edits = _edits(relation)
    if edits is not None and not view.is_by(known.address, edits):
        return None
    told = _table(content.get("m.new_content")) or content if edits else content
    kind = told.get("msgtype")
    if not isinstance(kind, str) or kind not in {*_WORDS, *_CARRIES}:
        return None
    reply_to = _reply_to(relation)
    mentioned = _mentions(told, view)
    said = _words(told, kind, quotes=bool(reply_to), starred=told is content and bool(edits))
    text, named = _without_name(said, view, mentioned=mentioned)
    addressed = view.private or named or mentioned or view.is_by(view.own, reply_to)
    return _carried(
        view,
        known,
        text=text,
        revision=1 if edits else 0,
        edits=edits,
        reply_to=reply_to,
        carries=_CARRIES.get(kind),
        photo=_photo(told) if kind == "m.image" else None,
        addressed=addressed,
    )


def _carried(view: View, known: _Sent, **more: Any) -> Carried:  # noqa: ANN401 - fields of Carried
    return Carried(
        address=known.address,
        name=known.name,
        chat=view.room,
        key=known.key,
        sent_at=known.sent_at,
        private=view.private,
        **{"text": "", **more},
    )


def _reaction(content: Event, view: View, known: _Sent) -> Press | None:
    relation = _relation(content)
    target, sign = relation.get("event_id"), relation.get("key")
    if not (isinstance(target, str) and isinstance(sign, str) and view.is_by(view.own, target)):
        return None
    place = place_of(sign)
    if place is None:
        return None
    return Press(
        address=known.address,
        name=known.name,
        chat=view.room,
        key=known.key,
        sent_at=known.sent_at,
        message_key=target,
        place=place,
    )


def _redaction(event: Event, content: Event, view: View, known: _Sent) -> Carried | None:
    """Of what others said, not of our own, nor of a reaction: taking one back is no act."""
    gone = _gone(event, content)
    origin = None if gone is None else view.origins.get(gone)
    if origin is None or origin.kind not in _SAYING or origin.sender == view.own:
        return None
    return _carried(view, known, deletes=gone, addressed=view.private)


def _gone(event: Event, content: Event) -> str | None:
    """What a redaction takes back. Rooms of version 11 and later say so in the content, older ones beside it."""
    gone = content.get("redacts") or event.get("redacts")
    return gone if isinstance(gone, str) else None


def _edits(relation: Event) -> str | None:
    """The event that one edits."""
    edits = relation.get("event_id") if relation.get("rel_type") == "m.replace" else None
    return edits if isinstance(edits, str) else None


def _words(content: Event, kind: str, *, quotes: bool, starred: bool) -> str:
    """What somebody says in a message; of a file its caption, which is the body where the file's name stands beside it."""
    body = content.get("body")
    if not isinstance(body, str):
        return ""
    if kind in _CARRIES:
        name = content.get("filename")
        return body if isinstance(name, str) and name != body else ""
    if starred:
        body = body.removeprefix("* ")
    return _QUOTED.sub("", body, count=1) if quotes and body.startswith(">") else body


def _without_name(text: str, view: View, *, mentioned: bool) -> tuple[str, bool]:
    """The text without the bot's name in front, and whether that, or a command, stood there.

    A bare name counts only where the client says that the bot is meant: it may be a word of the keeper's.
    """
    names = {name.removeprefix("@") for name in (view.name, view.own, _local(view.own)) if name.strip()}
    listed = "|".join(re.escape(name) for name in sorted(names, key=len, reverse=True))
    form = _IN_FRONT_OF_MENTION if mentioned else _IN_FRONT
    found = re.match(form.format(names=listed), text, re.IGNORECASE)
    if found:
        return text[found.end() :], True
    command = _COMMAND.match(text)
    return (f"/{text[1:]}", True) if command else (text, False)


def _mentions(content: Event, view: View) -> bool:
    """Whether the bot is meant; clients of before `m.mentions` link its name."""
    if "m.mentions" in content:
        users = _table(content["m.mentions"]).get("user_ids")
        return isinstance(users, list) and view.own in users
    html = content.get("formatted_body")
    return isinstance(html, str) and f"matrix.to/#/{view.own}" in html.replace("%40", "@").replace("%3A", ":")


def _photo(content: Event) -> Mapping[str, Any]:
    """Where a photo is: its address, and in an encrypted room the keys to it."""
    return {name: content[name] for name in ("url", "file") if name in content}


def _reply_to(relation: Event) -> str | None:
    """The event that one answers. In a thread, clients name the message before for clients without threads: no answer."""
    if relation.get("rel_type") == "m.thread" and relation.get("is_falling_back", False):
        return None
    found = _table(relation.get("m.in_reply_to")).get("event_id")
    return found if isinstance(found, str) else None


def _relation(content: Event) -> Event:
    return _table(content.get("m.relates_to"))


def _table(value: object) -> Event:
    return value if isinstance(value, Mapping) else {}


def _local(user_id: str) -> str:
    return user_id.removeprefix("@").partition(":")[0]


def _moment(stamp: object) -> datetime | None:
    """A time in milliseconds since 1970, None for what is none."""
    if not isinstance(stamp, int) or not 0 <= stamp < 10**14:
        return None
    return EPOCH + timedelta(milliseconds=stamp)
