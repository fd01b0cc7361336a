"""Whatever is told of a ward, the due engine and a plain, slow second engine give the same tasks."""

from __future__ import annotations

from datetime import date, datetime, time, timedelta

from hypothesis import HealthCheck, given, settings
from hypothesis import strategies as st

from bot.care.due import Away, Fact, Ward, tasks
from bot.care.sheet import load_sheets
from tests.care.plain_due import PlainEngine
from tests.care.plain_rules import when

FIRST = date(2026, 1, 20)
TODAY = 45
"""Today is so many days after the first: the end of February lies between."""

days = st.integers(0, TODAY)
recent = st.integers(TODAY - 5, TODAY)
hours = st.sampled_from([time(0), time(7), time(12), time(20, 30)])


def fields(**choices: st.SearchStrategy[object]) -> st.SearchStrategy[dict[str, object]]:
    return st.fixed_dictionaries({}, optional=choices)


def of(*values: object) -> st.SearchStrategy[object]:
    return st.sampled_from(values)


LOGS: dict[str, st.SearchStrategy[dict[str, object]]] = {
    "feeding": fields(
        outcome=of("ate", "refused", "refused", "refused", "partly"),
        prey_state=of("live", "live", "pre-killed"),
        prey=of("cricket", "roach", "fruit fly"),
    ),
    "misting": fields(amount=of("light")),
    "watering": fields(),
    "cleaning": fields(scope=of("spot", "full")),
    "moult": fields(number=of((1, 1), (30, 30), (5, None))),
    "count": fields(count=of((33, 33), (12, None))),
    "move": fields(count=of((22, 22))),
    "measurement": st.fixed_dictionaries(
        {"measure": of("body", "legspan", "weight"), "value": of((8, 8), (11, 13), (13, 13), (31, 31), (60, 60))}
    ),
    "reading": fields(humidity_pct=of((20, 20), (50, 60), (58, 58), (95, 95))),
    "observation": st.fixed_dictionaries(
        {"signs": of(("hiding",), ("out",), ("webbing", "hiding"), ("premoult",), ("eating_together",))}
    ),
    "note": fields(),
}
THEMES = (
    tuple(sorted(LOGS)),
    ("feeding",),
    ("feeding", "feeding", "observation", "moult"),
    ("misting", "reading", "measurement"),
    ("feeding", "measurement", "cleaning"),
    ("move", "observation", "feeding"),
)
"""Kinds told of one ward: a few at a time, so that what hangs together meets."""
WORDS = ["", "", "fangs dark now", "every other sunday", "each thursday"]
REPEATED = ["feeding", "misting", "watering", "cleaning", "count", "measurement", "check", "note"]


@st.composite
def log(draw: st.DrawFn, number: int, theme: tuple[str, ...]) -> Fact:
    kind = draw(st.sampled_from(theme))
    on = FIRST + timedelta(days=draw(days | recent | recent))
    told = dict(draw(LOGS[kind]))
    if draw(st.integers(0, 9)) == 0:
        told["plan"] = draw(st.integers(1, 12))
    words = draw(st.sampled_from(WORDS[:3])) if kind in {"moult", "observation", "note"} else ""
    return Fact(number, kind, "log", on, datetime.combine(on, draw(hours)), told, words)


@st.composite
def plan(draw: st.DrawFn, number: int) -> Fact:
    told = FIRST + timedelta(days=draw(days))
    kind = draw(st.sampled_from([*REPEATED, *REPEATED, "stop", "stop", "rule", "rule", "skip"]))
    on = draw(st.none() | st.integers(-4, 20).map(lambda ahead: told + timedelta(days=ahead)))
    every = st.sampled_from([1, 3.5, 7, 10, 14, 30])
    given: dict[str, object]
    if kind == "stop":
        given = draw(fields(of=of(*REPEATED), until=of("2026-03-01", "2026-03-20")))
    elif kind == "rule":
        given = draw(
            st.sampled_from(
                [
                    {"back": True},
                    {"humidity_pct": [52, 65]},
                    {"settling_days": 12},
                    {"look_in_days": [2, 5, 9]},
                    {"task": "misting", "every_days": 5, "amount": "light"},
                    {"task": "feeding", "every_days": 9},
                ]
            )
        )
    elif kind == "skip":
        given = draw(st.fixed_dictionaries({"of": of(*REPEATED)}) | st.fixed_dictionaries({"plan": st.integers(1, 12)}))
    else:
        given = draw(fields(every_days=every, scope=of("full"), measure=of("weight", "body"), month_day=of(31, 15)))
    if given.get("every_days") != 30:
        given = {name: value for name, value in given.items() if name != "month_day"}
    moment = datetime.combine(told, draw(hours))
    return Fact(number, kind, "plan", on, moment, given, draw(st.sampled_from(WORDS)))


@st.composite
def wards(draw: st.DrawFn) -> Ward:
    numbers = draw(st.permutations(range(1, 25)))
    plans = [draw(plan(number)) for number in numbers[: draw(st.integers(0, 6))]]
    theme = draw(st.sampled_from(THEMES))
    logs = [draw(log(number, theme)) for number in numbers[6 : 6 + draw(st.sampled_from([0, 1, 3, 6, 10, 18]))]]
    moves = [fact for fact in logs if fact.kind == "move"]
    return Ward(
        name="group B",
        place="tub 4",
        kind=draw(st.sampled_from(["group", "group", "animal", "place"])),
        sheet=load_sheets()[draw(st.sampled_from(sorted(load_sheets())))],
        since=draw(st.none() | days.map(lambda day: FIRST + timedelta(days=day))),
        moved=max(moves, key=when, default=None) if draw(st.booleans()) else None,
        facts=tuple(sorted(logs, key=when, reverse=True)),
        rules=tuple(plans),
        count=draw(st.sampled_from([None, (24, 24), (42, 46), (8, None)])),
        empty=draw(st.integers(0, 19)) == 0,
    )


@st.composite
def holidays(draw: st.DrawFn) -> tuple[Away, ...]:
    if draw(st.integers(0, 3)):
        return ()
    since = FIRST + timedelta(days=draw(days))
    return (Away(since, since + timedelta(days=draw(st.integers(0, 12)))),)


@settings(max_examples=400, suppress_health_check=[HealthCheck.too_slow])
@given(ward=wards(), away=holidays(), hour=st.sampled_from([time(6), time(8), time(19, 30)]))
def test_both_engines_agree(ward: Ward, away: tuple[Away, ...], hour: time) -> None:
    """Kinds, states, days, holds and plans are the same, in the same order but for repeats of the keeper's own."""
    now = datetime.combine(FIRST + timedelta(days=TODAY), hour)
    found = [
        (task.kind, task.state, task.earliest, task.latest, task.until, task.hold, task.plan)
        for task in tasks(ward, now, away)
    ]
    plain = PlainEngine(ward, now, away).tasks()
    assert sorted(found, key=str) == sorted(plain, key=str)
