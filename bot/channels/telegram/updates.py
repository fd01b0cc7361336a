"""Updates of the service, read one by one: each becomes what it tells the house, or nothing. Reading never raises."""

from __future__ import annotations

import logging
from datetime import datetime
from typing import TYPE_CHECKING, Any, cast

from telegram import Message as TelegramMessage
from telegram import Update

from bot.channels.port import UNREADABLE, Carried, Press
from bot.channels.telegram.addresses import chat_name, message_key
from bot.channels.telegram.contents import kind_of, photo_of
from bot.channels.telegram.events import Account, Blocked, Event, Faceless, Moved, Unblocked
from bot.channels.telegram.words import Words, words_of

if TYPE_CHECKING:
    from telegram import CallbackQuery, ChatMemberUpdated, MaybeInaccessibleMessage, Message, User

ALLOWED = ("message", "edited_message", "callback_query", "my_chat_member")
"""The kinds of update that the bot asks for. Always sent: left out, the service would keep to what was asked before."""

_log = logging.getLogger(__name__)


def read(update: object, account: Account, now: datetime) -> Event | None:
    """What an update, as decoded JSON, tells; None for nothing that concerns us. `now` dates what bears no date itself.

    Where it cannot be read but its sender can be made out, it is a message that carries UNREADABLE.
    """
    try:
        return _event(Update.de_json(cast("dict[str, Any]", update)), account, now)
    except Exception as fault:  # noqa: BLE001 - whatever the service sends, the updates after it must come in
        return _unreadable(update, now, type(fault).__name__)


def _event(update: Update, account: Account, now: datetime) -> Event | None:
    if update.message is not None:
        return _message(update.message, account)
    if update.edited_message is not None:
        return _edit(update.edited_message, account)
    if update.callback_query is not None:
        return _press(update.callback_query, now)
    if update.my_chat_member is not None:
        return _standing(update.my_chat_member)
    return None


def _message(message: Message, account: Account) -> Event | None:
    if message.migrate_to_chat_id is not None:
        return Moved(chat_name(message.chat.id), chat_name(message.migrate_to_chat_id))
    return _said(message, account, edited=False)


def _edit(message: Message, account: Account) -> Event | None:
    # A place that somebody shares live comes as an edit every few seconds; the first time was enough.
    return None if message.location is not None else _said(message, account, edited=True)


def _said(message: Message, account: Account, *, edited: bool) -> Event | None:
    words, sender = words_of(message, account), message.from_user
    if words is None or message.is_automatic_forward or message.chat.type == message.chat.CHANNEL:
        return None
    if message.sender_chat is not None:
        faceless = Faceless(_chat(message), message_key(message.chat.id, message.message_id))
        return faceless if words.addressed and not edited else None
    if sender is None or sender.is_bot or not (words.text or kind_of(message)):
        return None
    return _carried(message, sender, words, edited=edited)


def _carried(message: Message, sender: User, words: Words, *, edited: bool) -> Carried:
    key, kind = message_key(message.chat.id, message.message_id), kind_of(message)
    return Carried(
        address=str(sender.id),
        name=sender.full_name,
        chat=_chat(message),
        key=key,
        text=words.text,
        sent_at=message.date,
        revision=_revision(message) if edited else 0,
        edits=key if edited else None,
        reply_to=_answered(message),
        carries=kind,
        photo=photo_of(message),
        album=message.media_group_id,
        private=message.chat.type == message.chat.PRIVATE,
        addressed=words.addressed,
    )


def _revision(message: Message) -> int:
    """Grows with each edit, and is more than 0 for one within the second in which the message was written."""
    edited_at = message.edit_date or message.date
    return 1 + max(0, int((edited_at - message.date).total_seconds()))


def _answered(message: Message) -> str | None:
    """The message that this one answers. In a topic the service names the topic's first message where there is none."""
    answered = message.reply_to_message
    if answered is None or answered.forum_topic_created is not None:
        return None
    return message_key(message.chat.id, answered.message_id)


def _chat(message: MaybeInaccessibleMessage) -> str:
    in_topic = isinstance(message, TelegramMessage) and message.is_topic_message
    return chat_name(message.chat.id, message.message_thread_id if in_topic else None)  # type: ignore[attr-defined]


def _press(query: CallbackQuery, now: datetime) -> Press | None:
    if query.message is None or query.from_user.is_bot:
        return None
    return Press(
        address=str(query.from_user.id),
        name=query.from_user.full_name,
        chat=_chat(query.message),
        key=query.id,
        sent_at=now,
        data=query.data,
        message_key=message_key(query.message.chat.id, query.message.message_id),
    )


def _standing(change: ChatMemberUpdated) -> Blocked | Unblocked:
    chat, standing = chat_name(change.chat.id), change.new_chat_member
    return Blocked(chat) if standing.status in (standing.BANNED, standing.LEFT) else Unblocked(chat)


def _unreadable(update: object, now: datetime, reason: str) -> Carried | None:
    """What can be made out of an update that cannot be read."""
    number = _within(update, "update_id")
    _log.warning("update %s cannot be read: %s", number, reason)
    for kind in ALLOWED[:2]:
        sender, chat = _within(update, kind, "from", "id"), _within(update, kind, "chat", "id")
        if not isinstance(sender, int) or _within(update, kind, "from", "is_bot") is True:
            continue
        place = chat if isinstance(chat, int) else sender
        return Carried(
            address=str(sender),
            name=str(_within(update, kind, "from", "first_name") or sender),
            chat=chat_name(place),
            key=f"update-{number}",
            text="",
            sent_at=now,
            carries=UNREADABLE,
            private=place == sender,
            addressed=place == sender,
        )
    return None


def _within(value: object, *names: str) -> object:
    for name in names:
        value = value.get(name) if isinstance(value, dict) else None
    return value
