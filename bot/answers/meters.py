"""A hygrometer by its name: how it was checked, where it hangs, and where a reading of the air comes from."""

from __future__ import annotations

from bot.answers.climate import last_line
from bot.answers.readings import book_of, readings_of
from bot.answers.view import Target, View
from bot.care.salt_check import HIGHEST, KEPT, LOWEST, Correction
from bot.conversation.meter_book import MeterBook
from bot.conversation.reply import Reply
from bot.language.meaning import Ask

SOURCE = "Greenspan 1977, J. Res. Natl. Bur. Stand. 81A, 89"
HOW = (
    "Put it in a closed bag with a spoon of wet table salt for 8 to 24 hours at a steady temperature, "
    "then say “{meter} reads 71 in the salt bag at 24C”."
)


def answer(ask: Ask, view: View) -> Reply:
    """Tell where a meter hangs, and what its checks make of its readings."""
    meter = str(ask.fields["meter"])
    book = book_of(view)
    return Reply("\n".join([*_place(view, book, meter), *said_of(view, book, meter)]))


def why(ask: Ask, view: View) -> Reply:
    """Tell the last reading of each place in the words it came in, and the checks of the meter it was made with."""
    book = book_of(view)
    lines: list[str] = []
    for target in view.targets(ask.subjects):
        lines += _why(view, book, target)
    return Reply("\n".join(lines) or "No reading is written yet.")


def said_of(view: View, book: MeterBook, meter: str) -> list[str]:
    """What the checks of a meter make of its readings today, with the entries that tell them."""
    found = book.correction(meter, view.today)
    if not found.checks:
        return [f"{meter} was never checked over salt. {HOW.format(meter=meter)}"]
    return [
        f"{meter}: {done(found)}. It {found.basis} ({SOURCE}).",
        *_sources(view, book, meter, found),
        *_stale(found),
    ]


def done(found: Correction) -> str:
    """What is done to the readings of a meter, in words."""
    if not found.active:
        return "its readings are left as they are"
    if found.slope != 1.0:
        sixty = round(60 * found.slope + found.shift)
        return f"its readings are set right on a line through both salts, 60 % to {sixty} %"
    word = "up" if found.shift > 0 else "down"
    return f"its readings from {LOWEST:g} to {HIGHEST:g} % are set {word} by {abs(found.shift):.1f} points"


def _place(view: View, book: MeterBook, meter: str) -> list[str]:
    hung = book.now_in(meter)
    if hung is None:
        return [f"Where {meter} hangs is not written; “{meter} is in tub 4” tells me."]
    place = next((row.name for row in view.roster.enclosures if row.id == hung.enclosure_id), "a place no longer kept")
    return [f"{meter} hangs in {place} since {view.day(hung.entry.on)}."]


def _sources(view: View, book: MeterBook, meter: str, found: Correction) -> list[str]:
    told = [one for one in book.checks.get(meter, ()) if one.check in found.checks]
    return [f"- the check: {view.source(one.entry)}" for one in told]


def _stale(found: Correction) -> list[str]:
    return [f"The last check is over {KEPT} days old; meters drift, so check again."] if found.stale else []


def _why(view: View, book: MeterBook, target: Target) -> list[str]:
    readings = readings_of(view, book, target)
    newest = [
        next((one for one in readings if one.entry.fields.get(name)), None)
        for name in ("temperature_c", "humidity_pct")
    ]
    entries = {one.entry.id: one for one in newest if one is not None}
    lines = last_line(view, book, target)
    lines += [
        f"- {view.day(one.entry.on)}, {view.act(one.entry)}: {view.source(one.entry)}" for one in entries.values()
    ]
    damp = newest[1]
    if damp is None or damp.corrected is None:
        return lines
    found = damp.corrected
    if not found.correction.checks:
        return [*lines, f"{found.meter} was not checked over salt before that reading."]
    basis = f"{found.meter}: {done(found.correction)}. It {found.correction.basis} ({SOURCE})."
    return [*lines, basis, *_sources(view, book, found.meter, found.correction)]
