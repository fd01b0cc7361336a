"""The word tables of dates, read once from `bot/language/lexicon/dates.toml` when first needed."""

from __future__ import annotations

import tomllib
from dataclasses import dataclass
from functools import cache
from importlib.resources import files


@dataclass(frozen=True, slots=True)
class Words:
    """Tables from a word to its value, and named lists of words; all lower case."""

    weekdays: dict[str, int]
    months: dict[str, int]
    numbers: dict[str, int]
    ordinals: dict[str, int]
    units: dict[str, str]
    short_units: dict[str, str]
    parts: dict[str, str]
    days: dict[str, int]
    spelled: dict[str, str]
    feasts: dict[tuple[str, ...], tuple[int, int]]
    lists: dict[str, frozenset[str]]
    near: dict[str, str]
    triggers: frozenset[str]


OTHER_TRIGGERS = (
    "tonight noon midday midnight ago weekend weekends daily weekly monthly fortnightly nightly yearly annually hourly "
    "everyday every each couple half quarter recently earlier later sometime now weekdays biweekly overnight weekday "
    "lastnight current once twice last next coming other ages while point when day which bedtime work bed xmas christmas "
    "halloween boxing nye valentine's valentines bonfire new past following previous the all"
)


@cache
def words() -> Words:
    """Return the tables; the file is read on the first call only."""
    raw = tomllib.loads((files("bot.language") / "lexicon" / "dates.toml").read_text("utf-8"))
    lists = {name: frozenset(listed) for name, listed in raw["lists"].items()}
    feasts = {tuple(name.split()): (month, day) for name, (month, day) in raw["feasts"].items()}
    tables = ("weekdays", "months", "numbers", "ordinals", "units", "parts", "days")
    triggers = {word for table in tables for word in raw[table]} | set(OTHER_TRIGGERS.split())
    triggers |= lists["leads"]
    triggers |= {day + "s" for day in raw["weekdays"]} | {name.split()[0] for name in raw["feasts"]}
    return Words(
        **{table: raw[table] for table in (*tables, "short_units", "spelled")},
        feasts=feasts,
        lists=lists,
        near={shorter: word for word in sorted(raw["lists"]["long"]) for shorter in (word, *_shorter(word))},
        triggers=frozenset(triggers),
    )


def canonical(word: str) -> str:
    """Return the table spelling of a lower-case word: known misspellings, and one slip of the finger in a long word."""
    tables = words()
    if word in tables.spelled:
        return tables.spelled[word]
    if len(word) < 6 or word in tables.triggers or word in tables.lists["never"]:
        return word
    return _mended(word, tables)


def _mended(word: str, tables: Words) -> str:
    """One letter lost, added, changed or swapped, by meeting in the words with a letter left out."""
    for shorter in (word, *_shorter(word)):
        meant = tables.near.get(shorter)
        if meant and meant[0] == word[0] and _one_slip(word, meant):
            return meant
    return word


def _shorter(word: str) -> list[str]:
    """All the words that `word` becomes when one letter is left out."""
    return [word[:at] + word[at + 1 :] for at in range(len(word))]


def _one_slip(word: str, meant: str) -> bool:
    """Whether one loss, addition, change or swap of neighbours turns `meant` into `word`."""
    if abs(len(word) - len(meant)) > 1:
        return False
    if len(word) != len(meant):
        longer, shorter = (word, meant) if len(word) > len(meant) else (meant, word)
        return shorter in _shorter(longer)
    wrong = [at for at, (one, other) in enumerate(zip(word, meant, strict=True)) if one != other]
    if len(wrong) == 1:
        return True
    return (
        len(wrong) == 2
        and wrong[1] == wrong[0] + 1
        and sorted(word[wrong[0] : wrong[1] + 1]) == sorted(meant[wrong[0] : wrong[1] + 1])
    )
