"""How it was fed, in sentences and as a table: lately beside all that is on record."""

from __future__ import annotations

from collections.abc import Iterator

from bot.handover.facts import OWN, Facts, Feeding
from bot.handover.summary import Diet, Gaps, diet, lately, refused_since
from bot.wording import plural, say_count, say_full_day, say_number, say_range

NONE = "none"
LATELY_TITLE = "Last 90 days"
LABELS = (
    "Feedings written",
    "Refused",
    "Eaten in part",
    "Outcome not written",
    "Usual prey",
    "Given as",
    "Days between",
)
_ENDINGS = {"ate": "eaten", "partly": "eaten in part", "refused": "refused"}


def feeding_lines(facts: Facts) -> tuple[str, ...]:
    """When it was last fed and what, and how many were refused on end."""
    if not facts.feedings:
        return ("No feeding was written.",)
    last = facts.feedings[-1]
    refused = refused_since(facts.feedings)
    if not refused:
        return (f"Last fed on {say_full_day(last.on)}: {_say(last)}.",)
    taken = next((one for one in reversed(facts.feedings) if one.outcome != "refused"), None)
    often = "The last feeding was" if refused == 1 else f"The last {refused} feedings were"
    lines = [f"{often} refused, the latest on {say_full_day(last.on)}: {_say(last)}."]
    lines.append(
        "None was taken on record." if taken is None else f"Before that fed on {say_full_day(taken.on)}: {_say(taken)}."
    )
    return tuple(lines)


def feeding_table(facts: Facts) -> tuple[tuple[str, ...], tuple[tuple[str, ...], ...]]:
    """Header and rows: a label, lately, and in all where there is more than lately. What never was has no row."""
    since = lately(facts.until)
    recent = [one for one in facts.feedings if one.on >= since]
    told = diet(facts.feedings)
    columns = [_column(diet(recent)), _column(told)]
    header: tuple[str, ...] = ("", LATELY_TITLE, "In all")
    if len(recent) == len(facts.feedings):
        header, columns = ("", f"{LATELY_TITLE} (there are no older records)"), columns[:1]
    rows = zip(LABELS, *columns, strict=True)
    empty = {"Refused": not told.refused, "Eaten in part": not told.partly, "Outcome not written": not told.unwritten}
    empty |= {"Usual prey": not told.prey, "Given as": not told.states}
    return header, tuple(row for row in rows if not empty.get(row[0]))


def _column(told: Diet) -> tuple[str, ...]:
    if not told.offered:
        return (NONE, *["-"] * 6)
    return (
        str(told.offered),
        str(told.refused),
        str(told.partly),
        str(told.unwritten),
        ", ".join(f"{prey} ({number})" for prey, number in told.prey) or "not written",
        ", ".join(f"{state} ({number})" for state, number in told.states) or "not written",
        _say_gaps(told.gaps),
    )


def _say_gaps(found: Gaps | None) -> str:
    if found is None:
        return "too few to say"
    middle = f"{say_number(found.middle)}"
    return middle if found.shortest == found.longest else f"{middle} ({found.shortest} to {found.longest})"


def _say(feeding: Feeding) -> str:
    return ", ".join(_parts(feeding))


def _parts(feeding: Feeding) -> Iterator[str]:
    name = " ".join(word for word in (feeding.state, feeding.prey) if word)
    number = feeding.quantity if feeding.told == OWN or feeding.each else None
    each = " each" if feeding.each and number is not None else ""
    if feeding.prey is None:
        amount = "" if number is None else f"{say_range(number)} "
        yield f"{amount}{feeding.state} food{each}" if feeding.state else f"{amount}prey not written{each}"
    else:
        yield plural(name) if number is None else f"{say_count(number, name)}{each}"
    yield _ENDINGS.get(feeding.outcome or "", "outcome not written")
    if feeding.told != OWN:
        yield "told of several together"
