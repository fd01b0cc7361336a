"""Links that open a chat with a bot and hand it a code."""

from __future__ import annotations

import re

from bot.labels.label import LabelFault

_NAME = re.compile(r"[A-Za-z][A-Za-z0-9_]{3,31}")
_CODE = re.compile(r"[A-Za-z0-9_-]{1,64}")


def link(service_name: str, code: str) -> str:
    """The address that opens the chat with the bot called `service_name` (without the @) and sends it `code`.

    Source: Telegram's page on deep linking (core.telegram.org/bots/features, "Deep linking"): the start parameter has up
    to 64 of A-Z, a-z, 0-9, _ and -. User names have 4 to 32 of A-Z, a-z, 0-9 and _, and begin with a letter.
    Raises LabelFault, a ValueError, for anything else.
    """
    if not _NAME.fullmatch(service_name):
        raise LabelFault(f"{service_name!r} is no name of a bot: it has 4 to 32 letters, digits or _, without the @.")
    if not _CODE.fullmatch(code):
        raise LabelFault(f"{code!r} cannot stand in a link: it takes 1 to 64 of A-Z, a-z, 0-9, _ and -.")
    return f"https://t.me/{service_name}?start={code}"
