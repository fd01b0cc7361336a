"""How a parcel looks: its words as HTML, its choices as rows of buttons."""

from __future__ import annotations

from html import escape
from typing import TYPE_CHECKING

from telegram import InlineKeyboardButton, InlineKeyboardMarkup

from bot.channels.telegram.addresses import chat_ids, is_group

if TYPE_CHECKING:
    from collections.abc import Sequence

    from bot.channels.port import Button, Parcel
    from bot.conversation.reply import Reply

LONG_LABEL = 14
"""Characters; where a label is longer, each button has a row to itself."""
LONGEST_LABEL = 40
IN_A_ROW = 3
LONGEST_TEXT, LONGEST_CAPTION = 4096, 1024
"""UTF-16 code units (Bot API, sendMessage and sendPhoto)."""

_NOTHING_SEEN = "\N{WORD JOINER}"


def html_of(reply: Reply) -> str:
    """The words of a reply in the service's HTML; the first line of a table is its heading, in bold."""
    text = escape(reply.text, quote=False)
    heading, newline, rest = text.partition("\n")
    return f"<b>{heading}</b>{newline}{rest}" if reply.rows and heading.strip() else text


def html_for(parcel: Parcel) -> str:
    """The words of a parcel in HTML. In a group whoever is meant is named, unseen, so that it rings with that person."""
    text = html_of(parcel.reply)
    wanted = parcel.mentions is not None and parcel.mentions.isdecimal() and is_group(chat_ids(parcel.chat)[0])
    longest = LONGEST_CAPTION if parcel.reply.files else LONGEST_TEXT
    if not wanted or len(parcel.reply.text.encode("utf-16-le")) // 2 >= longest:
        return text
    return f'<a href="tg://user?id={parcel.mentions}">{_NOTHING_SEEN}</a>{text}'


def keyboard(buttons: Sequence[Button]) -> InlineKeyboardMarkup | None:
    """The choices as buttons, up to three in a row where all are short; None for no choices."""
    if not buttons:
        return None
    across = 1 if any(len(button.label) > LONG_LABEL for button in buttons) else IN_A_ROW
    made = [InlineKeyboardButton(label(button.label), callback_data=button.data) for button in buttons]
    return InlineKeyboardMarkup([made[start : start + across] for start in range(0, len(made), across)])


def label(words: str) -> str:
    """The words on a button, cut where they are too long for one."""
    return words if len(words) <= LONGEST_LABEL else f"{words[: LONGEST_LABEL - 1].rstrip()}\N{HORIZONTAL ELLIPSIS}"
