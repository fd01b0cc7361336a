"""What the pictures are tried with: plain cases, one point alone, ten years of days, long names, ranges without an upper end."""

from __future__ import annotations

from collections.abc import Callable
from datetime import date, datetime, time, timedelta
from typing import TYPE_CHECKING

from bot.pictures import climate, feeding_calendar, growth, head_count, survival
from bot.pictures.climate import Climate, Measured, Series
from bot.pictures.feeding_calendar import FeedingCalendar, FoodDay
from bot.pictures.growth import Growth, Size
from bot.pictures.head_count import CAME, DIED, LEFT, Change, Counted, HeadCount, Step
from bot.pictures.survival import Curve, Drop, Survival

if TYPE_CHECKING:
    from matplotlib.figure import Figure

TODAY = date(2026, 3, 10)
LONG = (
    "The communal enclosure of little desert bark scorpions on the uppermost shelf left of the window: $12_3$ at least"
)
UNBROKEN = "Donaudampfschifffahrtselektrizitätenhauptbetriebswerkbauunterbeamtengesellschaft" * 3
BASIS = "3 counts and 9 changes on the books since 14 Sep 2025; last counted 2 Feb, 36 days ago"
YEARS = [TODAY - timedelta(days=3649 - number) for number in range(3650)]


def wave(number: int, width: int) -> int:
    """A whole number from 0 to below a width that goes up and down without a pattern to the eye."""
    return number * 7919 % 104729 % width


HEADS = HeadCount(
    "Group B: 40 to 42, nothing lost since 2 Feb",
    BASIS,
    (
        Step(date(2025, 9, 14), 30, 30),
        Step(date(2025, 11, 8), 42, 48),
        Step(date(2025, 12, 1), 47, 47),
        Step(date(2025, 12, 28), 41, 43),
        Step(date(2026, 2, 2), 42, 42),
        Step(date(2026, 2, 14), 40, 42),
    ),
    TODAY,
    (Counted(date(2025, 9, 14), 30), Counted(date(2025, 12, 1), 47), Counted(date(2026, 2, 2), 42)),
    (
        Change(date(2025, 11, 8), CAME, 12),
        Change(date(2025, 12, 20), LEFT, 4),
        Change(date(2025, 12, 28), LEFT, 2),
        Change(date(2026, 1, 10), DIED, None),
        Change(date(2026, 2, 14), DIED, 1),
    ),
)
HEADS_OPEN = HeadCount(LONG, LONG, (Step(date(2026, 1, 3), 8, 8), Step(date(2026, 2, 1), 8, None)), TODAY)
HEADS_ONE = HeadCount("Tub 4: 12", "1 count", (), TODAY, (Counted(TODAY, 12),))
HEADS_YEARS = HeadCount(
    "Colony A: ten years",
    BASIS,
    tuple(Step(on, 40 + number // 60, 41 + number // 60 + number % 120 // 20) for number, on in enumerate(YEARS)),
    TODAY,
    tuple(Counted(on, 40 + number * 2) for number, on in enumerate(YEARS[::120])),
    tuple(Change(on, (DIED, CAME, LEFT)[number % 3], wave(number, 9)) for number, on in enumerate(YEARS[::7])),
)

FOOD = FeedingCalendar(
    "Rosie took 9 of 12 meals and refused the last two",
    "14 weeks of feedings; the last on Fri 6 Mar, 4 days ago",
    (
        *(FoodDay(TODAY - timedelta(days=4 * number), feeding_calendar.TAKEN) for number in range(9, 24)),
        FoodDay(TODAY - timedelta(days=20), feeding_calendar.PARTLY),
        FoodDay(TODAY - timedelta(days=4), feeding_calendar.REFUSED),
        FoodDay(TODAY - timedelta(days=11), feeding_calendar.NOT_OFFERED),
        FoodDay(TODAY - timedelta(days=16), feeding_calendar.HELD),
        FoodDay(TODAY - timedelta(days=16), feeding_calendar.MOULT),
        FoodDay(TODAY - timedelta(days=60), feeding_calendar.MOULT),
    ),
    TODAY,
)
FOOD_ONE = FeedingCalendar(UNBROKEN, UNBROKEN, (FoodDay(TODAY, feeding_calendar.TAKEN),), TODAY)
FOOD_YEARS = FeedingCalendar(
    "Ten years",
    "3650 days",
    tuple(
        FoodDay(on, (*feeding_calendar.SIGNS, feeding_calendar.MOULT)[wave(number, 6)])
        for number, on in enumerate(YEARS)
    ),
    TODAY,
)

GROWN = Growth(
    "Rosie grew from 12 to 31 mm in three moults",
    "4 sizes and 3 moults since 3 Mar 2025; ratio 1.27 a moult (1.21 to 1.33)",
    "legspan, mm",
    (
        Size(date(2025, 3, 3), 12, 12),
        Size(date(2025, 8, 1), 19, 20),
        Size(date(2025, 11, 11), 25, None),
        Size(date(2026, 2, 20), 30, 32),
    ),
    (date(2025, 5, 11), date(2025, 10, 30), date(2026, 2, 14)),
    (date(2026, 5, 29), date(2026, 7, 20)),
)
GROWN_OPEN = Growth(LONG, LONG, "weight, g", GROWN.sizes, (), (date(2026, 5, 29), None))
GROWN_ONE = Growth("Tub 4: 12 mm", "1 size", "body length, mm", (Size(TODAY, 12, 12),))
GROWN_YEARS = Growth(
    "Ten years",
    "3650 weights",
    "weight, g",
    tuple(Size(on, number / 180, number / 180 + wave(number, 3)) for number, on in enumerate(YEARS)),
    tuple(YEARS[::90]),
    (date(2026, 5, 1), date(2026, 6, 1)),
)


def readings(values: list[float], every: float = 3) -> tuple[Measured, ...]:
    end = datetime.combine(TODAY, time(19))
    return tuple(Measured(end - timedelta(days=every * number), value) for number, value in enumerate(values))


HUMID = Series("humidity, %", readings([58, 64, 66, 68, 67, 71, 72, 74, 82]), 60, 80, 0, 100)
WARM = Series("temperature, °C", readings([24, 25, 24.5, 26, 24, 23, 25, 24, 22.5]), 22, None)
AIR = Climate("Tub 4: 7 of 9 humidity readings in the band", "9 readings of each since 12 Feb", (HUMID, WARM))
AIR_ONE = Climate(LONG, LONG, (Series("humidity, %", readings([64])), Series("temperature, °C", ())))
AIR_YEARS = Climate(
    "Ten years",
    "3650 readings",
    (
        Series("humidity, %", readings([50.0 + wave(at, 40) for at in range(3650)], 1), 60, 80, 0, 100),
        Series("temperature, °C", readings([20.0 + wave(at, 9) for at in range(3650)], 1), 22, 26),
    ),
)

SIX_MP = Curve(
    "brood 7",
    (
        Drop(6, 0.857143, 0.619718, 0.951552),
        Drop(7, 0.806723, 0.563147, 0.922809),
        Drop(10, 0.752941, 0.503200, 0.889362),
        Drop(13, 0.690196, 0.431610, 0.849066),
        Drop(16, 0.627451, 0.367511, 0.804912),
        Drop(22, 0.537815, 0.267779, 0.746791),
        Drop(23, 0.448179, 0.188052, 0.680143),
    ),
    35,
    (6, 9, 10, 11, 17, 19, 20, 25, 32, 32, 34, 35),
    ((0, 21), (10, 15), (20, 8), (30, 5)),
)
"""The shape of a real curve: 6-MP remission (Freireich et al. 1963), with its log-log interval."""

OTHER = Curve("brood 5", (Drop(3, 0.7, 0.5, 0.9), Drop(12, 0.2, 0.1, 0.4)), 23, (5, 14), ((0, 21), (10, 8), (20, 2)))
ALIVE = Survival("45 % of brood 7 alive at 35 days, 19 to 68 %", "21 spiderlings, 9 deaths", (SIX_MP,))
ALIVE_TWO = Survival("Brood 7 does better than brood 5", "42 spiderlings, 30 deaths", (SIX_MP, OTHER))
ALIVE_ONE = Survival("Brood 9: no losses", LONG, (Curve(LONG, (), 0, (0,)),))
ALIVE_YEARS = Survival(
    "Ten years",
    "3650 days",
    (
        Curve(
            "colony",
            tuple(Drop(4 * at + 2, 0.9985**at, 0.9 * 0.9985**at, 0.9985 ** (at / 2)) for at in range(900)),
            3650,
            tuple(float(wave(at, 3650)) for at in range(500)),
            ((0, 4000), (1000, 2000), (3000, 300)),
        ),
    ),
)


Draw = Callable[[str], "Figure"]
Paint = Callable[[str], bytes]

DRAWN: dict[str, Draw] = {
    "heads": lambda theme: head_count.drawn(HEADS, theme),
    "heads without an end": lambda theme: head_count.drawn(HEADS_OPEN, theme),
    "one count": lambda theme: head_count.drawn(HEADS_ONE, theme),
    "heads of ten years": lambda theme: head_count.drawn(HEADS_YEARS, theme),
    "food": lambda theme: feeding_calendar.drawn(FOOD, theme),
    "one meal": lambda theme: feeding_calendar.drawn(FOOD_ONE, theme),
    "food of ten years": lambda theme: feeding_calendar.drawn(FOOD_YEARS, theme),
    "growth": lambda theme: growth.drawn(GROWN, theme),
    "growth with an open window": lambda theme: growth.drawn(GROWN_OPEN, theme),
    "one size": lambda theme: growth.drawn(GROWN_ONE, theme),
    "growth of ten years": lambda theme: growth.drawn(GROWN_YEARS, theme),
    "climate": lambda theme: climate.drawn(AIR, theme),
    "one reading": lambda theme: climate.drawn(AIR_ONE, theme),
    "climate of ten years": lambda theme: climate.drawn(AIR_YEARS, theme),
    "survival": lambda theme: survival.drawn(ALIVE, theme),
    "two broods": lambda theme: survival.drawn(ALIVE_TWO, theme),
    "a brood of today": lambda theme: survival.drawn(ALIVE_ONE, theme),
    "survival of ten years": lambda theme: survival.drawn(ALIVE_YEARS, theme),
}
PAINTED: dict[str, Paint] = {
    "heads": lambda theme: head_count.picture(HEADS, theme),
    "food": lambda theme: feeding_calendar.picture(FOOD, theme),
    "growth": lambda theme: growth.picture(GROWN, theme),
    "climate": lambda theme: climate.picture(AIR, theme),
    "survival": lambda theme: survival.picture(ALIVE_TWO, theme),
}
