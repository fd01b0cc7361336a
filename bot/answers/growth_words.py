"""Growth in words: what a moult adds, the next moult as a range of days, how far apart the sizes of a group are."""

from __future__ import annotations

from collections.abc import Sequence
from statistics import fmean

from bot.answers.growing import Growth, Series, instar_of, moults_of, samples_of, stage_of, window_of
from bot.answers.samples import Sample
from bot.answers.view import Target, View
from bot.care.days import shifted
from bot.care.growth import MASS, OWN_FROM
from bot.care.next_moult import Window
from bot.care.samples import spread
from bot.wording import say_measure, say_number
from storage.journal import EntryRow

PREMOULT_TELLS = 100
"""Days for which a sighting of premoult tells of the next moult: adults fast for up to three months [common practice]."""


def say_size(view: View, value: float, measure: str) -> str:
    """A reckoned size: to a tenth of a mm or a hundredth of a g."""
    value = round(value, 2 if measure in MASS else 1)
    return say_measure((value, value), measure, view.units)


def say_growth(view: View, growth: Growth) -> list[str]:
    """What a moult adds, what that rests on, and the size to be expected after the next."""
    factor, series = growth.factor, growth.series
    span = f"{factor.low:.2f} to {factor.high:.2f}"
    moults = f"{say_number(round(factor.basis, 1))} own moult{'' if round(factor.basis, 1) == 1 else 's'}"
    if factor.source == "own":
        told = f"Grows {factor.middle:.2f} times a moult ({span}; {series.name}, {moults})."
    else:
        so_far = f"own so far {factor.own:.2f} from {moults}, " if factor.own is not None else ""
        told = f"Usual growth is {span} times a moult ({so_far}{OWN_FROM} own wanted between sizes)."
    if series.measure == "exuvia":
        return [told]
    low, _middle, high = growth.following
    since = f" (the last size is {growth.unmeasured + 1} moults before that)" if growth.unmeasured else ""
    ends = [round(end, 2 if series.unit_of in MASS else 1) for end in (low, high)]
    return [f"{told} After the next: {say_measure(ends, series.unit_of, view.units)}{since}."]


def say_window(view: View, window: Window, stage: str | None) -> str:
    """The window of the next moult with what it rests on."""
    since, until = view.bare_day(window.since), view.bare_day(window.until)
    match window.source:
        case "own":
            basis = f"{window.basis} own intervals, each {window.lengthening or 1:.2f} times the one before"
        case "one":
            basis = "one own interval, lengthened as is usual"
        case _:
            basis = f"what is usual for a {stage or 'young one'}, no own interval yet"
    late = " That is past: one may have gone unseen." if window.until < view.today else ""
    return (
        f"next moult likely {view.day(window.likely)}, between {since} and {until} "
        f"({basis}; last moult {view.bare_day(window.last)}).{late}"
    )


def next_moult_line(view: View, target: Target, series: Sequence[Series]) -> str:
    """When an animal may moult next, or what is missing to say so."""
    moults = moults_of(view, target)
    if target.occupant is not None and target.occupant.kind != "animal":
        last = f" The last was {view.day(moults[-1].on)}." if moults else ""
        return f"{target.name}: in a group each moults in its own time, so no day is told for all.{last}"
    window = window_of(target, moults, series)
    if window is not None:
        return f"{target.name}: {say_window(view, window, stage_of(target, series))}{_premoult(view, target, moults)}"
    if not moults:
        return f"{target.name}: no moult is written, so the next cannot be told. Two with their days give a window."
    return f"{target.name}: one moult is written, {view.day(moults[-1].on)}; one more gives a window."


def _premoult(view: View, target: Target, moults: Sequence[EntryRow]) -> str:
    """That premoult was seen lately, since the last moult."""
    last = moults[-1].on or view.today
    found = view.history(target, ("observation",), since=shifted(max(last, shifted(view.today, -PREMOULT_TELLS)), 1))
    seen = next((entry for entry in found if "premoult" in (entry.fields.get("signs") or ())), None)
    return "" if seen is None else f" Seen in premoult {view.day(seen.on)}."


def say_instar(view: View, target: Target, moults: Sequence[EntryRow]) -> list[str]:
    """The instar last told, as it was said."""
    found = instar_of(view, target)
    if found is None:
        return []
    said, entry = found
    later = len({one.on for one in moults if entry.on is not None and one.on is not None and one.on > entry.on})
    since = f"; {later} moult{'' if later == 1 else 's'} written since" if later else ""
    return [f"Instar as you said it: “{said}”, {view.day(entry.on)}{since}."]


def say_samples(view: View, target: Target, series: Series) -> list[str]:
    """The newest sample of a group and the one before; how far apart the sizes are, with a caution past the limit.

    Nothing where the newest sample is a single size.
    """
    samples = [sample for _number, sample in zip(range(2), samples_of(series), strict=False)]
    if not samples or len(samples[0].all_values) < 2:
        return []
    newest = samples[0]
    before = f"; before that {_mean(view, samples[1])}, {view.bare_day(samples[1].on)}" if len(samples) > 1 else ""
    lines = [f"{target.name}: {series.name} {_mean(view, newest)}, {view.day(newest.on)}{before}."]
    apart = spread(newest.all_values, series.unit_of)
    if apart is None:
        return lines
    ends = say_measure((round(apart.smallest, 2), round(apart.largest, 2)), series.unit_of, view.units)
    told = f"Sizes {ends}: the largest is {apart.ratio:.2f} times the smallest measured"
    if apart.past:
        return [*lines, f"{told}. Past {say_number(apart.limit)} the large may eat the small: think of parting them."]
    return [*lines, f"{told}; those not measured may be further apart."]


def _mean(view: View, sample: Sample) -> str:
    if not sample.values:
        return f"{say_measure((min(sample.ends), max(sample.ends)), sample.measure, view.units)}, told as a range"
    measured = len(sample.values)
    mean = say_size(view, fmean(sample.values), sample.measure)
    return f"{mean} on average ({measured} measured)" if measured > 1 else mean
