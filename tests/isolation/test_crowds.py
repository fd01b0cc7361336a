"""However many others write between, what a member said before is found: a busy bot forgets nobody."""

from __future__ import annotations

from pathlib import Path

import pytest

from storage.store import Store
from tests.isolation.acts import Lodger, say
from tests.isolation.world import World, ann, ben, open_world, rush

BEFORE_AND_AFTER = {
    "undo": "add tub 12",
    "make that 4": "fed B 3 crickets",
    "why": "how many in B",
    "more": "show me B since February",
    "they moulted": "fed B 3 crickets",
    "/undo": "RR means cricket",
}
"""What leans on what was said before it."""


@pytest.fixture
def world(store: Store, tmp_path: Path) -> World:
    """Ann's collection and Ben's."""
    made = open_world(store, tmp_path / "files")
    made.let_in(ann(), ben())
    made.does(made.lodgers[0], say("add group B, 57 Heterothele villosella, in tub 4"))
    return made


def told(world: World, who: Lodger, text: str) -> str:
    """What somebody is told to a text."""
    world.does(who, say(text))
    found: str = who.told[-1]["text"]
    return found


@pytest.mark.parametrize("text", BEFORE_AND_AFTER)
def test_a_busy_hour_of_others_lies_between(world: World, text: str) -> None:
    """What leans on the message before leans on it after 250 messages of others as it does after none."""
    ours, theirs = world.lodgers
    if text == "more":
        world.does(ours, *(say(f"fed B {number} crickets") for number in range(1, 40)))
    told(world, ours, BEFORE_AND_AFTER[text])
    at_once = told(world, ours, text)
    told(world, ours, BEFORE_AND_AFTER[text].replace("12", "13"))
    rush(world, theirs)
    assert told(world, ours, text) == at_once.replace("12", "13")
