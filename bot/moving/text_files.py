"""The text of a file, whatever program wrote it: UTF-8 with or without a mark, UTF-16 with one, else Windows-1252."""

from __future__ import annotations

import codecs
import re
from pathlib import Path

from bot.moving.told import ImportFault

_ARCHIVE = b"PK\x03\x04"
_CONTROL = re.compile("[\x00-\x08\x0e-\x1f]")
_MOST_CONTROLS = 1 / 500
"""A text may hold a stray control character, pasted from somewhere; more of them to the character are no text."""


def read_text(path: Path) -> str:
    """The whole text, its line ends as they are. Raises ImportFault for a file that is empty, cannot be read, or is no text."""
    try:
        content = path.read_bytes()
    except IsADirectoryError as fault:
        raise ImportFault(f"{path} is a folder; name the file in it.") from fault
    except OSError as fault:
        raise ImportFault(f"{path} cannot be read: {fault.strerror or fault}.") from fault
    if content.startswith(_ARCHIVE):
        raise ImportFault(f"{path} is a packed archive; unpack it, and name the file in it.")
    text = _decoded(content, path)
    found = _CONTROL.findall(text)
    if "\x00" in found or len(found) > len(text) * _MOST_CONTROLS:
        line = text.count("\n", 0, text.index(found[0])) + 1
        raise ImportFault(f"{path} is no text: there is a control character in line {line}.")
    if not text.strip():
        raise ImportFault(f"{path} is empty.")
    return text


def _decoded(content: bytes, path: Path) -> str:
    if content.startswith((codecs.BOM_UTF16_LE, codecs.BOM_UTF16_BE)):
        try:
            return content.decode("utf-16")
        except UnicodeDecodeError as fault:
            raise ImportFault(f"{path} begins as UTF-16 and is none further on.") from fault
    for encoding in ("utf-8-sig", "cp1252"):
        try:
            return content.decode(encoding)
        except UnicodeDecodeError as fault:
            wrong = content.count(b"\n", 0, fault.start) + 1
    raise ImportFault(f"{path} is in no encoding that I know (line {wrong}); save it as UTF-8.")
