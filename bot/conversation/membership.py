"""Who may write and ask here: "who is here", "remove Ana", "make Ana a viewer"."""

from __future__ import annotations

import re
from collections.abc import Sequence

from bot.conversation.answer import Answer, said
from bot.conversation.scene import Scene
from bot.conversation.writing import VIEWER
from bot.errors import Refusal
from storage import households, outbox, questions
from storage.households import MemberRow

TERMINAL = "console"
OWNER = "owner"

_WHO = re.compile(
    r"who(?:'s|\u2019s| is| all is| else is)(?: all| else)? here[?.!]*|(?:(?:list|show)(?: me)? )?(?:the |all )?members[?.!]*"
    r"|who are the members[?.!]*",
    re.IGNORECASE,
)
_ON = r"(?: on (?P<channel>\w+))?[.!]*"
_REMOVE = re.compile(
    rf"(?:please )?(?:remove|kick)(?: out)? (?P<sure>(?:the )?member )?(?P<name>.+?){_ON}", re.IGNORECASE
)
_ROLE = re.compile(
    rf"(?:please )?make (?P<sure>(?:the )?member )?(?P<name>.+?) (?:an? |the )?(?P<role>owner|keeper|viewer){_ON}",
    re.IGNORECASE,
)
_NUMBER = re.compile(r"#?(\d{1,9})")


def wished(scene: Scene, text: str) -> Answer | None:
    """The answer to a text about the members: who they are, or a change of them; None for a text about something else.

    Raises Refusal for a change that may not be.
    """
    if _WHO.fullmatch(text):
        return said("Here are:", *lines(scene))
    found = _REMOVE.fullmatch(text) or _ROLE.fullmatch(text)
    if found is None:
        return None
    member = _meant(scene, found)
    if member is None:
        return None
    if scene.member.role != OWNER:
        raise Refusal("Only an owner may change who is here, so nothing was changed.")
    role = found.groupdict().get("role")
    return _remove(scene, member) if role is None else _set_role(scene, member, role.lower())


def lines(scene: Scene) -> list[str]:
    """Each member on a line: name, role, where they write; the asker marked."""
    return [
        f"- {_called(row)}, {_where(row)}{' (you)' if row.id == scene.member.id else ''}"
        for row in households.members(scene.session, scene.collection.id)
    ]


def _called(row: MemberRow) -> str:
    """Name and role; the owner at the terminal has no other name than that."""
    return row.name if row.name == row.role else f"{row.name}, {row.role}"


def _where(row: MemberRow) -> str:
    return "at the terminal" if row.channel == TERMINAL else f"on {row.channel}"


def say_role(role: str) -> str:
    """A role with its article: "an owner"."""
    return f"{'an' if role[0] in 'aeiou' else 'a'} {role}"


def _meant(scene: Scene, found: re.Match[str]) -> MemberRow | None:
    """The member that a text names; None where it names none, or somebody of the roster. Raises Refusal for several of one name."""
    name, sure = found["name"].strip("“”\"' "), bool(found["sure"])
    if not sure and scene.names.subject(name) is not None:
        return None
    everyone = households.members(scene.session, scene.collection.id)
    named = [row for row in everyone if _is_called(scene, row, name, by_number=sure)]
    if found["channel"] is not None:
        named = [row for row in named if row.channel.lower() == found["channel"].lower()]
    if not named and sure:
        raise Refusal(f"No member is called {name}, so nothing was changed. “who is here” tells the names.")
    if len(named) > 1:
        raise Refusal(_which(found, named))
    return next(iter(named), None)


def _is_called(scene: Scene, row: MemberRow, name: str, *, by_number: bool) -> bool:
    number = _NUMBER.fullmatch(name) if by_number else None
    if number is not None and int(number[1]) == row.id:
        return True
    return row.name.casefold() == name.casefold() or (name.casefold() in ("me", "myself") and row.id == scene.member.id)


def _which(found: re.Match[str], named: Sequence[MemberRow]) -> str:
    """The question which of several is meant, with the words that say so."""
    name, role = named[0].name, found.groupdict().get("role")
    channels = {row.channel for row in named}
    ways = [
        f"{name} on {row.channel}" if len(channels) == len(named) else f"member {row.id} ({row.role} on {row.channel})"
        for row in named
    ]
    said_so = [
        f"“remove {way}”" if role is None else f"“make {way.partition(' (')[0]} {say_role(role.lower())}”"
        for way in ways
    ]
    return f"{len(named)} members are called {name}, so nothing was changed. Say {' or '.join(said_so)}."


def _remove(scene: Scene, member: MemberRow) -> Answer:
    _keep_an_owner(scene, member)
    _drop_questions(scene, member)
    others = [row for row in households.members(scene.session, scene.collection.id) if row.id != member.id]
    shared = any((row.channel, row.home) == (member.channel, member.home) for row in others)
    if not shared and (scene.message.channel, scene.message.chat) != (member.channel, member.home):
        outbox.give_up_chat(scene.session, scene.collection.id, member.channel, member.home, "no member any more")
    households.leave(scene.session, member.id, scene.now)
    return said(f"{member.name} is no member any more and can neither write nor ask. What {member.name} wrote stays.")


def _set_role(scene: Scene, member: MemberRow, role: str) -> Answer:
    if role == member.role:
        return said(f"{member.name} is {say_role(role)} already.")
    _keep_an_owner(scene, member)
    if role == VIEWER:
        _drop_questions(scene, member)  # a viewer could not answer them
    households.set_role(scene.session, member.id, role)
    return said(f"{member.name} is {say_role(role)} now: {_MAY[role]}.")


_MAY = {
    "owner": "may ask, write, and say who is here",
    "keeper": "may ask and write",
    "viewer": "may ask, and not write",
}


def _keep_an_owner(scene: Scene, member: MemberRow) -> None:
    """Raise Refusal where a collection would be left without an owner."""
    owners = [row for row in households.members(scene.session, scene.collection.id) if row.role == OWNER]
    if [row.id for row in owners] == [member.id]:
        raise Refusal(f"{member.name} is the only owner, so nothing was changed. Make somebody else an owner first.")


def _drop_questions(scene: Scene, member: MemberRow) -> None:
    for asked in questions.open_questions(scene.session, member.id):
        questions.settle(scene.session, asked.id, scene.message.id, "dropped")
