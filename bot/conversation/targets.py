"""Which earlier message a message hangs on: the one it edits or deletes, or the one it answers."""

from __future__ import annotations

from typing import Any

from bot.conversation.scene import Scene
from storage import inbox, outbox
from storage.inbox import InboxRow
from storage.outbox import OutboxRow


def first_revision(scene: Scene, key: str) -> InboxRow | None:
    """The first revision of an earlier message, by the service's id of it: what all its entries belong to."""
    message = scene.message
    found = inbox.revisions(scene.session, scene.collection.id, message.channel, message.chat, key)
    earlier = [row for row in found if row.id < message.id]
    if not earlier:
        return None
    first = earlier[0]
    # An edit that came with an id of its own stands for the message that it edits.
    return first_revision(scene, first.edits) if first.edits not in (None, key) and first.edits else first


def answered_by(scene: Scene) -> OutboxRow | None:
    """The bot's own message to this collection that the message of the scene answers; None if it answers none."""
    message = scene.message
    if message.reply_to is None:
        return None
    return outbox.by_service_id(scene.session, scene.collection.id, message.channel, message.chat, message.reply_to)


def target_of(scene: Scene) -> int | None:
    """The inbox id of the message that this one answers, by way of the bot's reply to it or directly; None if it answers none."""
    message = scene.message
    if message.reply_to is None:
        return None
    own = answered_by(scene)
    if own is not None:
        about: int | None = own.body.get("about", own.inbox_id)
        return about
    first = first_revision(scene, message.reply_to)
    if first is None:
        return None
    return next(iter(told_by(scene, first.id)), first.id)


def told_by(scene: Scene, message_id: int) -> list[int]:
    """The messages whose entries the replies to a message tell of: another than itself where it answered a question."""
    rows = outbox.answers_to(scene.session, message_id)
    return [row.body["about"] for row in rows if row.body.get("about") is not None]


def did(scene: Scene, message_id: int) -> dict[str, Any]:
    """What a message changed beside entries, as its replies say."""
    found: dict[str, Any] = {}
    for row in outbox.answers_to(scene.session, message_id):
        found |= row.body.get("did", {})
    return found
