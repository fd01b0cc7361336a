"""Text as the service reads it: HTML of a bot into plain text with entities, and the entities found in what people write.

Offsets and lengths of entities are in UTF-16 code units, as the Bot API counts them. The errors in HTML are those that the
service gives, with the byte offset in UTF-8.
"""

from __future__ import annotations

import re
from dataclasses import dataclass, field
from html import unescape
from typing import Any

from tests.telegram.bot_api.refusal import Refusal, bad_request

BAD_HTML = "bad HTML"

KINDS = {
    **dict.fromkeys(("b", "strong"), "bold"),
    **dict.fromkeys(("i", "em"), "italic"),
    **dict.fromkeys(("u", "ins"), "underline"),
    **dict.fromkeys(("s", "strike", "del"), "strikethrough"),
    **dict.fromkeys(("tg-spoiler", "span"), "spoiler"),
    "a": "text_link",
    "code": "code",
    "pre": "pre",
    "blockquote": "blockquote",
    "tg-emoji": "custom_emoji",
    "tg-time": "date_time",
}
"""What each tag of the HTML style becomes."""

MARK = re.compile(
    r"<(?P<close>/?)(?P<name>[^\s>]*)(?P<rest>[^>]*)>|&(?:lt|gt|amp|quot|#\d+|#x[0-9a-fA-F]+);|<(?P<lone>/?[^\s>]*)|[>&]"
)
START_PARAMETER = re.compile(r"[A-Za-z0-9_-]{1,64}")
ATTRIBUTE = re.compile(r"([\w-]+)(?:\s*=\s*(?:\"([^\"]*)\"|'([^']*)'|([^\s\"'>]+)))?")
WRITTEN = re.compile(
    r"(?P<bot_command>(?<![\w/@])/[A-Za-z0-9_]{1,32}(?:@\w{3,32})?)|(?P<url>https?://\S+)|(?P<mention>(?<!\w)@\w{3,32})"
)


def length(text: str) -> int:
    """How long a text is, in UTF-16 code units."""
    return len(text.encode("utf-16-le")) // 2


def entities_of(text: str) -> list[dict[str, Any]]:
    """The commands, addresses and mentions in what a person wrote, as MessageEntity objects."""
    return [
        {"type": str(found.lastgroup), "offset": length(text[: found.start()]), "length": length(found.group())}
        for found in WRITTEN.finditer(text)
    ]


@dataclass(slots=True)
class Reading:
    """HTML in the midst of being read: the plain text so far, open tags, entities, and bare marks that should be escaped."""

    plain: str = ""
    open_tags: list[tuple[str, int, dict[str, Any]]] = field(default_factory=list)
    entities: list[dict[str, Any]] = field(default_factory=list)
    bare: list[str] = field(default_factory=list)


def from_html(source: str) -> tuple[str, list[dict[str, Any]], list[str]]:
    """Plain text, entities, and the marks "&" and ">" that stand bare (the service lets them pass, its manual does not)."""
    reading = Reading()
    place = 0
    for mark in MARK.finditer(source):
        reading.plain += source[place : mark.start()]
        place = mark.end()
        _take(reading, mark, len(source[: mark.start()].encode()))
    reading.plain += source[place:]
    if reading.open_tags:
        raise wrong(f'Can\'t find end tag corresponding to start tag "{reading.open_tags[-1][0]}"')
    reading.entities.reverse()  # where two cover the same place, the outer one, which closed last, comes first
    reading.entities.sort(key=lambda entity: (entity["offset"], -entity["length"]))
    return (*trimmed(reading.plain, reading.entities), reading.bare)


def wrong(words: str) -> Refusal:
    """HTTP 400: the HTML cannot be read."""
    return bad_request(f"can't parse entities: {words}", breaks=BAD_HTML)


def trimmed(text: str, entities: list[dict[str, Any]]) -> tuple[str, list[dict[str, Any]]]:
    """The text without white space at its ends, as the service stores it, and its entities moved along."""
    front = length(text) - length(text.lstrip())
    kept = text.strip()
    moved = [{**entity, "offset": max(0, entity["offset"] - front)} for entity in entities]
    fitted = [{**entity, "length": min(entity["length"], length(kept) - entity["offset"])} for entity in moved]
    return kept, [entity for entity in fitted if entity["length"] > 0]


def _take(reading: Reading, mark: re.Match[str], offset: int) -> None:
    """Take a tag, a character reference or a bare mark that stands at byte `offset`."""
    if mark["lone"] is not None:
        raise unclosed(mark, offset)
    if mark["name"] is None:
        reading.plain += unescape(mark.group())
        reading.bare += [mark.group()] if mark.group() in {"&", ">"} else []
    elif mark["close"]:
        _close(reading, mark["name"].lower(), offset)
    else:
        _open(reading, mark["name"].lower(), mark["rest"], offset)


def unclosed(mark: re.Match[str], offset: int) -> Refusal:
    """What is wrong with a "<" that no ">" follows."""
    name = mark["lone"].lower()
    if name.startswith("/"):
        return wrong(f"Unclosed end tag at byte offset {offset}")
    if name not in KINDS and mark.end() < len(mark.string):
        return wrong(f'Unsupported start tag "{name}" at byte offset {offset}')
    return wrong(f"Unclosed start tag at byte offset {offset}")


def _open(reading: Reading, name: str, rest: str, offset: int) -> None:
    """A start tag."""
    if name not in KINDS:
        raise wrong(f'Unsupported start tag "{name}" at byte offset {offset}')
    given = {key: unescape(double or single or bare) for key, double, single, bare in ATTRIBUTE.findall(rest)}
    if name == "span" and given.get("class") != "tg-spoiler":
        raise wrong(f'Tag "span" must have class "tg-spoiler" at byte offset {offset}')
    kind: dict[str, Any] = {"type": KINDS[name]}
    if name == "a":
        kind["url"] = given.get("href", "")
    if name == "blockquote" and "expandable" in given:
        kind["type"] = "expandable_blockquote"
    reading.open_tags.append((name, length(reading.plain), kind))


def _close(reading: Reading, name: str, offset: int) -> None:
    """An end tag."""
    if not reading.open_tags:
        raise wrong(f"Unexpected end tag at byte offset {offset}")
    opened, start, kind = reading.open_tags.pop()
    if name != opened:
        raise wrong(f'Unmatched end tag at byte offset {offset}, expected "</{opened}>", found "</{name}>"')
    long = length(reading.plain) - start
    if long and not (kind["type"] == "text_link" and not kind["url"]):
        reading.entities.append({**kind, "offset": start, "length": long})
