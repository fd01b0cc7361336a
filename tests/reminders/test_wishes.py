"""What a member receives unasked is set by talking."""

from __future__ import annotations

import pytest

from tests.reminders.house import House


@pytest.mark.parametrize(
    ("words", "part"),
    [
        ("morning list at 7:30", "morning list at 07:30"),
        ("Send me the morning list at 6 am.", "morning list at 06:00"),
        ("look-ins at 9pm", "look-in questions at 21:00"),
        ("quiet hours from 22 to 7:15", "Quiet hours are 22:00 to 07:15"),
        ("quiet hours 10pm-7am", "Quiet hours are 22:00 to 07:00"),
        ("what do you send me?", "morning list at 08:00, look-in questions at 20:00"),
    ],
)
def test_times_are_set_and_said(house: House, words: str, part: str) -> None:
    """The reply says all that the member receives from now on."""
    assert part in house.say(words).text


def test_purposes_are_taken_off_and_on(house: House) -> None:
    """No list, then the list again; quiet hours go too."""
    assert "morning list" not in house.say("no morning list").text
    house.say("feed B every day")
    assert house.wait("03-04 12:00") == []
    assert "morning list at 08:00" in house.say("morning list again").text
    assert [when for when, _ in house.wait("03-05 12:00")] == ["03-05 08:00"]
    house.say("quiet hours 22 to 7")
    assert "Quiet" not in house.say("no quiet hours").text
    for words in ("no morning list", "no look-ins", "no plan reminders", "no leftovers questions"):
        said = house.say(words).text
    assert said == "I send you nothing unasked."


@pytest.mark.parametrize("words", ["morning list at 14 pm", "no look-ins for B", "feed B at 7:30", "quiet hours"])
def test_other_texts_set_nothing(house: House, words: str) -> None:
    """A time that the clock does not have, and what is about an animal."""
    house.say(words)
    assert "morning list at 08:00, look-in questions at 20:00" in house.say("what do you send me").text
