"""What the bot says of care beside the echo: cautions, sheets, sizes, settling, a vet."""

from __future__ import annotations

from pathlib import Path

import pytest

from tests.reminders.house import House

SETTLED = (("03-02 20:00", "tub 9", "03-08 21:00"), ("03-20 20:00", "tub 4", "03-29 21:00"))


@pytest.fixture
def house(tmp_path: Path) -> House:
    """Group B and group D, a spider with a grave bite and one with urticating hairs."""
    opened = House(tmp_path / "data")
    opened.say("add Ember, a Poecilotheria regalis, in tall 1")
    opened.say("add Pumpkin, a Brachypelma hamorii, in tub 6")
    return opened


def test_a_newcomer_is_told_its_care_sheet(house: House) -> None:
    """The set-up reply names the sheet, why it is that one, and how to see all of it."""
    said = house.say("add Quill, a Caribena versicolor, in tall 2").text
    assert "Caribena goes with the sheet “arboreal theraphosid”" in said
    assert "“show the care sheet for Quill”" in said
    assert "feeding: every" in house.say("show the care sheet for Quill").text


def test_a_caution_comes_the_first_time_in_a_week(house: House) -> None:
    """With the first feeding or move, not with the next; after a week again, by then in the morning list."""
    assert "Caution with Ember: medically significant bite" in house.say("fed Ember 1 cricket").text
    said = house.say("fed Ember and Pumpkin 1 roach each").text
    assert said.count("Caution") == 1
    assert "Caution with Pumpkin: urticating hairs" in said
    assert "Caution" not in house.say("moved Pumpkin to tub 20").text
    assert "Caution" not in house.say("fed B 3 roaches").text
    heard = [reply.text for _, reply in house.wait("03-09 08:10")]
    assert [text.count("Caution with Ember") for text in heard if "Caution" in text] == [1]
    assert "Caution" not in house.say("fed Ember 1 cricket").text


def test_no_caution_calls_anything_harmless(house: House) -> None:
    """What is said names whom to call."""
    said = house.say("fed Ember and Pumpkin 1 roach each").text
    assert "harmless" not in said
    assert said.count("local emergency or poison service") == 2


def test_a_size_past_the_limit_is_told_once(house: House) -> None:
    """In the reply to the measurement; the morning list does not say it again."""
    house.say("B body 10 mm")
    house.wait("03-05 09:00")
    said = house.say("B body 13 mm").text
    assert "Group B is about 13 mm now, past the 12 mm at which the sheet goes from pre-killed to live." in said
    assert "past the 12 mm" not in house.say("B body 13 mm").text
    assert "past the 12 mm" not in "".join(reply.text for _, reply in house.wait("03-08 09:00"))


def test_settled_is_said_when_the_series_ends(house: House) -> None:
    """At the second sighting, and not at the first, nor at any after."""
    house.say("moved B to tub 9")
    house.wait("03-08 21:00")
    assert "settled" not in house.say("B was out").text
    house.wait("03-11 21:00")
    assert "Group B: settled after 9 days." in house.say("B was out").text
    house.wait("03-12 21:00")
    assert "settled" not in house.say("B was out").text


def test_the_usual_settling_time_is_learned_from_three_moves(house: House) -> None:
    """Two moves of B and one of D teach; the next question and the next reply tell it."""
    for moved, tub, shown in SETTLED:
        house.wait(moved)
        house.say(f"moved B to {tub}")
        house.wait(shown)
        assert "usually" not in house.say("fed B 4 roaches, all eaten").text
    house.say("moved D to tub 30")
    house.wait("04-06 21:00")
    assert "your Neoholothele groups usually show after 6 to 9 days, 3 moves" in _lower(
        house.say("fed D 2 roaches, all eaten").text
    )
    house.say("moved D to tub 31")
    ((_, asked),) = [one for one in house.wait("04-07 20:05") if one[1].text.startswith("Seen group D")]
    assert "Your Neoholothele groups usually show after 6 to 9 days, 3 moves." in asked.text


def test_unseen_after_two_weeks_is_no_loss(house: House) -> None:
    """Told of hiding, the reply says where to look, and the head count stays."""
    house.say("moved B to tub 9")
    house.wait("03-17 21:00")
    said = house.say("no sign of B").text
    assert "Look for fresh web" in said
    assert "42" in house.say("how many in B").text


def test_a_vet_is_named_for_what_is_medical(house: House) -> None:
    """Mites are a matter for a vet; no dose is named."""
    assert "vet" in house.say("D has mites").text


def _lower(text: str) -> str:
    return text.replace("Your", "your")


@pytest.mark.parametrize(
    ("asked", "told"),
    [
        ("is it legal to sell villosella?", "Check your local rules"),
        ("do I need papers for Ember", "Poecilotheria spp.: CITES Appendix II since 26 Nov 2019 (CoP18 Prop. 46)"),
        ("can I ship Pumpkin to the EU?", "Brachypelma spp.: CITES Appendix II (by the CITES guide of 2019)"),
        ("do I need a permit for a Grammostola rosea", "Grammostola rosea: CITES Appendix II"),
    ],
)
def test_the_law_is_left_to_the_local_rules(house: House, asked: str, told: str) -> None:
    """The listing with its day where it is known, never yes or no, and nothing is written."""
    said = house.say(asked).text
    assert told in said
    assert "Check your local rules" in said
    assert house.entries() == []


def test_a_question_of_law_beside_an_act_leaves_the_act(house: House) -> None:
    """Both are dealt with."""
    said = house.say("fed B 3 roaches. do I need a licence for them?").text
    assert said.startswith("Written: group B: fed 3 roaches")
    assert "Check your local rules" in said


@pytest.mark.parametrize("asked", ["what dose of ivermectin for Ember?", "how do I treat B for mites?"])
def test_no_dose_is_named(house: House, asked: str) -> None:
    """A vet is."""
    said = house.say(asked).text
    assert said.startswith("I name no medicine and no dose")
    assert "vet" in said


def test_a_person_bitten_is_told_whom_to_call_first(house: House) -> None:
    """Before anything else, and it says that cramps may come late."""
    said = house.say("Ember bit me").text
    assert said.startswith("Bite, eye or breathing trouble: call your local emergency or poison service.")
    assert "cramps may come hours later" in said


def test_wood_from_outside_has_its_note(house: House) -> None:
    """Beside whatever else is made of the message."""
    said = house.say("cleaned tub 4 and put in oak leaves from the park").text
    assert said.startswith("Written")
    assert "pesticide" in said
    assert house.say("can I use wood from the forest?").text.startswith("Collected wood or leaves")


@pytest.mark.parametrize("told", ["got the papers for Ember", "fed B a bit of roach", "B bit the cricket and let go"])
def test_plain_records_are_no_matter_of_advice(house: House, told: str) -> None:
    """Nobody asked."""
    said = house.say(told).text
    assert "local rules" not in said
    assert "poison" not in said
