"""Words into a box: they shrink, then wrap, then end in an ellipsis."""

from __future__ import annotations

from collections.abc import Callable, Iterator
from dataclasses import dataclass

from bot.labels.fonts import printable, width_of
from bot.labels.layout import Letters

LEADING = 1.2
"""From one line to the next, in parts of the size of the letters."""

_STEP = 0.5
_ELLIPSIS = "…"

Fits = Callable[[str], bool]


@dataclass(frozen=True, slots=True)
class Lettering:
    """Words as they will stand: font, size in points, and lines from the top."""

    font: str
    points: float
    lines: tuple[str, ...]

    @property
    def height(self) -> float:
        """From the top of the first line to the bottom of the last, in points."""
        return len(self.lines) * self.points * LEADING


@dataclass(frozen=True, slots=True)
class Room:
    """What words have: width and height in points."""

    width: float
    height: float

    def lines(self, points: float) -> int:
        """How many lines of a size the room takes."""
        return int(self.height / (points * LEADING))


def fitted(text: str, font: str, letters: Letters, room: Room) -> Lettering:
    """A text as large as fits: on one line, else on more with whole words, else with words broken, else cut short.

    The room must take a line, and any one character across, in the smallest letters; then nothing goes beyond it.
    """
    shown = printable(text, font)
    if not shown:
        return Lettering(font, letters.smallest, ())
    for lines, points in _attempts(shown, font, letters, room):
        if len(lines) <= room.lines(points):
            return Lettering(font, points, tuple(lines))
    fits = _fitting(font, letters.smallest, room)
    return Lettering(font, letters.smallest, _cut(_wrapped(shown, fits), room.lines(letters.smallest), fits))


def _attempts(text: str, font: str, letters: Letters, room: Room) -> Iterator[tuple[list[str], float]]:
    """Every way to set a text that is narrow enough, the best first."""
    for points in _sizes(letters.largest, letters.shrunk):
        if _fitting(font, points, room)(text):
            yield [text], points
    sizes = list(_sizes(letters.largest, letters.smallest))
    for points in sizes:
        fits = _fitting(font, points, room)
        if all(map(fits, text.split())):
            yield _wrapped(text, fits), points
    broken = [(_wrapped(text, _fitting(font, points, room)), points) for points in sizes]
    yield from sorted(broken, key=lambda attempt: len(attempt[0]))  # the fewer breaks in a word the better


def _sizes(largest: float, smallest: float) -> Iterator[float]:
    points = largest
    while points >= smallest:
        yield points
        points -= _STEP


def _fitting(font: str, points: float, room: Room) -> Fits:
    return lambda text: width_of(text, font, points) <= room.width


def _wrapped(text: str, fits: Fits) -> list[str]:
    """Lines as full as they get; a word too long for a line is broken."""
    lines: list[str] = []
    for word in text.split():
        joined = f"{lines[-1]} {word}" if lines else word
        if fits(joined):
            lines[-1:] = [joined]
        else:
            lines.extend(_broken(word, fits))
    return lines


def _broken(word: str, fits: Fits) -> list[str]:
    """A word in parts that fit a line each. A mark on a letter has no width, so it stays with its letter."""
    parts = [""]
    for letter in word:
        if parts[-1] and not fits(parts[-1] + letter):
            parts.append("")
        parts[-1] += letter
    return parts


def _cut(lines: list[str], count: int, fits: Fits) -> tuple[str, ...]:
    """The first lines, the last of them ending in an ellipsis."""
    last = lines[count - 1]
    while last and not fits(last + _ELLIPSIS):
        last = last[:-1]
    return (*lines[: count - 1], last.rstrip(" ,;:") + _ELLIPSIS)
