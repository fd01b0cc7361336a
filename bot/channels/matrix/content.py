"""What the bot's messages look like as events, pure."""

from __future__ import annotations

import hashlib
import html
from collections.abc import Mapping
from typing import Any

from bot.channels.matrix.events import event_of
from bot.channels.matrix.signs import MOST, sign
from bot.channels.port import Parcel
from bot.conversation.reply import Reply

MESSAGE, REACTION = "m.room.message", "m.reaction"
NOTICE, TEXT, IMAGE, FILE = "m.notice", "m.text", "m.image", "m.file"

Content = dict[str, Any]


def words(parcel: Parcel, *, shared: bool) -> Content:
    """The event's content for a parcel. `shared` is for a room of several people, where it says which message it answers.

    A notice, which rings nobody's telephone, but a text that mentions the member where it is to ring. Choices are listed with
    their numbers, so that they can be answered without reactions too.
    """
    text = plain(parcel.reply)
    content: Content = {
        "msgtype": TEXT if parcel.rings else NOTICE,
        "body": text,
        "format": "org.matrix.custom.html",
        "formatted_body": html.escape(text, quote=False).replace("\n", "<br>"),
        "m.mentions": {"user_ids": [parcel.mentions]} if parcel.rings and parcel.mentions else {},
    }
    return _related(content, parcel, shared=shared)


def file_words(where: Mapping[str, Any], name: str, media_type: str, caption: str) -> Content:
    """The content for a file that lies at `where`; a caption is the body, with the file's name beside it."""
    return {
        "msgtype": IMAGE if media_type.startswith("image/") else FILE,
        "body": caption or name,
        "filename": name,
        "m.mentions": {},
        **where,
    }


def line(text: str, reply_to: str | None) -> Content:
    """The content for a line that is said at once and kept nowhere."""
    content: Content = {"msgtype": NOTICE, "body": text, "m.mentions": {}}
    if reply_to is not None:
        content["m.relates_to"] = {"m.in_reply_to": {"event_id": reply_to}}
    return content


def reactions(parcel: Parcel, event_id: str) -> list[Content]:
    """The content of the reactions that stand for the choices of a parcel, to be put on the event that asks."""
    return [
        {"m.relates_to": {"rel_type": "m.annotation", "event_id": event_id, "key": sign(place)}}
        for place in range(min(len(parcel.buttons), MOST))
    ]


def transaction(parcel: Parcel, part: int = 0) -> str:
    """The id under which a part of a parcel is sent: sent again, the homeserver knows it and makes no second message.

    The text goes into it, since a database that was put back from a copy gives the same numbers to other parcels.
    """
    said = hashlib.sha256(repr((parcel.chat, parcel.reply.text, parcel.reply.choices)).encode("utf-8", "replace"))
    return f"rackside-{parcel.id}-{said.hexdigest()[:12]}" + (f"-{part}" if part else "")


def plain(reply: Reply) -> str:
    """A reply in plain words, its choices with their numbers."""
    listed = [f"{number}. {choice}" for number, choice in enumerate(reply.choices, 1)]
    return "\n".join([reply.text, *listed] if reply.text else listed)


def _related(content: Content, parcel: Parcel, *, shared: bool) -> Content:
    if parcel.replaces is not None:
        content["m.new_content"] = dict(content)
        content["m.relates_to"] = {"rel_type": "m.replace", "event_id": parcel.replaces}
        content["body"] = f"* {content['body']}"
        content["m.mentions"] = {}
    elif shared and parcel.answers is not None:
        content["m.relates_to"] = {"m.in_reply_to": {"event_id": event_of(parcel.answers)}}
    return content
