"""The wards hand to the due engine what counts for each animal and place, in the order in which one walks the shelves."""

from __future__ import annotations

from bot.answers.wards import away, due_list, make_round, wards, with_heads
from bot.care.due import Ward
from tests.answers.conftest import LIVED_SINCE, TODAY, Keeper, day
from tests.storage.statements import statements_of

TOLD = day(4, 1)


def ward(keeper: Keeper, name: str) -> Ward:
    return next(one for one in wards(keeper.view) if one.name == name)


def kinds(one: Ward) -> list[str]:
    return [fact.kind for fact in one.facts]


def test_shelves_are_walked_in_their_order(nobody: Keeper) -> None:
    """Shelf 2 comes before shelf 10, and what stands on no shelf last; within a shelf the order of the roster."""
    shelves = {"a": "shelf 10", "b": "", "c": "shelf 2", "d": "arid", "e": "shelf 2"}
    for name, tag in shelves.items():
        nobody.place(f"tub {name}", tags=["warm", tag] if tag else [])
        nobody.animal(f"one in {name}", f"tub {name}")
    assert [one.place for one in wards(nobody.view)] == ["tub c", "tub e", "tub a", "tub b", "tub d"]


def test_a_lone_animal_and_its_place_are_one(keeper: Keeper) -> None:
    """What is told of either counts for the ward, newest first, and so do plans for either."""
    keeper.write(day(5, 1), "misting", ["tub 4"])
    keeper.write(day(5, 2), "feeding", ["group B"])
    keeper.write(day(5, 3), "feeding", ["tub 4"])
    keeper.plan("feeding", ["tub 4"], told=TOLD, every_days=9)
    keeper.plan("misting", ["group B"], told=TOLD, every_days=8)
    one = ward(keeper, "group B")
    assert kinds(one) == ["feeding", "feeding", "misting", "placed"]
    assert [fact.kind for fact in one.rules] == ["feeding", "misting"]
    assert (one.place, one.kind, one.since, one.moved, one.count) == ("tub 4", "group", LIVED_SINCE, None, None)


def test_what_was_done_to_the_old_place_stays_there(keeper: Keeper) -> None:
    """After a move feedings go along and mistings do not; what was done to the new place before counts for it."""
    keeper.write(day(4, 28), "misting", ["pot 7"])
    keeper.write(day(4, 29), "feeding", ["pot 7"])
    keeper.write(day(4, 30), "cleaning", ["glass cube"], scope="full")
    moved = keeper.write(day(5, 3), "move", ["Duchess"], to_enclosure_id=keeper.places["glass cube"])
    one = ward(keeper, "Duchess")
    assert kinds(one) == ["move", "cleaning", "feeding", "placed"]
    assert one.moved is not None
    assert (one.moved.id, one.since, one.place) == (moved, day(5, 3), "glass cube")


def test_a_plan_keeps_when_it_was_told(keeper: Keeper) -> None:
    """A plan's moment is the local time of telling, its day the day planned."""
    keeper.plan("check", ["Ada"], day(5, 20), told=TOLD, part="evening", words="look at Ada")
    (plan,) = ward(keeper, "Ada").rules
    assert (plan.on, plan.told, plan.moment.hour, plan.part, plan.words) == (
        day(5, 20),
        TOLD,
        19,
        "evening",
        "look at Ada",
    )


def test_plans_that_name_nobody(keeper: Keeper) -> None:
    """They make a ward without a name; a stop for nobody in particular is a stop for all; holidays are days away."""
    keeper.plan("note", [], day(5, 5), told=TOLD, words="order crickets")
    keeper.plan("stop", [], told=TOLD, until="2026-06-01")
    trip = keeper.write(None, "away", [], mood="plan", told=TOLD, since="2026-05-03", until="2026-05-10")
    last = wards(keeper.view)[-1]
    assert (last.name, last.kind, "note" in [fact.kind for fact in last.rules]) == ("", "place", True)
    assert [fact.kind for fact in ward(keeper, "Dot").rules] == ["stop"]
    (days,) = away(keeper.view)
    assert (days.since, days.until, days.fact) == (day(5, 3), day(5, 10), trip)


def test_an_answered_plan_for_nobody_is_done(keeper: Keeper) -> None:
    """An entry that names the plan answers it."""
    plan = keeper.plan("note", [], day(5, 5), told=TOLD, words="order crickets")
    assert [task.kind for task in due_list(keeper.view) if not task.ward] == ["note"]
    keeper.write(day(5, 6), "note", [], plan=plan)
    assert [task for task in due_list(keeper.view) if not task.ward] == []


def test_heads_are_counted_where_they_matter(keeper: Keeper) -> None:
    """A group's count is reckoned when asked for, and when some of it have moulted."""
    assert [one.count for one in with_heads(keeper.view, make_round(keeper.view, ["group B"])).wards] == [(42, 42)]
    keeper.write(day(5, 6), "moult", ["group B"], number=[2, 2])
    assert ward(keeper, "group B").count == (42, 42)


def test_asked_of_some_only_they_are_read(keeper: Keeper) -> None:
    """By name, by the place, and by one who shares it: then with the place's own tasks and without the other's."""
    assert [one.name for one in wards(keeper.view, ["tub 4"])] == ["group B"]
    assert {task.ward for task in due_list(keeper.view, ["Dot"])} == {"Dot", "tub 1"}
    assert {task.ward for task in due_list(keeper.view, ["tub 1"])} == {"Ada", "Dot", "tub 1"}
    assert due_list(keeper.view, ["glass cube"]) == []


def test_the_number_of_statements_does_not_grow(keeper: Keeper) -> None:
    """Twenty more places with their entries and plans cost no more statements."""
    engine = keeper.session.get_bind()
    due_list(keeper.view)
    with statements_of(engine) as few:
        due_list(keeper.view)
    for number in range(20):
        place = f"pot {20 + number}"
        keeper.place(place)
        keeper.animal(f"Vera {number}", place)
        keeper.write(TODAY, "feeding", [f"Vera {number}"])
        keeper.plan("check", [f"Vera {number}"], TODAY, told=TOLD)
    with statements_of(engine) as many:
        assert len({task.ward for task in due_list(keeper.view)}) == 25
    assert len(many) == len(few) > 0


def test_seldom_entries_outlast_many_of_their_kind(keeper: Keeper) -> None:
    """The full clean of last year, and the body length among weekly weights, still count."""
    keeper.write(day(1, 20), "cleaning", ["tub 4"], scope="full")
    keeper.write(day(1, 21), "measurement", ["group B"], measure="body", value=[13, 13])
    for number in range(1, 9):
        keeper.write(day(2, number), "cleaning", ["tub 4"], scope="spot")
        keeper.write(day(2, number), "measurement", ["group B"], measure="weight", value=[2, 2])
    facts = ward(keeper, "group B").facts
    assert [fact.on for fact in facts if fact.fields.get("scope") == "full"] == [day(1, 20)]
    assert [fact.on for fact in facts if fact.fields.get("measure") == "body"] == [day(1, 21)]
