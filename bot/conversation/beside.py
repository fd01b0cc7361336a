"""What is told beside the echo of a check over salt, of a reading made with a checked meter, and of feeders in stock."""

from __future__ import annotations

from dataclasses import replace

from bot.care.salt_check import DOUBTFUL_OFFSET, KEPT, LEAST_OFFSET, fixed_point
from bot.conversation.meter_book import MeterBook, homes_of, meter_book
from bot.conversation.scene import Scene
from bot.language.meaning import Meaning
from bot.wording import say_temperature
from bot.wording.beside import SALTS, many
from storage.journal import EntryRow, Subject

UNTOLD_ROOM = (20.0, 25.0)
"""The temperatures in °C taken for a check of which none was told [common practice: rooms of animals]."""

SOURCE = "Greenspan 1977"


def said_of(scene: Scene, entry: EntryRow) -> list[str]:
    """What there is to say of one entry that was just written; nothing of most."""
    if entry.kind == "reading" and entry.fields.get("humidity_pct"):
        return _reading(scene, entry)
    if entry.kind != "note":
        return []
    if entry.fields.get("salt"):
        return _check(scene, entry)
    return _stock(scene, entry) if entry.fields.get("stock") else []


def with_places(scene: Scene, meaning: Meaning) -> Meaning | None:
    """A log in doubt, each reading with the place in which its meter hangs now; None where one hangs nowhere on record."""
    book = _book(scene)
    hung = [book.now_in(str(entry.fields["meter"])) for entry in meaning.entries]
    if meaning.plans or not hung or None in hung:
        return None
    names = [scene.names.name(Subject(enclosure_id=one.enclosure_id)) for one in hung if one is not None]
    entries = tuple(replace(entry, subjects=(name,)) for entry, name in zip(meaning.entries, names, strict=True))
    return replace(meaning, intent="log", entries=entries, missing=(), question="", choices=())


def _book(scene: Scene) -> MeterBook:
    return meter_book(scene.session, scene.collection.id, scene.names.animals)


def _reading(scene: Scene, entry: EntryRow) -> list[str]:
    """That a reading is shown set right, and by which meter."""
    found = _book(scene).corrected(entry, homes_of(scene.names.animals))
    if found is None or not found.changed:
        return []
    raw, value = (
        " to ".join(f"{edge:.0f}" for edge in dict.fromkeys(pair) if edge is not None)
        for pair in (found.raw, found.value)
    )
    return [f"{found.meter} was checked over salt, so its {raw} % is shown as {value} %."]


def _check(scene: Scene, entry: EntryRow) -> list[str]:
    """How far the meter is off, where that comes from, and what is done to its readings from now on."""
    meter, salt = str(entry.fields["meter"]), str(entry.fields["salt"])
    if entry.on is None:
        return []
    found = _book(scene).correction(meter, entry.on)
    shown = entry.fields["shown_pct"]
    offs = [point - edge for point in _points(entry, salt) for edge in shown if edge is not None]
    if not found.checks or not offs:
        return [f"That is no temperature or reading of a check over {SALTS.get(salt, salt)}, so it changes nothing."]
    lines = [f"{_true(scene, entry, salt)} ({SOURCE}), so {meter} is {_off(min(offs), max(offs))}."]
    if not found.active:
        return [
            *lines,
            f"Under {LEAST_OFFSET:g} points: its readings are left as they are."
            if _small(offs)
            else f"{found.basis.capitalize()}.",
        ]
    if len(found.checks) == 2:
        lines.append("Both salts are told, so its readings from now on are set right on a line through both.")
    else:
        lines.append(f"Its readings from now on are shown with {found.shift:+.1f} points, the raw ones kept.")
    if max(abs(off) for off in offs) > DOUBTFUL_OFFSET:
        lines.append("So far off, make sure that the salt was wet and stood 8 to 24 hours.")
    return [*lines, f"Meters drift: check again within {KEPT // 30} months."]


def _small(offs: list[float]) -> bool:
    return all(abs(off) < LEAST_OFFSET for off in offs)


def _points(entry: EntryRow, salt: str) -> list[float]:
    """The humidity over the salt in per cent at the temperatures told or, where none was, at both ends of a room's."""
    warm = entry.fields.get("checked_c") or UNTOLD_ROOM
    try:
        return [fixed_point(salt, float(edge)) for edge in dict.fromkeys(warm) if edge is not None]
    except ValueError:
        return []


def _true(scene: Scene, entry: EntryRow, salt: str) -> str:
    points = sorted(f"{point:.1f}" for point in _points(entry, salt))
    span = " to ".join(dict.fromkeys(points))
    told = entry.fields.get("checked_c")
    said = say_temperature(told or UNTOLD_ROOM, scene.collection.units)
    at = said if told else f"{said} (taken, as no temperature was told)"
    return f"Over wet {SALTS.get(salt, salt)} the air stands at {span} % at {at}"


def _off(low: float, high: float) -> str:
    """How far off: "4.3 points low"; a meter that shows too little is low."""
    ends = sorted({f"{abs(low):.1f}", f"{abs(high):.1f}"}, key=float)
    if ends == ["0.0"]:
        return "right"
    if low < 0 < high:
        return f"within {ends[-1]} points of it"
    return f"{' to '.join(ends)} points {'low' if high > 0 else 'high'}"


def _stock(scene: Scene, entry: EntryRow) -> list[str]:
    """How many there are now, where that is more than the words just said."""
    from bot.answers import View  # noqa: PLC0415 - only for the few messages on stock
    from bot.answers.stock import in_stock  # noqa: PLC0415
    from bot.answers.stock_moves import stores  # noqa: PLC0415
    from bot.wording import say_count  # noqa: PLC0415

    if entry.fields["stock"] not in {"added", "lost", "low"}:
        return []
    view = View.open(scene.session, scene.collection.id, scene.now)
    kept = stores(view)
    store = next((one for one in kept if one.feeder == entry.fields.get("feeder")), None)
    if store is None:
        return []
    stock = in_stock(view, store, [one.feeder for one in kept])
    if (stock.low, stock.high) == tuple(entry.fields.get("pieces") or ()):
        return []
    if stock.high is None:
        return [f"How many is not known; “about 300 {many(store.feeder)} left” starts the book anew."]
    if not stock.known or stock.high == 0:
        return []
    return [f"In stock now by the book: {say_count((stock.low, stock.high), store.feeder)}."]
