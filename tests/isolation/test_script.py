"""One of everything said by two collections at once: each is told what it would be told alone, and has the same records."""

from __future__ import annotations

from collections.abc import Iterable
from pathlib import Path

import pytest

from bot.answers import ANSWERS
from bot.conversation import setup
from bot.errors import APOLOGY
from storage.store import Store
from tests import databases
from tests.isolation.acts import ForAll, Lodger
from tests.isolation.reading import Noting
from tests.isolation.rows import STRANGER, rows_of
from tests.isolation.script import SCRIPT, STRAYS
from tests.isolation.world import BEN, World, ann, ben, open_world
from tests.telegram.test_roles import REGISTRIES

pytestmark = pytest.mark.slow
"""Everything is said five times over."""

REGISTERED: dict[str, Iterable[str]] = {
    "ask": ANSWERS,
    "setup": set(setup.ACTIONS) - {"zone"},
    "intent": REGISTRIES["intent"],
    "plan": REGISTRIES["plan"],
    "amend": REGISTRIES["amend"],
    "carries": REGISTRIES["carries"],
    "command": REGISTRIES["command"],
    "picture": {"heads", "food", "growth", "air", "survival"},
}
"""What the bot knows of sorts of messages; a new one here wants a sentence in the script. A zone is set before a text is read."""


@pytest.fixture(scope="module")
def noting() -> Noting:
    """A reader that notes what it was given."""
    return Noting()


@pytest.fixture(scope="module")
def alone(tmp_path_factory: pytest.TempPathFactory, noting: Noting) -> World:
    """The script said by Ann's collection alone."""
    return played(tmp_path_factory.mktemp("alone"), noting, ann())


@pytest.fixture(scope="module", params=["before", "after"])
def together(tmp_path_factory: pytest.TempPathFactory, noting: Noting, request: pytest.FixtureRequest) -> World:
    """The script said by Ann's collection and Ben's, act by act at the same moment, Ben's before or after hers."""
    lodgers = (ben(), ann()) if request.param == "before" else (ann(), ben())
    return played(tmp_path_factory.mktemp("together"), noting, *lodgers)


def played(folder: Path, noting: Noting, *lodgers: Lodger) -> World:
    """The script, said by all of these."""
    world = open_world(Store.open(databases.of(folder / "database")), folder / "files", noting)
    world.let_in(*lodgers)
    for act in (*SCRIPT, *STRAYS):
        world.together([(who, act) for who in (lodgers[:1] if isinstance(act, ForAll) else lodgers)])
    return world


def hers(world: World) -> Lodger:
    return next(who for who in world.lodgers if who.number == ann().number)


def test_what_she_is_told_is_what_she_is_told_alone(alone: World, together: World) -> None:
    """Every reply, push, table, choice and picture, byte for byte."""
    for mine, beside in zip(hers(alone).told, hers(together).told, strict=True):
        assert beside == mine


def test_her_records_are_what_they_are_alone(alone: World, together: World) -> None:
    """Every row of every table, and none points to a row of the other collection."""
    for world in (alone, together):
        assert STRANGER not in str(kept(world, hers(world)))
    assert kept(together, hers(together)) == kept(alone, hers(alone))


def kept(world: World, who: Lodger) -> dict[str, list[dict[str, object]]]:
    with world.app.store.read() as session:
        return rows_of(session, who.collection_id)


def test_neither_is_told_a_word_of_the_other(together: World) -> None:
    """The species, the buyers and the words of the notes of each are in what it is told, and not in what the other is."""
    for who in together.lodgers:
        other = next(one for one in together.lodgers if one is not who)
        words = [str(who.words[name]) for name in ("species", "lone", "buyer", "note", "zone")]
        assert [word for word in words if word not in str(who.told)] == []
        assert [word for word in words if word in str(other.told)] == []


def test_nothing_went_wrong(alone: World, together: World) -> None:
    """No message was given up, or the comparison would compare apologies."""
    assert BEN["note"] not in str(hers(alone).told)
    for world in (alone, together):
        assert not [one for who in world.lodgers for one in who.told if APOLOGY in str(one)]


def test_pictures_pushes_photos_and_choices_are_among_it(alone: World) -> None:
    """What is compared holds some of each."""
    told = [one for one in hers(alone).told if isinstance(one, dict)]
    assert len([one for one in told if one["files"]]) > 5
    assert len([one for one in told if one["rings"][0]]) > 2
    assert len([one for one in told if one["choices"]]) > 5
    assert len([one for one in told if one["table"][1]]) > 0


@pytest.mark.parametrize("registry", REGISTERED)
def test_the_script_has_a_sentence_for_every_sort(alone: World, noting: Noting, registry: str) -> None:
    """Whatever can be asked, planned, put right and set up is among what both said."""
    said = {name.partition(":")[2] for name in noting.sorts if name.startswith(f"{registry}:")}
    sent = hers(alone).sent
    said |= {str(item.carries) for item in sent} if registry == "carries" else set()
    said |= {item.text[1:].split()[0] for item in sent if item.text.startswith("/")} if registry == "command" else set()
    assert set(REGISTERED[registry]) <= said
