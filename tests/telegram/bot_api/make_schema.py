"""Makes schema.json, the part of the published Bot API that the fake server knows.

Source: the folder `.butcher/schema` in the source archive of aiogram, which carries the methods and types of the Bot API as
JSON (MIT licence, Copyright (c) 2017 - present Alex Root Junior). Run it as
`python -m tests.telegram.bot_api.make_schema path/to/aiogram-3.31.0`, with the archive unpacked there.

The result is compact: {"methods": {method: {"returns": type, "parameters": fields}}, "types": {type: fields, or the list of
types of which it is one}}. A field is written "Integer", "Array of String", "InputFile or String" as the documentation has it,
with "!" behind a field that must be given and "=word" behind one that always holds that word. Fields that the documentation
no longer carries (deprecated ones) are left out. A type that the fake does not look into is written "any".
"""

from __future__ import annotations

import json
import re
import sys
from pathlib import Path
from typing import Any

HERE = Path(__file__).resolve().parent

RETURNS = {
    "getMe": "User",
    "getUpdates": "Array of Update",
    "setWebhook": "Boolean",
    "deleteWebhook": "Boolean",
    "getWebhookInfo": "WebhookInfo",
    "sendMessage": "Message",
    "editMessageText": "Message or Boolean",
    "editMessageReplyMarkup": "Message or Boolean",
    "answerCallbackQuery": "Boolean",
    "sendChatAction": "Boolean",
    "sendPhoto": "Message",
    "sendDocument": "Message",
    "getFile": "File",
    "setMyCommands": "Boolean",
    "getMyCommands": "Array of BotCommand",
    "deleteMyCommands": "Boolean",
    "leaveChat": "Boolean",
    "getChat": "ChatFullInfo",
}
"""The methods that the fake knows, and what the documentation says in words that each gives."""

NOT_LOOKED_INTO = {"RichMessage", "InputRichMessage"}
"""Types with more than a hundred of their own below them, which neither the bot nor the fake uses."""

ALWAYS = re.compile(r"(?:always|must be) '?([a-z_]+)'?$")
ONE_OF = re.compile(r"^\s*-\s*([A-Z]\w+)\s*$", re.MULTILINE)
TYPE_NAME = re.compile(r"[A-Z]\w+")


def field(annotation: dict[str, Any]) -> str:
    """A field in the compact form."""
    always = ALWAYS.search(annotation["description"].strip().removesuffix("."))
    word = f"={always.group(1)}" if always and annotation["type"] == "String" else ""
    return str(annotation["type"]) + word + ("!" if annotation["required"] else "")


def fields(thing: dict[str, Any]) -> dict[str, str]:
    """The fields of a type or the parameters of a method, without those that are deprecated."""
    return {note["name"]: field(note) for note in thing["annotations"] if "deprecated" not in note}


def made(published: dict[str, Any], release: str) -> dict[str, Any]:
    """The compact form of what the fake's methods reach in `published`."""
    things = {thing["name"]: thing for group in published["items"] for thing in group["children"]}
    methods = {name: {"returns": gives, "parameters": fields(things[name])} for name, gives in RETURNS.items()}
    waiting = TYPE_NAME.findall(json.dumps(methods))
    types: dict[str, Any] = {}
    while waiting:
        name = waiting.pop()
        if name in types or name not in things:
            continue
        if name in NOT_LOOKED_INTO:
            types[name] = "any"
            continue
        known = fields(things[name])
        types[name] = known or ONE_OF.findall(things[name]["description"])
        waiting.extend(TYPE_NAME.findall(json.dumps(types[name])))
    return {
        "source": f"Telegram Bot API {published['api']['version']} of {published['api']['release_date']}, from {release}",
        "licence": "MIT, Copyright (c) 2017 - present Alex Root Junior",
        "methods": methods,
        "types": dict(sorted(types.items())),
    }


def main() -> None:
    """Write schema.json from the unpacked archive named on the command line."""
    archive = Path(sys.argv[1])
    published = json.loads((archive / ".butcher" / "schema" / "schema.json").read_text(encoding="utf-8"))
    compact = json.dumps(made(published, archive.name), indent=1, ensure_ascii=False)
    (HERE / "schema.json").write_text(compact + "\n", encoding="utf-8")


if __name__ == "__main__":
    main()
