"""What is only told as the time, the reason or the manner of something else, and is no act of its own. The messages are invented."""

from __future__ import annotations

import pytest

from tests.language.house import TODAY, ask, contract, entries, entry


@pytest.mark.parametrize(
    "since",
    [
        "since the move on friday",
        "since I moved them on friday",
        "since I rehoused them",
        "since the rehouse last week",
        "since they moulted",
    ],
)
def test_since_then_nothing_is_told_of_then(since: str) -> None:
    """What was seen is of today, and the move is not told again."""
    assert entry(f"no sign of B {since}") == {
        "kind": "observation",
        "subjects": ["group B"],
        "on": TODAY,
        "signs": ["hiding"],
    }


@pytest.mark.parametrize("since", ["Since the move B", "since I moved B they", "since the move on friday, B"])
def test_since_then_may_come_first(since: str) -> None:
    """The rest is of today."""
    assert entry(f"{since} have stayed tucked away")["on"] == TODAY
    assert entry(f"{since} have stayed tucked away")["kind"] == "observation"


@pytest.mark.parametrize("until", ["until they moulted", "until the new ones arrive", "before they moult"])
def test_until_then_and_before_then(until: str) -> None:
    """Nothing has moulted or come."""
    found = contract(f"kept B dry {until}")
    assert [one["kind"] for one in found.get("entries", [])] in (["note"], [])


def test_before_the_new_ones_come() -> None:
    """They have not come yet."""
    assert entry("did a full clean of tub 4 before the new stilts arrive")["kind"] == "cleaning"


@pytest.mark.parametrize("text", ["misted B before feeding A", "fed A after misting B"])
def test_one_act_before_another(text: str) -> None:
    """Both were done, each to its own."""
    assert sorted((one["kind"], one["subjects"][0]) for one in entries(text)) == [
        ("feeding", "group A"),
        ("misting", "group B"),
    ]


def test_a_habit_as_the_reason() -> None:
    """What they always do is no refusal."""
    fed = entry("gave B pre-killed crickets because they run from live ones")
    assert (fed["prey_state"], fed.get("outcome")) == ("pre-killed", None)
    assert [one["kind"] for one in entries("didn't feed B because they are in premoult")] == ["note", "observation"]


def test_how_a_moult_ended() -> None:
    """Out of the skin, not out and about; on another day it is."""
    assert entry("Mabel moulted on the 9th, came out beautifully")["kind"] == "moult"
    assert entry("mabel moulted last night came out fine")["kind"] == "moult"
    assert [one["kind"] for one in entries("Mabel moulted on the 9th, came out today")] == ["moult", "observation"]


def test_how_and_what_for_somebody_is_moved() -> None:
    """Neither is a place."""
    assert "to" not in entry("rehoused the stilts on friday, all 9 went across safely")
    assert "to" not in entry("split B today, took 15 out to raise singly")


def test_with_whom_they_live_now() -> None:
    """The others were not moved."""
    assert entry("6 of B went into tub 4 with the stilts")["subjects"] == ["group B"]


def test_a_heading_with_its_place() -> None:
    """One loss, told under it."""
    (dead,) = entries("cannibalism in tub 2: three of B were eaten by the others")
    assert (dead["kind"], dead["subjects"], dead["number"]) == ("death", ["group B"], [3, 3])


def test_drowned() -> None:
    """A death, whatever it drowned in."""
    assert entry("one of B drowned in the water dish last night")["kind"] == "death"


def test_not_a_single_one() -> None:
    """A note, and no correction."""
    assert entry("not a single moult among B")["kind"] == "note"
    assert entry("not a single B out tonight")["kind"] == "note"


def test_a_dish_found_full_was_not_filled() -> None:
    """And one that was filled was."""
    assert entry("tub 4: dish still full")["kind"] == "note"
    assert entry("tub 4 dish full again, topped it up")["kind"] == "watering"


def test_a_lid_is_loose_and_a_round_lazy() -> None:
    """No animal is."""
    assert entry("tub 4 lid was loose")["kind"] == "note"
    assert [one["kind"] for one in entries("Lazy round today. Only sprayed B")] == ["misting"]


def test_a_question_may_ask_about_that_time() -> None:
    """There it stays."""
    assert ask("has B eaten since the move?")["kind"] == "feeding"


def test_six_came_and_now_there_are_fourteen() -> None:
    """A count beside the arrival, on its day."""
    came, now = entries("six new stilts came today, now 15 in the tall tank")
    assert (came["kind"], came["number"], "at" in came) == ("arrival", [6, 6], False)
    assert (now["kind"], now["count"]) == ("count", [15, 15])


def test_the_keeper_ran_out() -> None:
    """And nobody was out; nor hidden, where the keeper could not see in."""
    assert [one["kind"] for one in entries("fed B, skipped C because I ran out")] == ["feeding", "note"]
    assert all(one["kind"] != "observation" for one in entries("counted 40 in B, couldn't see into tub 3"))


def test_a_dish_that_was_dry_and_was_filled() -> None:
    """The dish was told of in the clause before."""
    assert "watering" in [one["kind"] for one in entries("dish in tub 4 was dry so I filled it")]


def test_so_many_now() -> None:
    """After some came."""
    found = entries("got four more stilts today so that's 13 now, no losses")
    assert [one["count"] for one in found if one["kind"] == "count"] == [[13, 13]]
    assert entries("two new stilts arrived today, that makes 11 in the tall tank")[1]["count"] == [11, 11]


def test_what_was_not_due_is_no_question() -> None:
    """Nor a correction."""
    assert contract("tub 4 wasn't due")["intent"] == "log"
    assert contract("fed B, tub 4 wasn't due").get("ask") is None


def test_live_ones() -> None:
    """Of the prey told before."""
    assert [(one["prey"], one["prey_state"]) for one in entries("B got 10 pre-killed roaches, C got 12 live ones")] == [
        ("roach", "pre-killed"),
        ("roach", "live"),
    ]
