"""Keys, tokens, codes and labels of another collection: nothing of it is shown or changed, as if there were no such thing."""

from __future__ import annotations

from collections.abc import Callable, Iterator
from dataclasses import replace
from datetime import datetime
from pathlib import Path
from typing import Any

import pytest

from bot.admission import make_code
from bot.channels.port import PHOTO, Carried, Press
from storage import households, outbox
from storage.store import Store
from tests import databases
from tests.isolation.acts import CHANNEL, FETCH, GROUP, Act, Lodger, delete, photo, say
from tests.isolation.rows import rows_of
from tests.isolation.world import World, ann, ben, open_world

pytestmark = pytest.mark.slow

NOTHING = "no-such-thing"
WHAT = {
    "log": "fed group B {size} {prey}s, {note}",
    "question": "fed the scorpion {size} {prey}s",
    "count": "counted C: 9",
    "answer": "why is B due",
    "page": "show me group B",
    "set-up": "add tub {size}",
}
"""What may stand under a key: something written, a question, an open count, an answer with grounds, a page, a change of the roster."""

REPLIES = (
    "make that 3",
    "undo",
    "why",
    "more",
    "done",
    "set to 9",
    "recount later",
    "it was yesterday",
    "same again",
    "they moulted",
)

MakeWorld = Callable[[str], World]


@pytest.fixture
def make_world(tmp_path: Path) -> Iterator[MakeWorld]:
    """Makes Ann's and Ben's collections, with groups of the same names in places of the same names, each time the same."""
    opened: list[World] = []

    def make(name: str) -> World:
        world = open_world(Store.open(databases.of(tmp_path / name)), tmp_path / name)
        opened.append(world)
        world.let_in(ann(), ben())
        for who in world.lodgers:
            world.does(who, say("add group B, {heads} {species}, in tub 4"), say("add group C, {heads}, in tub 7"))
        return world

    yield make
    for world in opened:
        world.app.store.close()


def kept(world: World, who: Lodger) -> dict[str, Any]:
    """All rows of a collection."""
    with world.app.store.read() as session:
        return rows_of(session, who.collection_id)


def told(world: World, who: Lodger, *acts: Act) -> list[Any]:
    """What people of a collection are told to what they do."""
    before = len(who.told)
    world.does(who, *acts)
    return who.told[before:]


def hanging_on(key: str, chat: str) -> Iterator[Act]:
    """Everything that can hang on a key."""
    for text in REPLIES:
        yield say(text, chat=chat, reply_to=key)
    yield say("", chat=chat, reply_to=key, carries=PHOTO, photo={"file": "1"})
    yield say("fed group B 9 flies", chat=chat, edits=key, key=key, revision=7)
    yield say("", chat=chat, deletes=key)
    yield lambda _world, who, at: Press(
        address=who.address(), name="owner", chat=chat, key=f"p{key}", sent_at=at, message_key=key, place=0
    )


@pytest.mark.parametrize("of", WHAT)
def test_a_key_of_another_collection_is_none(make_world: MakeWorld, of: str) -> None:
    """In a group of both, what hangs on a message of theirs, or on the bot's answer to it, hangs on nothing known."""
    world, silent = make_world("world"), make_world("silent")
    world.does(world.lodgers[1], say(WHAT[of], chat=GROUP))
    ours, theirs = world.lodgers
    before = kept(world, theirs)
    strays = [act for key in (theirs.sent[-1].key, theirs.shown[-1][1]) for act in hanging_on(key, GROUP)]
    silent.clock.moment = world.clock.moment
    assert told(world, ours, *strays) == told(silent, silent.lodgers[0], *strays)
    assert kept(world, theirs) == before
    assert kept(world, ours) == kept(silent, silent.lodgers[0])


@pytest.mark.parametrize("chat", ["private", "group"])
def test_a_button_of_another_collection_is_a_closed_one(make_world: MakeWorld, chat: str) -> None:
    """A tap with the data of their button is told what a tap with made-up data is told, and their question stays open."""
    world = make_world("world")
    ours, theirs = world.lodgers
    world.does(theirs, say(WHAT["question"], chat=GROUP if chat == "group" else None))
    parcel = theirs.shown[-1][0]
    before = kept(world, theirs), kept(world, ours)
    found = [told(world, ours, tap(data, parcel.chat)) for data in (parcel.buttons[0].data, f"{NOTHING}:0")]
    assert found[0] == found[1] == [("at once", "That choice is closed by now; nothing was written.")]
    assert (kept(world, theirs), kept(world, ours)) == before


def tap(data: str, chat: str) -> Act:
    """A tap on a button that bears this."""
    return lambda _world, who, at: Press(
        address=who.address(), name="owner", chat=chat, key=who.key(chat), sent_at=at, data=data
    )


def test_a_label_of_another_collection_is_unknown(make_world: MakeWorld) -> None:
    """Neither the link nor the code alone puts anybody before their enclosure."""
    world = make_world("world")
    ours, theirs = world.lodgers
    codes = [world.label(theirs, "tub 4"), NOTHING]
    for text in ("/start here-{}", "here-{}"):
        found = [told(world, ours, say(text.format(code)))[0]["text"] for code in codes]
        assert found == ["I do not know that label."] * 2
    [answer] = told(world, ours, say("fed 3"))
    assert answer["choices"], "nobody is stood before, so it is asked who was fed"
    assert told(world, theirs, say("/start here-" + codes[0]))[0]["text"].startswith("tub 4: group B.")


def test_a_code_of_another_collection_lets_no_member_over(make_world: MakeWorld) -> None:
    """Who holds a code that their owner gave out is told that one can be in one collection only; nothing of it is shown."""
    world = make_world("world")
    ours, theirs = world.lodgers
    with world.app.store.write() as session:
        code, _ = make_code(session, theirs.collection_id, "viewer", world.clock.now())
    before = kept(world, theirs), kept(world, ours)
    for by in ("owner", "keeper"):
        said = told(world, ours, say(f"/start {code}", by))
        assert said == [("at once", "You belong to another collection on this bot, and can be in one only.")]
    assert (kept(world, theirs), kept(world, ours)) == before


def test_an_album_of_the_same_name_is_another_one(make_world: MakeWorld) -> None:
    """Photos with one album's name in two collections, in one group at that, go each with the words of their own."""
    world, silent = make_world("world"), make_world("silent")
    world.does(world.lodgers[1], say("fed C 4 {prey}s", chat=GROUP, **PICTURE))
    acts = (say("", chat=GROUP, **PICTURE), say("fed B {size} {prey}s", chat=GROUP, **PICTURE))
    silent.clock.moment = world.clock.moment
    assert told(world, world.lodgers[0], *acts) == told(silent, silent.lodgers[0], *acts)
    assert kept(world, world.lodgers[0]) == kept(silent, silent.lodgers[0])
    assert [row["about_id"] for row in kept(world, world.lodgers[1])["photos"]] == ["inbox 3"]


PICTURE: dict[str, Any] = {"carries": PHOTO, "photo": {"file": "1"}, "album": "x"}


def test_the_same_photo_is_shown_to_each_as_its_own(make_world: MakeWorld) -> None:
    """One file for both, which one of them takes back; the other keeps it, with its own words."""
    world = make_world("world")
    ours, theirs = world.lodgers
    for who in world.lodgers:
        world.does(who, photo("fed B {size} {prey}s, {note}"), FETCH)
    shown = told(world, ours, say("show me the last photo of B"))[0]
    assert theirs.words["note"] not in str(shown)
    world.does(ours, delete(back=2))
    assert told(world, theirs, say("show me the last photo of B"))[0]["files"] == shown["files"]
    assert told(world, ours, say("show me the last photo of B"))[0]["text"].startswith("No photo of group B is kept.")


def test_who_goes_over_to_another_collection_leaves_everything_behind(make_world: MakeWorld) -> None:
    """In the same private chat, what hangs on words of the time before hangs on nothing: the former collection stays as it was."""
    world = make_world("world")
    ours, theirs = world.lodgers
    world.does(theirs, *(say(text, "keeper") for text in WHAT.values()))
    keys = [item.key for item in theirs.sent[-len(WHAT) :]] + [key for _, key in theirs.shown[-len(WHAT) :]]
    buttons = [parcel.buttons[0].data for parcel, _ in theirs.shown if parcel.buttons]
    world.does(theirs, say("remove Keeper"))
    with world.app.store.write() as session:
        code, _ = make_code(session, ours.collection_id, "keeper", world.clock.now())
    address, before = theirs.address("keeper"), kept(world, theirs)
    mover = Lodger(ours.number, ours.words, ours.zone, ours.collection_id)
    acts = [say(f"/start {code}"), *(act for key in keys for act in hanging_on(key, address))]
    acts += [tap(data, address) for data in buttons] + [say(text) for text in REPLIES]
    world.does(ours, *(by_address(act, address, mover) for act in acts))
    assert kept(world, theirs) == before
    said = str([parcel.reply for parcel, _ in ours.shown if parcel.chat == address])
    assert "Welcome. You are a keeper" in said
    assert not [word for word in (theirs.words["species"], theirs.words["note"]) if word in said]


def by_address(act: Act, address: str, who: Lodger) -> Act:
    """The same, sent from another address."""

    def done(world: World, _who: Lodger, at: datetime) -> Carried | Press | None:
        item = act(world, who, at)
        if item is None or getattr(item, "edits", None) is not None:  # an edit bears the key of what it edits
            return item and replace(item, address=address, chat=address)
        return replace(item, address=address, chat=address, key=f"later {item.key}")

    return done


def test_what_waits_in_one_chat_for_another_collection_is_sent(make_world: MakeWorld) -> None:
    """A member who is removed was written to in a group of both: what is given up there is of the own collection alone."""
    world = make_world("world")
    ours, theirs = world.lodgers
    with world.app.store.write() as session:
        households.set_chat(session, ours.members["keeper"], GROUP)
        for who in world.lodgers:
            outbox.put(session, who.collection_id, CHANNEL, GROUP, None, {"text": who.words["note"]})
    world.does(ours, say("remove Keeper"))
    sent = [parcel.reply.text for who in world.lodgers for parcel, _ in who.shown if parcel.chat == GROUP]
    assert sent == [theirs.words["note"]]
