"""A chat exported as text, in the two forms that are usual.

    [31/01/2026, 21:14:05] Ann: fed the dwarfs 4 crickets          31/01/2026, 21:14 - Ann: fed the dwarfs 4 crickets

with the day in any order, with 12 or 24 hours, and with the marks of writing direction that telephones put in. A line that does not
begin so goes on with the message above it. A line with a time and no sender is the service's own. Written from the form of such
files as they are commonly seen; no service publishes it.
"""

from __future__ import annotations

import re
from collections import Counter
from collections.abc import Iterator, Sequence
from dataclasses import dataclass
from datetime import datetime, time

from bot.moving.told import Contents, ImportFault, Told, numbered
from bot.moving.written_days import Order, OrderFor, WrittenDay, day_at, time_at

_DIRECTION = str.maketrans("", "", "\u200e\u200f\u202a\u202b\u202c\u202d\u202e\u2066\u2067\u2068\u2069\ufeff")
_SPACES = str.maketrans(dict.fromkeys("\u00a0\u202f\u2009", " "))
_GAP = re.compile(r",?\s+")
_AFTER_TIME = {True: re.compile(r"\]\s*"), False: re.compile(r"\s+[-\u2013\u2014]\s+")}
_SENDER = re.compile(r"(?P<sender>[^:\n]{1,80}):(?: |$)(?P<text>.*)", re.DOTALL)
_FILE = re.compile(
    r"<attached:[^>\n]*>|<media omitted>|^\s*(?:image|video|audio|sticker|gif|document|contact card|voice message) omitted\s*$"
    r"|^\S+\.(?:jpe?g|png|webp|heic|gif|mp4|mov|3gp|opus|ogg|m4a|mp3|pdf|docx?|vcf)\s*\(file attached\)",
    re.IGNORECASE | re.MULTILINE,
)
_DELETED = re.compile(r"(?:this message was deleted|you deleted this message)\.?", re.IGNORECASE)
_EDITED = re.compile(r"\s*<this message was edited>\s*$", re.IGNORECASE)
_LOOKED_AT = 20
"""Lines at the beginning of a file among which a chat shows itself."""


@dataclass(slots=True)
class _Block:
    """One message with the lines that go on with it; `fault` where its time cannot be."""

    number: int
    day: WrittenDay
    at: time | None
    lines: list[str]
    fault: str = ""

    @property
    def where(self) -> str:
        return f"line {self.number}"


def is_chat(text: str) -> bool:
    """Whether a text looks like such an export: its first line, or two of the first, begin with a time in that form."""
    lines = [line for line in text.splitlines()[:_LOOKED_AT] if line.strip()]
    stamped = [_block(1, line) is not None for line in lines]
    return bool(stamped) and (stamped[0] or sum(stamped) > 1)


def read_chat(text: str, order_for: OrderFor) -> Contents:
    """The messages of an export. Raises ImportFault."""
    unreadable: list[str] = []
    blocks = _blocks(text, unreadable)
    if not blocks:
        raise ImportFault("No line begins with a time and a name, as a chat export has them.")
    order = order_for([(one.where, one.day) for one in blocks], True)  # noqa: FBT003 - as OrderFor has it
    left_out: Counter[str] = Counter()
    told = tuple(numbered(_told(blocks, order, left_out, unreadable)))
    return Contents("a chat as text", "", told, left_out, tuple(unreadable))


def _blocks(text: str, unreadable: list[str]) -> list[_Block]:
    # Not `splitlines`: a message may hold other characters at which that would part it.
    found: list[_Block] = []
    for number, line in enumerate(text.replace("\r\n", "\n").split("\n"), 1):
        block = _block(number, line)
        if block is not None:
            found.append(block)
        elif found:
            found[-1].lines.append(line)
        elif line.strip():
            unreadable.append(f"line {number}: no time stands in it or above it.")
    return found


def _block(number: int, line: str) -> _Block | None:
    """The beginning of a message; None for a line that goes on with the one above."""
    stamp = line.translate(_DIRECTION)
    plain = stamp.translate(_SPACES)  # character by character, so that places in it are places in `stamp`
    bracket = plain.startswith("[")
    day = day_at(plain, int(bracket))
    gap = None if day is None else _GAP.match(plain, day[1])
    if day is None or gap is None:
        return None
    fault = ""
    try:
        clock = time_at(plain, gap.end())
    except ValueError as problem:
        clock, fault = None, str(problem)
    if clock is None:
        return _Block(number, day[0], None, [], fault) if fault else None
    after = _AFTER_TIME[bracket].match(plain, clock[1])
    return None if after is None else _Block(number, day[0], clock[0], [stamp[after.end() :]])


def _told(blocks: Sequence[_Block], order: Order, left_out: Counter[str], unreadable: list[str]) -> Iterator[Told]:
    for block in blocks:
        if block.at is None:
            unreadable.append(f"{block.where}: {block.fault}.")
            continue
        try:
            at = datetime.combine(block.day.day(order), block.at)
        except ValueError:
            unreadable.append(f"{block.where}: {block.day.words} is no day of the calendar.")
            continue
        found = _SENDER.fullmatch("\n".join(block.lines))
        if found is None:
            left_out["lines of the service itself"] += 1
            continue
        text = _words(found["text"], left_out)
        if text:
            yield Told(at, text, "", block.where, sender=found["sender"].strip())


def _words(text: str, left_out: Counter[str]) -> str:
    """What was said, without what stands for a file that came with it; empty where nothing was."""
    said = _EDITED.sub("", text.translate(_DIRECTION)).strip()
    if _DELETED.fullmatch(said):
        left_out["deleted messages"] += 1
        return ""
    words = _FILE.sub("", said).strip()
    if words != said:
        left_out["pictures and other files"] += 1
    return words
