"""What an import says at its end: what was read, what was made of it, and what a keeper should look at."""

from __future__ import annotations

import re
from collections import Counter
from collections.abc import Iterator, Mapping, Sequence
from dataclasses import dataclass
from zoneinfo import ZoneInfo

from bot.conversation.limits import shorten
from bot.moving.hearing import Outcome
from bot.moving.told import Contents
from bot.wording import join_names, say_full_day
from bot.wording.terms import noun, nouns

MOST_LINES = 20
"""Messages of a sort that are shown; a report in a file has them all."""

_UNKNOWN = re.compile(r"There is no (?P<name>.+?) on the roster")
_SINGLE = {
    "lines of the service itself": "line of the service itself",
    "deleted messages": "deleted message",
    "forwarded messages": "forwarded message",
    "messages without words": "message without words",
    "pictures and other files": "picture or other file",
    "rows in which nothing is told": "row in which nothing is told",
}
_UNITS = {"lines with a day each": ("line", "lines"), "a table": ("record", "records")}
_HEADS: Mapping[str, str] = {
    "asked": "Would have asked about {number}; the words are kept as notes of their day",
    "refused": "Could not be written as told: {number}; the words are kept as notes, unless they only corrected",
    "failed": "Went wrong with {number}; the words are kept as notes of their day",
}


@dataclass(frozen=True, slots=True)
class Report:
    """The outcomes of an import. `others` counts the messages of people who are not the keeper, `stopped` says that it did not end."""

    contents: Contents
    outcomes: Sequence[Outcome]
    zone: ZoneInfo
    others: Mapping[str, int]
    stopped: bool = False

    def lines(self, most: int | None = MOST_LINES, file: str | None = None) -> list[str]:
        """The report, a line each; of what is shown one by one at most so many (None: all). `file` is where all of it stands."""
        return [*self._counts(), *self._shown(most, file)]

    def _of(self, sort: str) -> list[Outcome]:
        """The outcomes of a sort; what was asked about and answered by the next message is understood."""
        answered = {(one.told.sender, one.answers) for one in self.outcomes if one.answers}
        return [
            one
            for one in self.outcomes
            if sort == ("understood" if (one.told.sender, one.told.key) in answered else one.sort)
        ]

    def _counts(self) -> Iterator[str]:
        yield f"Read {self.contents.form}: {self._number(len(self.contents.told))}{self._days()}."
        understood = self._of("understood")
        kinds = Counter(kind for one in understood for kind in one.kinds)
        if understood:
            parts = [_counted(number, *_nouns(kind)) for kind, number in kinds.most_common()]
            yield f"Understood: {self._number(len(understood))}: {join_names(parts)}."
        yield from self._plain_counts()
        if self.contents.left_out:
            parts = [
                _counted(number, _SINGLE.get(what, what), what) for what, number in self.contents.left_out.most_common()
            ]
            yield f"Left out: {join_names(parts)}."
        if self.others:
            parts = [
                f"{number:,} of {shorten(name, 40) or 'nobody named'}"
                for name, number in Counter(self.others).most_common(6)
            ]
            more = f" and {len(self.others) - 6:,} more people" if len(self.others) > 6 else ""
            yield f"Not of the keeper: {self._number(sum(self.others.values()))} ({', '.join(parts)}{more})."
        if self.stopped:
            rest = len(self.contents.told) - len(self.outcomes)
            yield f"Stopped with {self._number(rest)} to go; what was taken in stands. The same command goes on from there."

    def _plain_counts(self) -> Iterator[str]:
        for sort, head in (
            ("changed", "Changed the roster, words or earlier entries"),
            ("note", "Kept as notes"),
            ("talk", "Nothing to write in them (questions, small talk, settings)"),
            ("here", "Here already, left as they are"),
        ):
            if found := len(self._of(sort)):
                yield f"{head}: {self._number(found)}."

    def _number(self, number: int) -> str:
        return _counted(number, *_UNITS.get(self.contents.form, ("message", "messages")))

    def _days(self) -> str:
        if not self.contents.told:
            return ""
        first, last = (say_full_day(self.contents.told[place].at.astimezone(self.zone).date()) for place in (0, -1))
        return f", {first}" if first == last else f", {first} to {last}"

    def _shown(self, most: int | None, file: str | None) -> Iterator[str]:
        for sort, head in _HEADS.items():
            found = [f"{self._words(one)} {one.said}" for one in self._of(sort)]
            yield from _block(head.format(number=self._number(len(found))), found, most, file)
        beside = [
            f"{self._words(one)} {one.said}" for one in self._of("understood") if one.said and one.sort != "asked"
        ]
        yield from _block(
            "To look at (plans that hold from now on, counts that do not fit the book)", beside, most, file
        )
        changed = [f"{self._words(one)} {shorten(one.said, 160)}" for one in self._of("changed")]
        yield from _block("Changed", changed, most, file)
        yield from _block("Could not be read", list(self.contents.unreadable), most, file)
        yield from self._unknown()

    def _words(self, one: Outcome) -> str:
        day = say_full_day(one.told.at.astimezone(self.zone).date())
        about = f"{one.told.about}: " if one.told.note and one.told.about else ""
        return f"{day}: {about}“{shorten(one.told.text, 80)}”."

    def _unknown(self) -> Iterator[str]:
        """The names that nobody on the roster bears, with how often each was said."""
        found = (_UNKNOWN.search(one.said) for one in self._of("asked"))
        names = Counter(match["name"] for match in found if match is not None)
        if names:
            told = join_names([f"{name} ({self._number(number)})" for name, number in names.most_common()])
            yield f"Not on the roster: {told}. Add them, and import again with --again: these messages are then read anew."


def _block(head: str, lines: Sequence[str], most: int | None, file: str | None) -> Iterator[str]:
    if not lines:
        return
    yield f"{head}:"
    yield from (f"  {line}" for line in lines[:most])
    rest = len(lines) - len(lines[:most])
    if rest:
        yield f"  … and {rest:,} more, in {file}." if file else f"  … and {rest:,} more; --report FILE writes them all."


def _nouns(kind: str) -> tuple[str, str]:
    return ("plan", "plans") if kind == "plan" else (noun(kind), nouns(kind))


def _counted(number: int, one: str, many: str) -> str:
    return f"{number:,} {one if number == 1 else many}"
