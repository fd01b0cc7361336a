"""Whatever is written of two groups, the reckoning answers, and never tells of more than can be."""

from __future__ import annotations

import re
from collections.abc import Iterator, Sequence
from datetime import timedelta
from pathlib import Path

import pytest
from hypothesis import HealthCheck, given, settings
from hypothesis import strategies as st

from storage import roster
from storage.store import Store
from tests import databases
from tests.answers.conftest import TODAY, Keeper

NUMBERS = st.one_of(
    st.none(),
    st.tuples(st.integers(0, 60), st.integers(0, 20)).map(lambda pair: [pair[0], pair[0] + pair[1]]),
    st.integers(0, 60).map(lambda low: [low, None]),
)
Told = tuple[int, str, str, object]
Measured = tuple[int, str, float, bool]
KINDS = {
    "count": "count",
    "death": "number",
    "departure": "number",
    "arrival": "number",
    "sac": "number",
    "moult": "number",
}
TOLD = st.tuples(
    st.integers(0, 200), st.sampled_from(["group B", "group C", "tub 4"]), st.sampled_from(sorted(KINDS)), NUMBERS
)
SIZES = st.tuples(st.integers(0, 200), st.sampled_from(["group B", "Ada"]), st.floats(0.01, 500), st.booleans())

QUESTIONS = (
    ("losses", ("group B",), {}), ("losses", (), {}), ("compare", ("group B", "group C"), {}),
    ("compare", ("group B",), {"fields": {"lot": ""}}), ("size", ("group B", "Ada"), {}), ("next", ("Ada",), {"kind": "moult"}),
    ("crowding", ("tub 4",), {}), ("crowding", (), {}), ("headcount", ("group B",), {}),
    ("why", ("group B",), {"fields": {"of": "losses"}}),
)  # fmt: skip

pytestmark = pytest.mark.slow


@pytest.fixture
def store(tmp_path: Path) -> Iterator[Store]:
    opened = Store.open(databases.of(tmp_path))
    yield opened
    opened.close()


def write(keeper: Keeper, count: int | None, told: Sequence[Told], sizes: Sequence[Measured]) -> None:
    """Groups B and C with a size for their tubs, Ada alone, and what was told of them."""
    for place, group, number in (("tub 4", "group B", count), ("tub 5", "group C", 20)):
        roster.set_size(keeper.session, keeper.place(place), (30, 20, 15))
        keeper.animal(group, place, kind="group", count=number)
    keeper.place("tub 1")
    keeper.animal("Ada", "tub 1")
    for days, who, kind, value in told:
        stage = {"stage": "hatched"} if kind == "sac" else {}
        fields = {} if value is None else {KINDS[kind]: value}
        keeper.write(TODAY - timedelta(days=days), kind, [who], **stage, **fields)  # type: ignore[arg-type]
    for days, who, size, moulted in sizes:
        on = TODAY - timedelta(days=days)
        keeper.write(on, "measurement", [who], measure="legspan", value=[size, size])
        if moulted:
            keeper.write(on, "moult", [who])


@settings(max_examples=60, suppress_health_check=[HealthCheck.function_scoped_fixture])
@given(
    count=st.one_of(st.none(), st.integers(0, 60)), told=st.lists(TOLD, max_size=12), sizes=st.lists(SIZES, max_size=8)
)
def test_any_journal_is_answered(store: Store, count: int | None, told: list[Told], sizes: list[Measured]) -> None:
    """In sentences, with shares from 0 to 100 per cent, and no name of a missing value."""
    with store.write() as session:
        nothing = session.begin_nested()
        keeper = Keeper(session)
        write(keeper, count, told, sizes)
        for about, subjects, parts in QUESTIONS:
            said = keeper.text(about, *subjects, **parts)
            assert len(said) > 10
            assert not re.search(r"\bNone\b|\bnan\b|\binf\b|\(\)", said), said
            assert all(float(share) <= 100 for share in re.findall(r"([\d.]+) %", said)), said
        nothing.rollback()  # each example begins on an empty journal
