"""Two groups beside each other, or a group beside the ones that left it: how large they are, and how they lose heads."""

from __future__ import annotations

from collections.abc import Sequence
from statistics import fmean

from bot.answers import size
from bot.answers.brood_book import BroodBook, brood_of
from bot.answers.samples import Sample, measurements, newest, of_lot, own, shared_measure, spelled
from bot.answers.view import Target, View
from bot.care.broods import BroodComparison, brood_survival, compare_broods
from bot.care.growth import MASS
from bot.care.samples import Difference, mean_difference
from bot.care.survival import HANDFUL
from bot.conversation.reply import Reply
from bot.language.meaning import Ask
from bot.wording import say_measure, say_number, say_range, sentence
from bot.wording.terms import MEASURES

MOST = 3
"""Groups that are set beside the first at once."""

TOLD_APART = 14
"""Days between two samples from which growth may make the difference."""


def answer(ask: Ask, view: View) -> Reply:
    """Compare the first of those named with each other one, or with the lot that left it (`fields`: of, lot)."""
    named = list(dict.fromkeys(one for target in view.targets(ask.subjects) for one in view.animals(target)))
    groups = [one for one in named if one.occupant is not None and one.occupant.kind == "group"]
    lot = ask.fields.get("lot")
    if lot is not None and len(groups) == 1:
        return Reply(_of_lot(view, groups[0], str(lot)))
    if len(groups) < 2:
        return size.answer(ask, view) if len(named) > 1 else Reply("Name two groups to compare: “compare B with C”.")
    first, *others = groups
    return Reply("\n".join(line for other in others[:MOST] for line in _pair(view, first, other, ask.fields.get("of"))))


def _pair(view: View, first: Target, second: Target, of: object) -> list[str]:
    """What there is to say of two groups; of sizes or losses alone, if the question is of these."""
    sizes = _sizes(view, first, second)
    losses = _losses(view, first, second)
    if of == "size":
        return [sizes or _no_sizes(first.name, second.name)]
    if of == "losses":
        return [losses]
    return [losses, *([sizes] if sizes else [])]


def _sizes(view: View, first: Target, second: Target) -> str:
    parts = [own(view, one, measurements(view, one)) for one in (first, second)]
    measure = shared_measure(*parts)
    if measure is None:
        return ""
    samples = [newest(part, measure) for part in parts]
    return _difference(view, [(first.name, samples[0]), (second.name, samples[1])])


def _of_lot(view: View, group: Target, taker: str) -> str:
    told = measurements(view, group)
    kept, gone = own(view, group, told), of_lot(view, group, told, taker)
    kept = [entry for entry in kept if entry not in gone]
    name = (
        f"those to {spelled(view.history(group, ('departure', 'measurement')), taker)}" if taker else "those that left"
    )
    measure = shared_measure(kept, gone)
    if measure is None:
        return _no_sizes(group.name, name)
    return _difference(view, [(group.name, newest(kept, measure)), (name, newest(gone, measure))])


def _no_sizes(first: str, second: str) -> str:
    return f"No sizes of both {first} and {second} are written in one measure. Say “measured 4 of B: 12 13 13 15 mm”."


def _difference(view: View, sides: Sequence[tuple[str, Sample | None]]) -> str:
    (first, one), (second, other) = sides
    if one is None or other is None:
        return _no_sizes(first, second)
    told = f"{_said(view, first, one)}; {_said(view, second, other)}"
    found = mean_difference(one.values, other.values)
    measure = MEASURES.get(one.measure, one.measure)
    if found is None:
        return f"{measure.capitalize()}: {told}. Two exact sizes of each, and not all alike, are the least to compare."
    apart = abs((one.on - other.on).days)
    aged = f" They were measured {apart} days apart, so growth is in it." if apart >= TOLD_APART else ""
    few = f" Few were measured: no verdict under {HANDFUL} of each." if min(found.basis) < HANDFUL else ""
    return f"{measure.capitalize()}: {told}. {_verdict(view, first, found, one.measure, few=bool(few))}{few}{aged}"


def _said(view: View, name: str, sample: Sample) -> str:
    if not sample.values:
        return (
            f"{name} {say_measure((min(sample.ends), max(sample.ends)), sample.measure, view.units)}, told as a range"
        )
    mean = _measure(view, fmean(sample.values), sample.measure)
    return f"{name} {mean} on average ({len(sample.values)} measured {view.bare_day(sample.on)})"


def _measure(view: View, value: float, measure: str) -> str:
    """A mean or a difference of sizes, to the nearest tenth of a mm or hundredth of a g: finer than anybody measures."""
    value = round(value, 2 if measure in MASS else 1)
    return say_measure((value, value), measure, view.units)


def _verdict(view: View, first: str, found: Difference, measure: str, *, few: bool) -> str:
    by = _measure(view, abs(found.difference), measure)
    if found.clear and not few:
        low, high = sorted((abs(found.low), abs(found.high)))
        way = "larger" if found.difference > 0 else "smaller"
        return f"{sentence(first)[:-1]} is {by} {way} (95 % interval {_ends(low, high)}, Welch)."
    way = "more" if found.difference >= 0 else "less"
    low, high = (found.low, found.high) if found.difference >= 0 else (-found.high, -found.low)
    head = "Difference" if few else "No clear difference"
    return f"{head}: {by} {way} for {first} (95 % interval {_ends(low, high)}, Welch)."


def _ends(low: float, high: float) -> str:
    return f"{say_number(round(low, 2))} to {say_number(round(high, 2))}"


def _losses(view: View, first: Target, second: Target) -> str:
    books = [None if one.occupant is None else brood_of(view, one.occupant) for one in (first, second)]
    one, other = books
    if one is None or one.brood is None or other is None or other.brood is None:
        open_ones = [
            name.name for name, book in zip((first, second), books, strict=True) if book is None or not book.brood
        ]
        return f"Losses: how many {' and '.join(open_ones)} began with is not written, so they cannot be compared."
    told = f"{first.name}: {say_lost(one)}; {second.name}: {say_lost(other)}"
    found = compare_broods(one.brood, other.brood)
    return f"Losses: {told}. {say_verdict(found, first.name, second.name)}"


def say_lost(book: BroodBook) -> str:
    """How many died of how many in how many days: "3 of 60 died in 57 days, 2 unaccounted for"."""
    if book.brood is None:
        return ""
    found = brood_survival(book.brood)
    missing = f", {say_range(found.missing)} unaccounted for" if found.missing[1] else ""
    died = "none" if found.died == (0, 0) else say_range(found.died)
    return f"{died} of {say_range(found.start)} died in {book.brood.until:.0f} days{missing}"


def say_verdict(found: BroodComparison | None, first: str, second: str) -> str:
    """Say which of two broods loses fewer, or why none can be told."""
    if found is None:
        return "No loss while both had heads, so there is nothing to tell them apart by."
    if not found.tellable.may:
        wanting = " and ".join(found.tellable.why_not)
        return f"No verdict: {wanting} ({found.tellable.losses} losses, {found.tellable.heads} heads; {HANDFUL} wanted of each)."
    p = say_p(found.p)
    if found.better is None:
        return f"No clear difference (log-rank by age, {p})."
    return f"{sentence(first if found.better == 1 else second)[:-1]} loses fewer (log-rank by age, {p})."


def say_p(ends: tuple[float, float]) -> str:
    """Say a p value or its range: "p 0.03", "p 0.01 to 0.2", "p under 0.001"."""
    if ends[1] < 0.001:
        return "p under 0.001"
    low, high = (f"{max(end, 0.001):.2g}" for end in ends)
    return f"p {low}" if low == high else f"p {low} to {high}"
