"""Where it lives, in sentences: the room it has, the climate the keeper set, and what was read there."""

from __future__ import annotations

from collections.abc import Iterator

from bot.handover.facts import Facts, Reading
from bot.handover.summary import Air, air, lately
from bot.wording import say_full_day, say_humidity, say_number, say_temperature


def housing_lines(facts: Facts) -> tuple[str, ...]:
    """The enclosure, the bands, and the readings of the last days."""
    return (*_room(facts), *_bands(facts), *_readings(facts))


def _room(facts: Facts) -> Iterator[str]:
    place = facts.enclosure
    if place.size_cm is None:
        yield "The size of the enclosure was not written."
    else:
        yield f"Enclosure: {' x '.join(say_number(edge) for edge in place.size_cm)} cm (width, depth, height)."
    if place.since is not None:
        yield f"In it since {say_full_day(place.since)}."
    if place.shared:
        yield "It shares the enclosure with others."


def _bands(facts: Facts) -> Iterator[str]:
    place, said = facts.enclosure, []
    if place.humidity_pct is not None:
        said.append(say_humidity(place.humidity_pct))
    if place.temperature_c is not None:
        said.append(say_temperature(place.temperature_c, facts.units))
    if said:
        yield f"The keeper aims at {' and '.join(said)}."
    elif place.bands_known:
        yield "The keeper set no band for humidity or warmth."


def _readings(facts: Facts) -> Iterator[str]:
    since = lately(facts.until)
    recent: list[Reading] = [one for one in facts.readings if one.on >= since]
    for name, measure in (("Humidity", "humidity_pct"), ("Temperature", "temperature_c")):
        found = air(recent, measure)
        if found is None:
            yield f"{name}: no reading in the last 90 days."
        else:
            readings = f"{found.number} reading{'' if found.number == 1 else 's'} in the last 90 days"
            yield f"{name} read: {_span(found, measure, facts.units)} ({readings})."


def _span(found: Air, measure: str, units: str) -> str:
    ends = (round(found.lowest, 1), round(found.highest, 1))
    middle = (round(found.middle, 1), round(found.middle, 1))
    if measure == "humidity_pct":
        said, mid = say_humidity(ends).removesuffix(" humidity"), say_humidity(middle).removesuffix(" humidity")
    else:
        said, mid = say_temperature(ends, units), say_temperature(middle, units)
    return said if ends[0] == ends[1] else f"{said}, middle {mid}"
