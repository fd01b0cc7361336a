"""The picture of survival: one brood, or two beside each other, by the reckoning of the answers "how is it doing" and "compare"."""

from __future__ import annotations

from collections.abc import Sequence

from bot.answers.brood_book import BroodBook, brood_of
from bot.answers.compare import say_lost, say_verdict
from bot.answers.drawing import Drawing
from bot.answers.losses import said_of, say_survival
from bot.answers.view import Target, View
from bot.care.broods import Brood, BroodSurvival, brood_survival, compare_broods
from bot.care.headcount import course
from bot.care.survival import HANDFUL
from bot.pictures.survival import MOST_CURVES, Curve, Drop, Survival, picture
from bot.wording import join_names, say_share

PARTS = 4
"""Into so many parts the time is cut, at whose beginnings the number still in the reckoning is told."""


def draw(view: View, targets: Sequence[Target]) -> Drawing | str:
    """The picture of one or two broods; a sentence where their heads tell no rate."""
    groups = [one for one in targets if one.occupant is not None and one.occupant.kind == "group"]
    if not groups:
        return f"{join_names([one.name for one in targets])}: no group, so there is no survival to draw."
    if len(groups) > MOST_CURVES:
        return f"At most {MOST_CURVES} groups fit in one picture: say which."
    books = [None if one.occupant is None else brood_of(view, one.occupant) for one in groups]
    wanting = [said for one, book in zip(groups, books, strict=True) if (said := _wanting(one, book))]
    if wanting:
        return " ".join(wanting)
    known = [(one, book, book.brood) for one, book in zip(groups, books, strict=True) if book and book.brood]
    curves = tuple(_curve(one.name, book, brood) for one, book, brood in known)
    title, basis, more = _one(view, *known[0]) if len(known) == 1 else _two(known)
    told = Survival(title, basis, curves)
    names = join_names([one.name for one in groups])
    return Drawing(title, basis, f"{names}, survival", lambda theme: picture(told, theme), more)


def _wanting(target: Target, book: BroodBook | None) -> str:
    """Why no curve can be drawn; empty where one can."""
    if book is None or book.brood is None:
        return f"{target.name}: how many it began with is not written, so there is no survival to draw."
    if brood_survival(book.brood).basis < HANDFUL:
        return f"{target.name}: too few to begin with for a rate, so there is nothing to draw."
    return "" if book.brood.until else f"{target.name} began today, so there is no survival to draw yet."


Known = tuple[Target, BroodBook, Brood]


def _one(view: View, target: Target, book: BroodBook, brood: Brood) -> tuple[str, str, tuple[str, ...]]:
    found = brood_survival(brood)
    last = found.bands[-1]
    title = f"{target.name}: {say_share(last.low, last.high)} alive after {_days(brood)}"
    rate, *made = say_survival(book)
    return title, f"{rate}{_midway(found)}", (said_of(view, book), *made)


def _two(known: Sequence[Known]) -> tuple[str, str, tuple[str, ...]]:
    (first, one, brood), (second, other, its) = known
    verdict = say_verdict(compare_broods(brood, its), first.name, second.name)
    lost = f"{first.name}: {say_lost(one)}; {second.name}: {say_lost(other)}."
    found = brood_survival(brood), brood_survival(its)
    shares = [say_share(each.bands[-1].low, each.bands[-1].high) for each in found]
    return f"{first.name}: {shares[0]} alive, {second.name}: {shares[1]}", f"{lost}{_midway(*found)}", (verdict,)


def _days(brood: Brood) -> str:
    return f"{brood.until:.0f} day{'' if brood.until == 1 else 's'}"


def _midway(*found: BroodSurvival) -> str:
    """Where the line is drawn if what is told leaves a range for it."""
    return "" if all(one.exact for one in found) else " Heads are unaccounted for: the line runs midway."


def _curve(name: str, book: BroodBook, brood: Brood) -> Curve:
    found = brood_survival(brood)
    drops = tuple(
        Drop(band.days, (band.low + band.high) / 2, *(band.interval or (band.low, band.high))) for band in found.bands
    )
    left = [one.days for one in brood.gone if not one.died]
    return Curve(name, drops, brood.until, (*left, float(brood.until)), tuple(_in_reckoning(book, brood)))


def _in_reckoning(book: BroodBook, brood: Brood) -> list[tuple[float, int]]:
    """The least that were alive by the book at some ages."""
    counts = list(zip(book.events, course(book.events), strict=True))
    ages = dict.fromkeys(round(brood.until * part / PARTS) for part in range(PARTS))
    told = []
    for age in ages:
        by_then = [count for event, count in counts if (event.on - book.began.on).days <= age]
        told.append((float(age), (by_then or [counts[0][1]])[-1].low))
    return told
