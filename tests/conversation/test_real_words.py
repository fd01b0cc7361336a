"""The whole conversation in a keeper's own words, read by the house's own reader."""

from __future__ import annotations

from collections.abc import Callable, Iterator
from datetime import UTC, datetime, timedelta
from pathlib import Path

import pytest

from bot.app import SetClock, build
from bot.conversation.reply import Reply
from storage.store import Store
from tests import databases

Say = Callable[[str], Reply]


@pytest.fixture
def say(tmp_path: Path) -> Iterator[Say]:
    """A terminal on a fresh machine, its roster set up in a few sentences on Tue 3 Mar 2026, 19:05."""
    clock = SetClock(datetime(2026, 3, 3, 19, 5, tzinfo=UTC))
    store = Store.open(databases.of(tmp_path / "data"))
    app = build(store, clock)
    app.prepare("Europe/Lisbon")

    def one(text: str) -> Reply:
        clock.pass_time(timedelta(seconds=20))
        replies = app.say("owner", text)
        assert len(replies) == 1
        return replies[0]

    one("add group B, 42 Neoholothele incei, in tub 4 on shelf 2")
    one("add group D, 20 Damon diadema, in tub 2")
    one("add Saffron, a slate red slug, in pot 8")
    yield one
    store.close()


def test_a_feeding_is_told_corrected_and_taken_back(say: Say) -> None:
    """Told, put right three times, and every reading brought back in turn by undo."""
    assert say("fed B 3 pre-killed roaches last night, 2 left over").text == (
        "Written: group B: fed 3 pre-killed roaches, 2 left over, Mon 2 Mar 2026, night."
    )
    assert "group D: fed 3" in say("no, D not B").text
    assert "Sun 1 Mar 2026" in say("that was two days ago").text
    assert "fed 4" in say("make that 4").text
    assert "fed 3 pre-killed roaches, 2 left over, Sun 1 Mar" in say("undo").text.splitlines()[1]
    assert "group D" in say("undo").text.splitlines()[1]
    assert "group B" in say("undo").text.splitlines()[1]
    assert "As before" not in say("undo").text


def test_a_taught_word_is_understood(say: Say) -> None:
    """“RR means red runner roach”, and the next feeding of RR is of red runner roaches."""
    say("RR means red runner roach")
    assert say("fed B 5 RR").entries[0]["prey"] == "red runner roach"


def test_a_question_is_asked_and_answered(say: Say) -> None:
    """A feeding of nobody known is asked about; the answer completes it; what was said comes back weeks later."""
    assert "fed" not in say("fed 3 roaches").text
    assert say("Saffron").text == "Written: Saffron: fed 3 roaches, Tue 3 Mar 2026."
    assert "Tue 3 Mar, today" in say("when did Saffron last eat").text


def test_never_mind_keeps_the_words(say: Say) -> None:
    """A dropped question leaves a note, and nothing else."""
    say("fed 3 roaches")
    assert say("never mind").text == "Kept your words as a note: “fed 3 roaches”."


def test_a_group_is_split_and_counted(say: Say) -> None:
    """Six split off are a group of their own; both head counts say so."""
    reply = say("split 6 off B into pot 9")
    assert "New on the roster: group B offshoot, 6 in pot 9." in reply.text
    assert say("how many in B").text.startswith("group B: 36")
    assert say("how many in group B offshoot").text.startswith("group B offshoot: 6")
    assert say("fed group B 2 roaches").entries[0]["subjects"] == ["group B"]


def test_groups_are_joined_and_parted(say: Say) -> None:
    """After a joining the one group has the heads of both; undo parts them."""
    assert "group D joined group B" in say("joined D with B").text
    assert say("how many in B").text.startswith("group B: 62")
    assert "a group of its own again" in say("undo").text
    assert say("how many in D").text.startswith("group D: 20")


def test_a_move_follows_and_its_history_with_it(say: Say) -> None:
    """A move makes an unknown place, and what is said of that place is then of the group."""
    assert "glass cube was not on the roster; it is now." in say("moved B to the glass cube").text
    say("misted the glass cube")
    assert "today" in say("when was B last misted").text


def test_a_brood_is_set_up_from_its_mother(say: Say) -> None:
    """The hatching offers the line that puts the brood on the roster, and that line works."""
    say("Saffron laid a sac yesterday")
    assert "“add brood NAME" in say("Saffron's sac hatched, 60 young").text
    assert "brood of Saffron" in say("add brood S, 60 from Saffron, in pot 3").text


def test_one_message_may_log_plan_and_ask(say: Say) -> None:
    """All three in one message come back in one reply."""
    say("fed D")
    text = say("fed B yesterday, remind me to feed B on friday, and when did D last eat?").text
    assert "Written: group B: fed, Mon 2 Mar 2026." in text
    assert "Planned: group B: feed, Fri 6 Mar 2026 (in 3 days)." in text
    assert "group D: last feeding Tue 3 Mar, today" in text


@pytest.mark.parametrize(
    "words", ["counted -3 in B", "counted 1000000000 in B", "fed B tomorrow", "fed B on 31 February", "fed Q 3 roaches"]
)
def test_what_cannot_be_is_not_written(say: Say, words: str) -> None:
    """Absurd numbers, days to come, days that do not exist, nobody's names: no entry, and the next message works."""
    assert say(words).entries == ()
    assert say("fed D 2 roaches").entries[0]["subjects"] == ["group D"]


def test_the_clock_zone_and_closing_are_told_by_talking(say: Say) -> None:
    """The zone, and the end of an animal, are set in plain words."""
    assert "Europe/Berlin from now on; it is 20:" in say("my time zone is Europe/Berlin").text
    assert "off the roster" in say("close Saffron").text
    assert say("close tub 4").choices == ("close tub 4, and group B with it", "keep tub 4")
    assert say("2").text == "tub 4 stays as it is."


def test_a_stranger_beside_those_named_may_be_left_out(say: Say) -> None:
    """Only the others are offered, and leaving it at those named for sure; nothing that was told of them is lost."""
    asked = say("misted B and the quarry box")
    assert asked.choices == ("group D", "Saffron", "only group B")
    assert say("3").text.startswith("Written: group B: misted")
    say("fed B and zuzu 3 roaches")
    assert say("none").text.startswith("Written: group B: fed 3 roaches")
