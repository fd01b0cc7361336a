"""Whatever two collections say in whatever turn, each is told what it would be told alone, and has the same records."""

from __future__ import annotations

import shutil
from copy import deepcopy
from itertools import count
from pathlib import Path

import pytest
from hypothesis import HealthCheck, given, settings
from hypothesis import strategies as some

from storage.store import Store
from tests import databases
from tests.isolation.acts import ForAll, Lodger
from tests.isolation.rows import rows_of
from tests.isolation.script import DAYS, IN_GROUP, QUESTIONS, SET_UP, STRAYS
from tests.isolation.world import World, ann, ben, open_world, rush

pytestmark = pytest.mark.slow

ACTS = (*DAYS, *QUESTIONS, *IN_GROUP, *STRAYS)
OURS, THEIRS, BOTH, RUSH = "ours", "theirs", "both at once", "a rush of theirs"

Turn = tuple[str, int, int]
"""Whose turn it is, and which acts ours and theirs are."""

_numbers = some.integers(0, len(ACTS) - 1)
turns = some.lists(
    some.tuples(some.sampled_from((OURS, OURS, THEIRS, BOTH, BOTH, RUSH)), _numbers, _numbers), max_size=14
)


class Stage:
    """Two data folders with the collections set up: one where ours is alone, one where another is too."""

    def __init__(self, folder: Path) -> None:
        self.folder = folder
        self.lodgers: dict[str, tuple[Lodger, ...]] = {}
        self.numbers = count(1)

    def play(self, which: str, turns: list[Turn]) -> World:
        """Play turns on a copy of a folder; where ours is alone, theirs are left out."""
        folder = self.folder / f"{which} {next(self.numbers)}"
        databases.copy(self.folder / which, folder)
        world = open_world(Store.open(databases.of(folder)), folder)
        world.lodgers = list(deepcopy(self.lodgers[which]))
        world.clock.moment = max(item.sent_at for who in world.lodgers for item in who.sent)
        try:
            for turn in turns:
                take_turn(world, turn)
            with world.app.store.read() as session:
                world.lodgers[0].told.append(rows_of(session, world.lodgers[0].collection_id))
        finally:
            world.app.store.close()
            shutil.rmtree(folder)
        return world


def take_turn(world: World, turn: Turn) -> None:
    whose, our_act, their_act = turn
    ours, others = world.lodgers[0], world.lodgers[1:]
    if whose == RUSH:
        for who in others:
            rush(world, who)
        return
    theirs, own = ACTS[their_act] if whose != OURS else None, ACTS[our_act] if whose != THEIRS else None
    acting = [(who, theirs) for who in others if theirs is not None and not isinstance(theirs, ForAll)]
    acting += [(ours, act) for act in (own, theirs) if act is not None and (act is own or isinstance(act, ForAll))]
    world.together(acting)


@pytest.fixture(scope="module")
def stage(tmp_path_factory: pytest.TempPathFactory) -> Stage:
    """Both folders, set up once."""
    made = Stage(tmp_path_factory.mktemp("stage"))
    for which in ("alone", "together"):
        world = open_world(Store.open(databases.of(made.folder / which)), made.folder / which)
        ours, theirs = ann(), ben()
        world.let_in(*([theirs] if which == "together" else []), ours)
        for act in SET_UP:
            world.together([(who, act) for who in world.lodgers])
        world.app.store.close()
        made.lodgers[which] = (ours, theirs) if which == "together" else (ours,)
    return made


def compare(stage: Stage, played: list[Turn]) -> None:
    alone, together = stage.play("alone", played), stage.play("together", played)
    assert together.lodgers[0].told == alone.lodgers[0].told


@settings(max_examples=6, suppress_health_check=[HealthCheck.function_scoped_fixture])
@given(turns)
def test_each_is_told_what_it_would_be_told_alone(stage: Stage, played: list[Turn]) -> None:
    """Replies, pushes, pictures and all rows are the same as in a database without the other collection."""
    compare(stage, played)


@pytest.mark.slow
@settings(max_examples=25, suppress_health_check=[HealthCheck.too_slow])
@given(turns)
def test_each_is_told_what_it_would_be_told_alone_in_many_talks(stage: Stage, played: list[Turn]) -> None:
    """The same, of many more talks."""
    compare(stage, played)
