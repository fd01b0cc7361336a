"""What people send: the acts of a script, each of which becomes what a message service hands over."""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import dataclass, field
from datetime import datetime, timedelta
from itertools import count
from typing import TYPE_CHECKING, Any

from bot.channels.port import PHOTO, Carried, Parcel, Press
from bot.conversation.labels import HERE

if TYPE_CHECKING:
    from tests.isolation.world import World

CHANNEL = "telegram"
HOUR = timedelta(hours=1)

GROUP = "-5"
"""A group chat in which people of all collections are."""


@dataclass
class Lodger:
    """One collection on the bot, with its people and what went to and fro so far.

    `number` tells the collections apart: the id of a person is a hundred times it, and a few. `words` are put into the acts.
    """

    number: int
    words: dict[str, Any]
    zone: str
    collection_id: int = 0
    members: dict[str, int] = field(default_factory=dict)
    sent: list[Carried] = field(default_factory=list, repr=False)
    shown: list[tuple[Parcel, str]] = field(default_factory=list, repr=False)
    told: list[Any] = field(default_factory=list, repr=False)
    own_keys: Any = field(default_factory=lambda: count(1))

    @property
    def other(self) -> int:
        """The number of the collection whose things its strays are after."""
        return 3 - self.number

    def address(self, by: str = "owner") -> str:
        """The id of one of its people, which is that of the private chat too."""
        return str(self.number * 100 + ("owner", "keeper", "viewer", "guest").index(by))

    def filled(self, text: str) -> str:
        """A text with this collection's own words in it."""
        return text.format(**self.words)

    def key(self, chat: str) -> str:
        """The next id of a message: in private chats the collections number alike, in a group everybody has numbers of their own."""
        number = next(self.own_keys)
        return group_key(self.number, number) if chat.startswith("-") else str(number)


Act = Callable[["World", Lodger, datetime], "Carried | Press | None"]
"""What is done in a collection at a moment; what it does beside talking it does itself, and gives None."""


def say(text: str, by: str = "owner", chat: str | None = None, **more: Any) -> Act:  # noqa: ANN401 - parts of a message
    """Words of one of its people, in the private chat unless another is named."""

    def act(_world: World, who: Lodger, at: datetime) -> Carried:
        where = who.address(by) if chat is None else chat
        key = {"key": who.key(where), "private": not where.startswith("-")}
        made = Carried(address=who.address(by), name=by, chat=where, text=who.filled(text), sent_at=at, **key | more)
        who.sent.append(made)
        return made

    return act


def answer(text: str, back: int = 1) -> Act:
    """A reply to the bot's last message but so many."""
    return lambda world, who, at: say(text, reply_to=_shown(who, back)[1])(world, who, at)


def hang_on(text: str, back: int = 1) -> Act:
    """A reply to an own message."""
    return lambda world, who, at: say(text, reply_to=who.sent[-back].key if who.sent else None)(world, who, at)


def edit(text: str, back: int = 1) -> Act:
    """An own message told anew."""

    def act(_world: World, who: Lodger, at: datetime) -> Carried | None:
        if not who.sent:
            return None
        old, at_second = who.sent[-back % len(who.sent)], int(at.timestamp())
        of = {"address": old.address, "name": old.name, "chat": old.chat, "key": old.key, "private": old.private}
        return Carried(text=who.filled(text), sent_at=at, revision=at_second, edits=old.key, **of)  # type: ignore[arg-type]  # as they were

    return act


def delete(back: int = 1) -> Act:
    """An own message taken away."""

    def act(_world: World, who: Lodger, at: datetime) -> Carried | None:
        if not who.sent:
            return None
        old = who.sent[-back % len(who.sent)]
        key = f"gone {who.key(old.chat)}"
        return Carried(address=old.address, name=old.name, chat=old.chat, key=key, text="", sent_at=at, deletes=old.key)

    return act


def press(place: int = 0, back: int = 1) -> Act:
    """A tap on a choice of the last message but so many that had some."""

    def act(_world: World, who: Lodger, at: datetime) -> Press | None:
        offered = [parcel for parcel, _ in who.shown if parcel.buttons]
        if not offered:
            return None
        parcel = offered[-back % len(offered)]
        data = parcel.buttons[place % len(parcel.buttons)].data
        return Press(
            address=who.address(), name="owner", chat=parcel.chat, key=who.key(parcel.chat), sent_at=at, data=data
        )

    return act


def photo(text: str = "", album: str | None = None, by: str = "owner") -> Act:
    """A photo, which is the same file in every collection."""
    return say(text, by, carries=PHOTO, photo={"file": "same"}, album=album)


def scan(place: str) -> Act:
    """The label of an enclosure scanned."""

    def act(world: World, who: Lodger, at: datetime) -> Carried | Press | None:
        return say(f"/start {HERE}{world.label(who, place)}")(world, who, at)

    return act


def stray(kind: str, number: int, text: str = "make that 3") -> Act:
    """Words in the group that reply to, edit or delete a message of somebody else, as far as there is one of that number there.

    `kind` is the field of the message that holds the number: reply_to, edits or deletes.
    """

    def act(world: World, who: Lodger, at: datetime) -> Carried:
        theirs = group_key(who.other, number)
        more: dict[str, Any] = {kind: theirs}
        if kind == "edits":
            more |= {"key": theirs, "revision": int(at.timestamp())}
        return _unkept(say(text, chat=GROUP, **more)(world, who, at), who)

    return act


def stray_tap(number: int, place: int = 0) -> Act:
    """A reaction in the group to a message that is not one's own, as far as there is one of that number there."""

    def act(_world: World, who: Lodger, at: datetime) -> Press:
        of = {"address": who.address(), "name": "owner", "chat": GROUP, "key": who.key(GROUP), "sent_at": at}
        return Press(message_key=group_key(who.other, number), place=place, **of)  # type: ignore[arg-type]  # as they are

    return act


def stray_press(world: World, who: Lodger, at: datetime) -> Press:
    """A tap that bears the data of somebody else's button; of no button at all where nobody else has one."""
    others = [parcel for one in world.lodgers if one is not who for parcel, _ in one.shown if parcel.buttons]
    data = others[-1].buttons[0].data if others else "nobodys:0"
    return Press(address=who.address(), name="owner", chat=GROUP, key=who.key(GROUP), sent_at=at, data=data)


def stray_scan(place: str) -> Act:
    """The label of somebody else's enclosure scanned."""
    return lambda world, who, at: say(f"/start {HERE}{label_code(who.other, place)}")(world, who, at)


def label_code(number: int, place: str) -> str:
    """The code on a label of a collection."""
    return f"of-{number}-{place.replace(' ', '-')}"


def group_key(lodger: int, number: int) -> str:
    """The id of a message in a group: everybody has numbers of their own there."""
    return f"{lodger}{number:05}"


def _unkept(item: Carried, who: Lodger) -> Carried:
    """A message that is no message of one's own to be edited later."""
    who.sent.remove(item)
    return item


@dataclass(frozen=True)
class ForAll:
    """What happens to everybody on the bot, whoever's turn it is."""

    does: Callable[[World], object]

    def __call__(self, world: World, _who: Lodger, _at: datetime) -> None:
        self.does(world)


def wait(hours: float) -> Act:
    """Time goes by."""
    return ForAll(lambda world: world.clock.pass_time(hours * HOUR))


SWEEP = ForAll(lambda world: world.app.sweep(CHANNEL))
"""The bot looks whether it has anything to say unasked."""

FETCH = ForAll(lambda world: world.fetch())
"""The files of photos are fetched."""


def _shown(who: Lodger, back: int) -> tuple[Parcel | None, str | None]:
    return who.shown[-back % len(who.shown)] if who.shown else (None, None)
