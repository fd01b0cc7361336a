"""How many there are is a range with the entries it rests on."""

from __future__ import annotations

from storage import stays
from tests.answers.conftest import Keeper, day


def test_range_with_its_basis(keeper: Keeper) -> None:
    """The last count and what happened since make the range, each with its date."""
    keeper.write(day(4, 1), "count", ["group B"], count=[24, 26])
    keeper.write(day(4, 10), "death", ["group B"], number=[1, 1])
    keeper.write(day(4, 20), "departure", ["tub 4"], number=[1, 1])
    keeper.write(day(4, 22), "departure", ["group B"], number=[1, 1])
    assert keeper.text("headcount", "group B") == (
        "group B: 21 to 23. 24 to 26 counted Wed 1 Apr, 36 days ago; since then 1 died (Fri 10 Apr, 27 days ago), "
        "2 left (last Wed 22 Apr, 15 days ago). "
        "The book had 42: 16 unaccounted for, not taken as dead."
    )


def test_the_number_given_at_set_up_counts(keeper: Keeper) -> None:
    """Until a count, the number of the set-up holds; an animal is one."""
    assert keeper.text("headcount", "group B") == "group B: 42. 42 at set-up Mon 5 Jan, 17 weeks ago."
    assert keeper.text("headcount", "Duchess") == "Duchess: 1. 1 at set-up Mon 5 Jan, 17 weeks ago."


def test_a_group_without_numbers_is_not_known(keeper: Keeper) -> None:
    """No number at set-up and no count: the answer says so."""
    keeper.place("tub 7")
    keeper.animal("group C", "tub 7", kind="group")
    assert keeper.text("headcount", "group C") == (
        "group C: not known. No count is written, and no number was given at set-up."
    )
    keeper.write(day(4, 1), "arrival", ["group C"], number=[5, 5])
    assert "at least 5. 5 arrived (Wed 1 Apr, 36 days ago), with no count before." in keeper.text(
        "headcount", "group C"
    )


def test_not_seen_is_not_dead(keeper: Keeper) -> None:
    """Sightings and the lack of them change nothing."""
    keeper.write(day(5, 1), "observation", ["group B"], signs=["hiding"])
    assert keeper.text("headcount", "group B").startswith("group B: 42.")


def test_at_least_lifts_the_floor_alone(keeper: Keeper) -> None:
    """A count with no upper end does not lower the number."""
    keeper.write(day(5, 1), "death", ["group B"])
    keeper.write(day(5, 2), "count", ["group B"], count=[12, None])
    said = keeper.text("headcount", "group B")
    assert said.startswith("group B: 12 to 41. 42 at set-up Mon 5 Jan, 17 weeks ago, then at least 12 counted")
    assert "some died (Fri 1 May, 6 days ago)" in said


def test_a_dead_animal_is_none(keeper: Keeper) -> None:
    """An animal that died is not there any more."""
    keeper.write(day(5, 1), "death", ["Duchess"])
    assert keeper.text("headcount", "Duchess") == "Duchess: none. Died or left Fri 1 May, 6 days ago."


def test_split_and_join_carry_numbers(keeper: Keeper) -> None:
    """Heads split off leave the group and start the new one; those joined in are added."""
    keeper.place("pot 9")
    new = keeper.animal("group B2", "pot 9", kind="group", count=6, since=day(3, 1))
    keeper.write(
        day(3, 1),
        "move",
        ["group B"],
        count=[6, 6],
        to="pot 9",
        part_of_group=True,
        new_occupant_id=new,
        to_enclosure_id=keeper.places["pot 9"],
    )
    assert keeper.text("headcount", "group B").startswith("group B: 36. 42 at set-up")
    assert "6 split off (Sun 1 Mar, 67 days ago)" not in keeper.text("headcount", "group B2")
    assert keeper.text("headcount", "group B2").startswith("group B2: 6.")
    keeper.write(
        day(4, 1),
        "move",
        ["group B2"],
        to="group B",
        joined=True,
        new_occupant_id=keeper.animals["group B"],
        to_enclosure_id=keeper.places["tub 4"],
    )
    said = keeper.text("headcount", "group B")
    assert said.startswith("group B: 42.")
    assert keeper.text("headcount", "group B2") == "group B2: none. Joined another group Wed 1 Apr, 36 days ago."
    assert "6 joined (Wed 1 Apr, 36 days ago)" in said
    assert stays.occupants_in(keeper.session, keeper.places["pot 9"]) == []


def test_joining_a_group_of_unknown_number_opens_the_range(keeper: Keeper) -> None:
    """A group without a number that joins leaves only a lower end."""
    keeper.place("tub 7")
    keeper.animal("group C", "tub 7", kind="group")
    keeper.write(
        day(4, 1), "move", ["group C"], joined=True, new_occupant_id=keeper.animals["group B"],
        to_enclosure_id=keeper.places["tub 4"],
    )  # fmt: skip
    assert keeper.text("headcount", "group B").startswith("group B: at least 43.")


def test_hatchlings_are_apart(keeper: Keeper) -> None:
    """Young of a hatched sac are told beside the range; a sac laid is no heads."""
    keeper.write(day(4, 1), "sac", ["group B"], stage="laid", number=[50, 50])
    keeper.write(day(4, 25), "sac", ["group B"], stage="hatched", number=[30, 40])
    keeper.write(day(4, 26), "sac", ["group B"], stage="hatched")
    said = keeper.text("headcount", "group B")
    assert said.startswith("group B: 42.")
    assert "Young hatched are reckoned apart: 30 to 40 (Sat 25 Apr, 12 days ago), an untold number" in said


def test_a_shared_tub_is_summed(keeper: Keeper) -> None:
    """Asked of a shared tub, each animal is told and the sum; what names the tub alone is nobody's."""
    keeper.write(day(5, 1), "death", ["tub 1"], number=[1, 1])
    lines = keeper.text("headcount", "tub 1").splitlines()
    assert lines[0] == "Together 2 in 2:"
    assert lines[1].startswith("Ada: 1.")
    assert keeper.text("headcount", "glass cube") == "glass cube: nobody lives there on record."


def test_the_whole_collection(keeper: Keeper, nobody: Keeper) -> None:
    """Without subjects everybody is counted, and those not known are said."""
    assert keeper.text("headcount").startswith("Together 45 in 4:")
    keeper.place("tub 7")
    keeper.animal("group C", "tub 7", kind="group")
    assert nobody.text("headcount").startswith("Together at least 45 in 5 (1 of 5 not known):")


def test_an_empty_collection_is_said(nobody: Keeper) -> None:
    """With nobody on the roster the answer says so."""
    assert nobody.text("headcount") == "There is nobody on the roster yet."


def test_count_told_with_a_move(keeper: Keeper) -> None:
    """Heads counted into the new tub are a count."""
    keeper.write(
        day(4, 1), "move", ["group B"], to="glass cube", count=[40, 40], to_enclosure_id=keeper.places["glass cube"]
    )
    assert keeper.text("headcount", "group B").startswith("group B: 40. 40 counted Wed 1 Apr")


def test_a_number_that_is_none_is_taken_for_untold(keeper: Keeper) -> None:
    """A count without its number changes nothing."""
    keeper.write(day(4, 1), "count", ["group B"])
    keeper.write(day(4, 2), "move", ["group B"])
    assert keeper.text("headcount", "group B").startswith("group B: 42.")
