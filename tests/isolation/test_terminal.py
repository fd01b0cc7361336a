"""Three collections at one terminal, in which everything bears the same name: each is talked to by its own name."""

from __future__ import annotations

from collections.abc import Iterator
from datetime import timedelta
from pathlib import Path

import pytest

from bot.app import SetClock
from bot.conversation.reply import Reply
from bot.household import Household, opened
from storage import households
from tests import databases
from tests.isolation.world import MORNING

NAMES = ("The rack", "The loft", "The shed")
HEADS = (57, 43, 61)
PREY = ("crickets", "roaches", "waxworms")


@pytest.fixture
def homes(tmp_path: Path) -> Iterator[tuple[Household, ...]]:
    """Three collections with group B in tub 4, of different numbers, fed with different prey."""
    with opened(tmp_path, databases.settings(tmp_path), SetClock(MORNING), "Europe/Lisbon", lasting=False) as first:
        with first.app.store.write() as session:
            made = households.collections(session)[0]
        for name in NAMES:
            first.app.add_collection(name, made.zone)
        found = tuple(Household(first.app, name) for name in NAMES)
        for home, heads, prey in zip(found, HEADS, PREY, strict=True):
            said(home, f"add group B, {heads} Heterothele villosella, in tub 4")
            said(home, f"fed B 3 {prey}")
        yield found


def said(home: Household, text: str) -> str:
    return in_words(home.say(text))


def in_words(replies: list[Reply]) -> str:
    return "\n".join(reply.text for reply in replies)


def test_each_answers_of_itself(homes: tuple[Household, ...]) -> None:
    """The same questions have the numbers of the collection that they are put to."""
    for home, heads, prey in zip(homes, HEADS, PREY, strict=True):
        assert said(home, "how many in B").startswith(f"group B: {heads}.")
        assert f"fed 3 {prey}" in said(home, "when did B last eat")
        assert [reply.text.count(other) for reply in home.say("show me B") for other in PREY if other != prey] == [0, 0]


def test_undo_takes_back_what_was_said_there(homes: tuple[Household, ...]) -> None:
    """The last words of one collection, though words of the others came after them."""
    rack, loft, shed = homes
    assert said(rack, "undo") == "Taken back: group B: fed 3 crickets, Tue 3 Mar 2026."
    assert said(shed, "make that 4").startswith("Changed, now: group B: fed 4 waxworms")
    assert "fed 3 roaches" in said(loft, "when did B last eat")
    assert said(rack, "when did B last eat").startswith("No feeding of group B")


def test_an_open_question_waits_in_its_own_collection(homes: tuple[Household, ...]) -> None:
    """An answer given in another is none, and is read as ever there."""
    rack, loft, shed = homes
    assert said(rack, "fed Q 3 locusts").startswith("There is no Q on the roster.")
    assert [home.asks_back for home in homes] == [True, False, False]
    assert said(loft, "never mind") != said(rack, "never mind")
    assert [home.asks_back for home in homes] == [False, False, False]
    assert "locust" not in said(shed, "what did I do today")


def test_what_is_said_unasked_goes_to_its_own_collection(homes: tuple[Household, ...]) -> None:
    """A reminder of one is heard in that one, at whichever the next sweep is made."""
    rack, loft, shed = homes
    clock = rack.app.clock
    assert isinstance(clock, SetClock)
    assert [in_words(home.pushes()) for home in homes] == ["", "", ""]
    said(loft, "remind me to weigh B today at 13:00")
    clock.pass_time(timedelta(hours=4))
    unasked = [in_words(home.pushes()) for home in (shed, rack, loft)]
    assert unasked[:2] == ["", ""]
    assert "Reminder: group B: measure" in unasked[2]


def test_words_and_names_are_its_own(homes: tuple[Household, ...]) -> None:
    """What is taught, renamed and tagged in one is no word of the others."""
    rack, loft, shed = homes
    said(rack, "RR means cricket")
    said(rack, "rename B to the dwarfs")
    said(rack, "tag tub 4 as warm side")
    assert {"the dwarfs", "warm side"} <= set(rack.words())
    for home in (loft, shed):
        assert home.words() == ["group B", "tub 4"]
        assert home.roster.vocabulary == {}
    assert said(loft, "forget RR").startswith("I was never taught “RR”")
