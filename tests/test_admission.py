"""Who may: a code lets in one person, once, within a day, and says so where it does not."""

from __future__ import annotations

import re
import subprocess
import sys
from datetime import timedelta
from pathlib import Path
from subprocess import PIPE

import pytest

from bot.admission import code_in
from storage import households, journal
from storage.households import MemberRow
from tests.front import ANA, BEN, EVE, Front

ROOT = Path(__file__).parents[1]
DAY = timedelta(days=1)


def comes(front: Front, code: str, address: str = EVE, **more: object) -> str:
    """What somebody is told who sends a code: at once, or as a message."""
    taken = front.take(front.message(code, address, **more))
    said = [one.line for one in taken if one.line is not None] + [parcel.reply.text for parcel in front.out()]
    assert len(said) == 1, said
    return said[0]


def member(front: Front, address: str) -> MemberRow | None:
    with front.desk.app.store.read() as session:
        return households.member_by_address(session, "telegram", address)


def role(front: Front, address: str) -> str | None:
    found = member(front, address)
    return None if found is None else found.role


@pytest.mark.parametrize("asked", ["owner", "keeper", "viewer"])
def test_a_code_lets_somebody_in_with_its_role(front: Front, asked: str) -> None:
    """Under the name that the service gives, with words of welcome that say what the role may do; then they are heard."""
    said = comes(front, front.code(asked), name="Eve")
    assert said.startswith(f"Welcome. You are {'an' if asked == 'owner' else 'a'} {asked} of “")
    found = member(front, EVE)
    assert found is not None
    assert (found.name, found.role, found.home) == ("Eve", asked, EVE)
    assert "Marigolds" in front.say("when did Marigolds last eat", EVE)


@pytest.mark.parametrize("words", ["{}", "/start {}", "hello, my code is {}!", "“{}”", "{}\n"])
def test_a_code_may_stand_among_words(front: Front, words: str) -> None:
    """Alone, behind the command of a link, or in a sentence."""
    comes(front, words.format(front.code()))
    assert role(front, EVE) == "keeper"


def test_a_code_is_recognised_whole_or_not_at_all() -> None:
    """Of other words none is a code; one with a character too many or too few is none either."""
    code = "join-abcDEF_-12345678"
    assert code_in(f"x {code} y") == code
    for text in (code[:-1], f"{code}9", f"a{code}", "join us", "", "fed B"):
        assert code_in(text) is None


def test_a_code_lets_in_one_person_once(front: Front) -> None:
    """The second one who shows it is told that it was used; the first is told that they are in."""
    code = front.code()
    comes(front, code)
    assert "used already" in comes(front, code, "777")
    assert member(front, "777") is None
    assert comes(front, code) == "You are in already, as a keeper."


def test_a_code_runs_out_after_a_day(front: Front) -> None:
    """It still lets in a second before, and no more at 24 hours, and says so."""
    early, late = front.code(), front.code()
    front.clock.pass_time(DAY - timedelta(seconds=1))
    comes(front, early)
    assert role(front, EVE) == "keeper"
    front.clock.pass_time(timedelta(seconds=1))
    assert "run out" in comes(front, late, "777")
    assert member(front, "777") is None


def test_a_code_that_was_never_given_out_is_not_known(front: Front) -> None:
    """It is said, nobody comes in, and nothing is kept of it."""
    code = "join-0123456789abcdef"
    assert "do not know that code" in comes(front, code)
    assert member(front, EVE) is None
    assert code.encode() not in front.bytes_written()


def test_the_code_itself_is_not_in_the_data(front: Front) -> None:
    """Neither before nor after it was used does any file hold it, so a copy of the data lets nobody in."""
    code = front.code()
    assert code.encode() not in front.bytes_written()
    comes(front, code)
    assert front.rows("invites") == 1
    assert code.encode() not in front.bytes_written()
    assert code.removeprefix("join-").encode() not in front.bytes_written()


def test_a_keeper_with_an_owners_code_becomes_owner(front: Front) -> None:
    """Another role is taken up, the code is used up by it, and an owner is not made less by a lesser code."""
    code = front.code("owner")
    assert "You are an owner from now on" in comes(front, code, BEN)
    assert role(front, BEN) == "owner"
    assert "used already" in comes(front, code)
    lesser = front.code("viewer")
    assert "as an owner" in comes(front, lesser, BEN)
    assert role(front, BEN) == "owner"
    comes(front, lesser)
    assert role(front, EVE) == "viewer"  # it was not used up by that


def test_a_code_of_the_same_role_is_not_used_up_by_a_member(front: Front) -> None:
    """A member who shows it is told that they are in, and it lets in another."""
    code = front.code()
    assert comes(front, code, BEN) == "You are in already, as a keeper."
    comes(front, code)
    assert role(front, EVE) == "keeper"


def test_nobody_is_in_two_collections(front: Front) -> None:
    """A code of another collection on this bot is refused to a member of this one, and stays good."""
    with front.desk.app.store.write() as session:
        other = households.create_collection(session, "Next door", "Europe/Dublin")
    mine = front.household.collection.id
    code = _code_of(front, other)
    assert "another collection" in comes(front, code, BEN)
    found = member(front, BEN)
    assert found is not None
    assert (found.collection_id, found.role) == (mine, "keeper")
    assert "Next door" in comes(front, code)


def _code_of(front: Front, collection_id: int) -> str:
    from bot.admission import make_code  # noqa: PLC0415 - the one test that needs another collection's

    with front.desk.app.store.write() as session:
        return make_code(session, collection_id, "owner", front.clock.now())[0]


def test_a_code_said_in_a_group_lets_in_and_is_answered_there(front: Front) -> None:
    """The group does not become the chat in which the new member is written to unasked."""
    front.take(front.message(front.code(), EVE, chat="-5", private=False))
    (parcel,) = front.out()
    assert (parcel.chat, parcel.reply.text[:8]) == ("-5", "Welcome.")
    found = member(front, EVE)
    assert found is not None
    assert found.home == EVE


def test_a_room_of_its_own_is_where_the_member_is_written_to(front: Front) -> None:
    """Where a private chat has an id other than the person's, pushes go to that chat."""
    front.take(front.message(front.code(), "@eve:example.org", chat="!room"), channel="matrix")
    with front.desk.app.store.read() as session:
        found = households.member_by_address(session, "matrix", "@eve:example.org")
    assert found is not None
    assert found.home == "!room"


def leave(front: Front, address: str) -> None:
    found = member(front, address)
    assert found is not None
    with front.desk.app.store.write() as session:
        households.leave(session, found.id, front.clock.now())


def test_a_member_who_left_is_a_stranger(front: Front) -> None:
    """What they write is not kept, they are told so, and their entries stay under their name."""
    front.say("fed Marigolds 3 crickets", BEN)
    leave(front, BEN)
    assert not front.desk.is_member("telegram", BEN)
    before = front.rows("inbox")
    (taken,) = front.take(front.message("fed Marigolds 9 crickets", BEN))
    assert taken.line is not None
    assert taken.line.startswith("I do not know you")
    assert front.rows("inbox") == before
    with front.desk.app.store.read() as session:
        everyone = {row.id: row for row in households.everyone(session, 1)}
        present = households.members(session, 1)
        (entry,) = journal.between(session, 1, None, None, ("log",))
    assert everyone[entry.member_id or 0].name == "Ben"
    assert "Ben" not in [row.name for row in present]


def test_what_waits_of_a_member_who_left_is_answered_and_not_written(front: Front) -> None:
    """A message that was taken in before and is dealt with after gets a sentence, and makes no entry."""
    before = front.rows("entries")
    front.take(front.message("fed Marigolds 3 crickets", BEN))
    leave(front, BEN)
    front.desk.app.work()
    (parcel,) = front.out()
    assert parcel.reply.text == "You are no member of this collection any more, so nothing was written."
    assert front.rows("entries") == before


def test_whoever_left_may_come_in_again(front: Front) -> None:
    """With a new code they are a member anew; as often as that happens."""
    for wanted in ("viewer", "keeper"):
        leave(front, BEN)
        comes(front, front.code(wanted), BEN, name="Ben")
        assert role(front, BEN) == wanted
    with front.desk.app.store.read() as session:
        assert [row.left for row in households.everyone(session, 1) if row.name == "Ben"] == [True, True, False]
    assert re.match("Written: Marigolds", front.say("fed Marigolds 3 crickets", BEN))


@pytest.mark.slow
def test_of_two_who_race_with_a_code_one_comes_in(front: Front) -> None:
    """Two processes show the same code at the same moment, ten times over: each time one is let in and one is told."""
    codes = [front.code() for _ in range(10)]
    command = [sys.executable, "-m", "tests.comer", str(front.folder)]
    comers = [subprocess.Popen([*command, one], stdin=PIPE, stdout=PIPE, text=True, cwd=ROOT) for one in ("1", "2")]
    assert [one.stdout.readline() for one in comers if one.stdout] == ["ready\n"] * 2
    said = []
    for code in codes:
        for one in comers:
            assert one.stdin is not None
            print(code, file=one.stdin, flush=True)
        said.append(sorted(one.stdout.readline().strip() for one in comers if one.stdout))
    for one in comers:
        one.communicate(timeout=30)
    assert said == [["That code was used already", "Welcome"]] * 10
    with front.desk.app.store.read() as session:
        assert len([row for row in households.members(session, 1) if row.name == "Racer"]) == 10


def test_whether_somebody_may_come_in_is_known(front: Front) -> None:
    """While a code is out and good, and not otherwise."""
    assert not front.desk.may_be_joined()
    code = front.code()
    assert front.desk.may_be_joined()
    front.clock.pass_time(DAY)
    assert not front.desk.may_be_joined()
    code = front.code()
    comes(front, code, ANA.replace("1", "3"))
    assert not front.desk.may_be_joined()
