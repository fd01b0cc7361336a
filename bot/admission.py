"""Who may: nobody by default. A one-use code, good for a day, lets a person in with a role."""

from __future__ import annotations

import re
import secrets
from dataclasses import dataclass
from datetime import datetime, timedelta
from typing import TYPE_CHECKING

from bot.errors import Refusal, Stranger
from storage import chats, households, invites
from storage.households import MemberRow

if TYPE_CHECKING:
    from sqlalchemy.orm import Session

    from storage.invites import InviteRow

ROLES = ("owner", "keeper", "viewer")
GOOD_FOR = timedelta(hours=24)
"""How long a code lets somebody in."""

QUIET_FOR = timedelta(hours=1)
"""How long nothing more is said to a stranger who was told once."""

_CODE = re.compile(r"\bjoin-[A-Za-z0-9_-]{16}(?![A-Za-z0-9_-])")

_MAY = {
    "owner": "You may tell, ask, and say who else may.",
    "keeper": "You may tell and ask.",
    "viewer": "You may ask anything; what you tell is not written.",
}


@dataclass(frozen=True, slots=True)
class Comer:
    """Somebody at the door: the channel and address, what to call them, and the chat to write to them in, if another."""

    channel: str
    address: str
    name: str
    chat: str | None = None


@dataclass(frozen=True, slots=True)
class Admitted:
    """What came of a code: the member and the words of welcome."""

    member: MemberRow
    words: str


def make_code(session: Session, collection_id: int, role: str, now: datetime) -> tuple[str, datetime]:
    """A new one-use code and until when it is good. Of the code only its digest is kept, so it is shown now or never."""
    code, until = f"join-{secrets.token_urlsafe(12)}", now + GOOD_FOR
    invites.invite(session, collection_id, role, code, until)
    return code, until


def code_in(text: str) -> str | None:
    """The code that a text holds, None for none."""
    found = _CODE.search(text)
    return None if found is None else found[0]


def admit(session: Session, comer: Comer, code: str, now: datetime) -> Admitted:
    """Let somebody in by a code. Raises Refusal, with the sentence, where the code does not do that; it is then not used up."""
    found = invites.hold(session, code)
    if found is None:
        raise Refusal("I do not know that code. Ask the keeper of the collection for a new one.")
    present = households.member_by_address(session, comer.channel, comer.address)
    if present is not None:
        return _again(session, present, found, now)
    _check(found, now)
    member_id = households.add_member(
        session, found.collection_id, comer.channel, comer.address, comer.name, found.role, now
    )
    if comer.chat not in (None, comer.address):
        households.set_chat(session, member_id, comer.chat)
    invites.use(session, found.id, member_id)
    return Admitted(households.member(session, member_id), _welcome(session, found))


def turn_away(session: Session, channel: str, address: str, now: datetime) -> str | None:
    """What a stranger is told, at most once an hour; None where that was said already."""
    if not chats.may_tell_stranger(session, channel, address, now, QUIET_FOR):
        return None
    return str(Stranger())


def _check(found: InviteRow, now: datetime) -> None:
    if found.used_by is not None:
        raise Refusal("That code was used already; each lets in one person, once. Ask the keeper for a new one.")
    if not found.is_open(now):
        raise Refusal("That code has run out; a code is good for a day. Ask the keeper for a new one.")


def _again(session: Session, present: MemberRow, found: InviteRow, now: datetime) -> Admitted:
    """A code in the hands of a member: it may change the role, and nothing else."""
    if found.used_by == present.id or found.role == present.role:
        raise Refusal(f"You are in already, as {_a(present.role)}.")
    _check(found, now)
    if found.collection_id != present.collection_id:
        raise Refusal("You belong to another collection on this bot, and can be in one only.")
    if present.role == "owner":
        raise Refusal("You are in already, as an owner.")
    households.set_role(session, present.id, found.role)
    invites.use(session, found.id, present.id)
    return Admitted(households.member(session, present.id), f"You are {_a(found.role)} from now on. {_MAY[found.role]}")


def _welcome(session: Session, found: InviteRow) -> str:
    name = households.collection(session, found.collection_id).name
    way = "Ask" if found.role == "viewer" else "Say it"
    example = "when did group B last eat" if found.role == "viewer" else "fed group B 3 crickets"
    return (
        f"Welcome. You are {_a(found.role)} of “{name}”. {_MAY[found.role]}\n"
        f"{way} in your own words, as in “{example}”; “what can you do” shows more."
    )


def _a(role: str) -> str:
    return f"an {role}" if role[0] in "aeiou" else f"a {role}"
