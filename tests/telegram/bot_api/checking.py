"""Every request of the bot is held against the published Bot API before anything is done with it."""

from __future__ import annotations

import re
from dataclasses import dataclass
from typing import Any

from tests.telegram.bot_api import schema
from tests.telegram.bot_api.formatted import START_PARAMETER, entities_of, from_html, length, trimmed
from tests.telegram.bot_api.refusal import bad_request
from tests.telegram.bot_api.world import BOT_NAME, World

MISSING = {
    "chat_id": "chat_id is empty",
    "text": "message text is empty",
    "photo": "there is no photo in the request",
    "document": "there is no document in the request",
    "action": "wrong parameter action in request",
    "callback_query_id": "query is too old and response timeout expired or query ID is invalid",
    "file_id": "invalid file_id",
}
"""What the service says where a parameter is missing, as far as it has words of its own for it."""

START = re.compile(rf"(?:t\.me/|domain=){BOT_NAME}[?&]start(?:group)?=([^&\s\"<)]*)", re.IGNORECASE)
LONGEST_DATA = 64


@dataclass(frozen=True, slots=True)
class Upload:
    """A file that came with a request."""

    name: str
    content: bytes
    mime: str


def read(world: World, method: str, given: dict[str, Any]) -> dict[str, Any]:
    """The parameters of a request, decoded; broken rules are recorded, and refused where the service refuses."""
    fields: dict[str, str] = schema.METHODS[method]["parameters"]
    attached = {value.removeprefix("attach://") for value in given.values() if isinstance(value, str)}
    parameters: dict[str, Any] = {}
    for name, raw in given.items():
        if name not in fields:
            # The service passes over what it does not know; a bot that sends it has misread the manual all the same.
            if name not in attached:
                world.break_rule("unknown parameter", name, method)
            continue
        parameters[name] = value(name, fields[name], raw)
    for name, written in fields.items():
        empty = (None, "") if name in MISSING else (None,)
        if written.endswith("!") and parameters.get(name) in empty:
            words = MISSING.get(name, f"parameter {name} is required")
            raise bad_request(words, breaks="missing parameter")
    files = {name: raw for name, raw in given.items() if isinstance(raw, Upload)}
    return parameters | {"files": files}


def value(name: str, written: str, raw: object) -> object:
    """One parameter as its type has it."""
    decoded = schema.decoded(written, raw)
    wrong = schema.fault("attach://" if isinstance(decoded, Upload) else decoded, written)
    if wrong:
        words = "can't parse reply keyboard markup JSON object" if name == "reply_markup" else f"can't parse {name}"
        raise bad_request(f"{words}: {wrong}", breaks="wrong type")
    return decoded


def formatted(world: World, parameters: dict[str, Any], key: str, longest: int) -> dict[str, Any]:
    """The text or caption under `key` as the fields of a Message; `longest` in UTF-16 code units after entities are read."""
    given = parameters.get(key) or ""
    entities_key = "entities" if key == "text" else f"{key}_entities"
    mode = str(parameters.get("parse_mode") or "").lower()
    if mode not in {"", "html"}:
        raise bad_request("unsupported parse_mode", breaks="parse mode not known to the fake")
    if mode:
        text, entities, bare = from_html(given)
        if bare:
            world.break_rule("bad HTML", f"bare {' '.join(bare)} in {given[:80]!r}")
    else:
        text, entities = trimmed(given, parameters.get(entities_key) or [])
    if key == "text" and not text:
        raise bad_request("message text is empty", breaks="empty text")
    if length(text) > longest:
        part = "message" if key == "text" else f"message {key}"
        raise bad_request(f"{part} is too long", breaks=f"{key} too long")
    check_links(world, text, *(entity.get("url", "") for entity in entities))
    entities = entities + [found for found in entities_of(text) if not any(overlap(found, other) for other in entities)]
    entities.sort(key=lambda entity: entity["offset"])
    return ({key: text} if text else {}) | ({entities_key: entities} if entities else {})


def overlap(one: dict[str, Any], other: dict[str, Any]) -> bool:
    """Whether two entities share a place."""
    return bool(
        one["offset"] < other["offset"] + other["length"] and other["offset"] < one["offset"] + one["length"],
    )


def check_links(world: World, *places: str) -> None:
    """Record start parameters that do not fit, in links to the bot."""
    for place in places:
        for parameter in START.findall(place):
            if not START_PARAMETER.fullmatch(parameter):
                world.break_rule("start parameter", parameter)


def keyboard(world: World, parameters: dict[str, Any]) -> dict[str, Any]:
    """The inline keyboard of a request as the field of a Message; nothing where it has none."""
    rows = (parameters.get("reply_markup") or {}).get("inline_keyboard") or []
    for button in (button for row in rows for button in row):
        kinds = set(button) - {"text", "icon_custom_emoji_id", "style"}
        if len(kinds) != 1:
            words = "can't parse inline keyboard button: Text buttons are unallowed in the inline keyboard"
            raise bad_request(words, breaks="button without a kind")
        if "callback_data" in button and not 1 <= len(button["callback_data"].encode()) <= LONGEST_DATA:
            raise bad_request("BUTTON_DATA_INVALID", breaks="callback data too long")
        check_links(world, button.get("url", ""))
    rows = [row for row in rows if row]
    return {"reply_markup": {"inline_keyboard": rows}} if rows else {}
