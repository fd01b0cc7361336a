"""Sends one parcel: as a message of its own, in the place of another, or with a file."""

from __future__ import annotations

import asyncio
import logging
from collections.abc import Awaitable, Callable
from dataclasses import dataclass, replace
from pathlib import Path
from typing import TYPE_CHECKING, Any

from telegram import LinkPreviewOptions, ReplyParameters
from telegram.constants import ParseMode
from telegram.error import BadRequest

from bot.channels.port import Parcel
from bot.channels.telegram.addresses import chat_ids, is_group, message_id, message_key
from bot.channels.telegram.client import told
from bot.channels.telegram.markup import html_for, keyboard

if TYPE_CHECKING:
    from telegram import Bot, Message

    from bot.conversation.reply import Attachment

LARGEST_PHOTO = 10_000_000
"""Bytes of a photo (Bot API, sendPhoto); larger ones go as documents."""

_UNCHANGED, _BAD_MARKUP, _NO_THREAD = "message is not modified", "parse entities", "thread not found"
_BAD_PHOTO = ("photo_", "image_process", "wrong type of the web page", "too big")

_log = logging.getLogger(__name__)

Sending = Callable[[str, str | None], Awaitable["Message | bool"]]
"""A request that is to be made with these words in this style (a parse mode, None for plain)."""


@dataclass(frozen=True, slots=True)
class Postman:
    """Sends parcels. `file` gives where a file of a reply lies."""

    bot: Bot
    file: Callable[[str], Path]

    async def post(self, parcel: Parcel) -> str | None:
        """Send a parcel; the key of the message. Raises what the library raises, and OSError where a file cannot be read."""
        chat_id, thread_id = chat_ids(parcel.chat)
        replaced = message_id(chat_id, parcel.replaces)
        if replaced is not None and not parcel.reply.files:
            try:
                return await self._edit(parcel, chat_id, replaced)
            except BadRequest as fault:
                _log.info("a message could not be edited and is sent anew: %s", told(fault))
        return await self._send(parcel, chat_id, thread_id)

    async def _edit(self, parcel: Parcel, chat_id: int, number: int) -> str | None:
        options: dict[str, Any] = {"reply_markup": keyboard(parcel.buttons)}

        async def edit(text: str, style: str | None) -> Message | bool:
            return await self.bot.edit_message_text(
                text, chat_id, number, parse_mode=style, link_preview_options=_no_preview(), **options
            )

        try:
            await _styled(parcel, edit)
        except BadRequest as fault:
            if _UNCHANGED not in str(fault).lower():
                raise
        return parcel.replaces

    async def _send(self, parcel: Parcel, chat_id: int, thread_id: int | None) -> str | None:
        options = _options(parcel, chat_id) | {"message_thread_id": thread_id}
        try:
            sent = await self._sent(parcel, options)
        except BadRequest as fault:
            if thread_id is None or _NO_THREAD not in str(fault).lower():
                raise
            # The topic is gone; the chat still wants to know.
            sent = await self._sent(parcel, options | {"message_thread_id": None})
        return None if isinstance(sent, bool) else message_key(chat_id, sent.message_id)

    async def _sent(self, parcel: Parcel, options: dict[str, Any]) -> Message | bool:
        if not parcel.reply.files:
            return await _styled(parcel, self._text(options))
        first, *others = parcel.reply.files
        sent = await self._with_file(parcel, first, options)
        for other in others:
            bare = replace(parcel, reply=replace(parcel.reply, text="", files=(other,)), buttons=(), mentions=None)
            await self._with_file(bare, other, options | {"reply_markup": None, "reply_parameters": None})
        return sent

    def _text(self, options: dict[str, Any]) -> Sending:
        async def send(text: str, style: str | None) -> Message:
            return await self.bot.send_message(
                text=text, parse_mode=style, link_preview_options=_no_preview(), **options
            )

        return send

    async def _with_file(self, parcel: Parcel, kept: Attachment, options: dict[str, Any]) -> Message | bool:
        path = self.file(kept.path)
        content, name = await asyncio.to_thread(path.read_bytes), kept.name or path.name
        if kept.kind == "photo" and len(content) <= LARGEST_PHOTO:
            try:
                return await _styled(parcel, self._photo(content, name, options))
            except BadRequest as fault:
                if not any(words in str(fault).lower() for words in _BAD_PHOTO):
                    raise
        return await _styled(parcel, self._document(content, name, options))

    def _photo(self, content: bytes, name: str, options: dict[str, Any]) -> Sending:
        async def send(text: str, style: str | None) -> Message:
            return await self.bot.send_photo(
                photo=content, filename=name, caption=text or None, parse_mode=style, **options
            )

        return send

    def _document(self, content: bytes, name: str, options: dict[str, Any]) -> Sending:
        async def send(text: str, style: str | None) -> Message:
            return await self.bot.send_document(
                document=content, filename=name, caption=text or None, parse_mode=style, **options
            )

        return send


async def _styled(parcel: Parcel, send: Sending) -> Message | bool:
    """Send in HTML, and once more in plain words where the service cannot read that."""
    try:
        return await send(html_for(parcel), ParseMode.HTML)
    except BadRequest as fault:
        if _BAD_MARKUP not in str(fault).lower():
            raise
        _log.warning("the service could not read our HTML: %s", told(fault))
        return await send(parcel.reply.text, None)


def _options(parcel: Parcel, chat_id: int) -> dict[str, Any]:
    """What is the same for messages of all kinds. In a private chat it is plain what is answered, so only groups see it."""
    answered = message_id(chat_id, parcel.answers) if is_group(chat_id) else None
    return {
        "chat_id": chat_id,
        "reply_markup": keyboard(parcel.buttons),
        "disable_notification": not parcel.rings,
        "reply_parameters": ReplyParameters(answered, allow_sending_without_reply=True) if answered else None,
    }


def _no_preview() -> LinkPreviewOptions:
    return LinkPreviewOptions(is_disabled=True)
