"""Whatever was said: written out and brought in, it is the same collection, with the same answers."""

from __future__ import annotations

import shutil
from collections.abc import Sequence
from datetime import timedelta
from pathlib import Path
from tempfile import TemporaryDirectory

import jsonschema
import pytest
from hypothesis import HealthCheck, given, settings
from hypothesis import strategies as st

from bot.app import SetClock
from bot.household import opened
from bot.moving.collection_form import check, schema
from bot.settings import Settings
from storage.store import Store
from tests.conftest import EVENING
from tests.front import ANA, BEN, Front, open_front
from tests.moving.documents import brought, counted, document, new_house, text
from tests.moving.test_collection_json import standing

pytestmark = pytest.mark.slow

WORDS = (
    "fed marigolds 8 pk crickets, 2 left over", "sedges didnt eat", "rushes: counted 31", "saw at least 12 larches",
    "split 6 off rushes into pot 9", "moved the larches into the tall crate", "flint died", "2 moults in rushes",
    "slate box 24.5C 71%", "flint 18.5g", "mist slate box every 3 days", "remind me to weigh flint tomorrow at 9pm",
    "stop feeding reminders for sedges", "away tomorrow to friday", "skip stilts feeding", "RR means red runner roach",
    "forget RR", "rename larches to Alders", "slate box is 30x20x15 cm", "add group Wrens, 12 Damon medius, in pot 12",
    "got 200 crickets", "hyg 3 37% over magnesium chloride", "sold 3 stilts", "undo", "make that yesterday", "no, 5",
    "quiet hours 22 to 7", "rushes like 60 to 70 % humidity", "fed wrens 2 crickets", "what's due", "1", "yes",
)  # fmt: skip
ACTS = st.lists(
    st.tuples(
        st.sampled_from([ANA, BEN]),
        st.one_of(st.sampled_from(WORDS), st.text(max_size=20)),
        st.integers(0, 40),
        st.sampled_from(["say"] * 6 + ["edit", "delete"]),
    ),
    max_size=14,
)


def act(front: Front, acts: Sequence[tuple[str, str, int, str]]) -> None:
    """Say things, edit what was said last, delete it; hours apart."""
    last: dict[str, str] = {}
    for number, (address, words, hours, how) in enumerate(acts):
        front.clock.pass_time(timedelta(hours=hours, minutes=1))
        if how == "say" or address not in last:
            last[address] = f"m{number}"
            front.hear(front.message(words or "ok", address, key=last[address]))
        elif how == "edit":
            front.hear(front.message(words or "ok", address, key=last[address], revision=number, edits=last[address]))
        else:
            front.hear(front.message("", address, key=f"d{number}", deletes=last.pop(address)))


@pytest.fixture(scope="module")
def furnished(request: pytest.FixtureRequest) -> Path:
    """The folder of a household with the demo roster."""
    found: Path = request.getfixturevalue("_furnished")
    return found


@settings(max_examples=40, suppress_health_check=[HealthCheck.function_scoped_fixture])
@given(acts=ACTS, cut=st.integers(0, 14))
def test_any_journal_moves_whole(furnished: Path, acts: Sequence[tuple[str, str, int, str]], cut: int) -> None:
    """The document comes out again byte for byte; what came after a first import is added by a second, and a third adds nothing."""
    with TemporaryDirectory() as made:
        here = Path(made)
        clock = SetClock(EVENING)
        shutil.copytree(furnished, here / "household")
        with opened(here / "household", Settings(), clock, lasting=False) as household:
            front = open_front(household, clock, here / "household")
            source = household.app.store
            with_copy = new_house(here / "copy")
            try:
                act(front, acts[:cut])
                brought(with_copy, text(source), here)
                assert text(with_copy) == text(source)
                act(front, acts[cut:])
                whole = text(source)
                jsonschema.Draft202012Validator(schema()).validate(document(source))
                check(document(source), "it")
                brought(with_copy, whole, here)
                same(with_copy, source)
                before = counted(with_copy)
                brought(with_copy, whole, here)
                assert counted(with_copy) == before
            finally:
                with_copy.close()


def same(one: Store, other: Store) -> None:
    """Rows and answers, but for wishes, which a second import leaves as they are here."""
    first, second = document(one), document(other)
    for name in first.keys() - {"preferences", "collection", "labels"}:
        assert first[name] == second[name], name
    assert standing(one) == standing(other)
