"""What a keeper lays down changes what is due, why, and the care sheet; it is said back, and undo takes it away."""

from __future__ import annotations

import pytest
from sqlalchemy import select

from storage.tables import Entry
from tests.reminders.house import House


@pytest.fixture
def keeper(house: House) -> House:
    """A week after everybody was fed and misted: group B and group D, and Clotho the whip spider."""
    house.say("add Clotho, a Damon variegatus, in the glass cube on shelf 2")
    house.say("fed everyone 2 crickets")
    house.say("misted everyone")
    house.wait("03-09 09:00")
    return house


def kept_last(keeper: House) -> str:
    """The words of the entry written last."""
    with keeper.app.store.read() as session:
        return session.scalars(select(Entry.words).order_by(Entry.id.desc()).limit(1)).one()


@pytest.mark.parametrize(
    ("said", "set_", "shown"),
    [
        (
            "B likes 55 to 65 % humidity",
            "Set: group B: humidity 55 to 65 % from now on, by your own words.",
            "- humidity: 55 to 65 % (your own words, 9 Mar 2026)",
        ),
        (
            "keep B at 24 to 26 C",
            "Set: group B: temperature 24 to 26 °C from now on, by your own words.",
            "- temperature: 24 to 26 °C (your own words, 9 Mar 2026)",
        ),
        (
            "give B 10 days to settle",
            "Set: group B: 10 days to settle after a move before food is offered from now on, by your own words.",
            "- no food after a move: for 10 days (your own words, 9 Mar 2026)",
        ),
        (
            "look in on B on days 1, 3, 7",
            "Set: group B: look-ins after a move on days 1, 3 and 7 from now on, by your own words.",
            "- look-ins after a move: on days 1, 3 and 7 (your own words, 9 Mar 2026)",
        ),
        (
            "mist B weekly but lightly",
            "Planned: group B: light misting, every 7 days.",
            "- misting: every 7 days, light (your own words, 9 Mar 2026)",
        ),
    ],
)
def test_a_rule_is_said_back_shown_and_undone(keeper: House, said: str, set_: str, shown: str) -> None:
    """The sheet shows the keeper's value with the day of the words, until it is taken back."""
    assert keeper.say(said).text == set_
    assert shown in keeper.say("show the care sheet for B").text.splitlines()
    assert kept_last(keeper) == said
    keeper.say("undo")
    assert shown not in keeper.say("show the care sheet for B").text.splitlines()


@pytest.mark.parametrize("text", ["B likes 155 % humidity", "keep B at 240 C"])
def test_a_band_that_cannot_be_is_refused(keeper: House, text: str) -> None:
    """Nothing is written, and the keeper is told why."""
    assert "cannot be right, so nothing was written" in keeper.say(text).text


def test_own_intervals_change_what_is_due_until_the_sheet_holds_again(keeper: House) -> None:
    """Feeding every 5 days is overdue after seven, every 20 days not due; the sheet's 5 to 10 days hold again."""
    keeper.say("feed B every 5 days")
    assert "- group B: feed, was due by Sat 7 Mar" in keeper.say("what's due for B").text
    keeper.say("feed B every 20 days")
    assert "feed, Sun 22 Mar" in keeper.say("when is the next feed for B").text
    assert keeper.say("back to the care sheet for B").text == (
        "Set: group B: by the care sheet again from now on; what you had laid down yourself no longer holds."
    )
    assert "every 5 to 10 days by the care sheet" in keeper.say("why is B due").text


def test_time_to_settle_is_the_reason_for_holding_food(keeper: House) -> None:
    """The hold after a move lasts as long as the keeper said."""
    keeper.say("give B 12 days to settle")
    keeper.say("moved B to tub 6")
    assert "held until 21 Mar: moved on the 9th" in keeper.say("why is B due").text


def test_days_to_look_in_decide_what_is_asked_in_the_evening(keeper: House) -> None:
    """Only the days that the keeper named are asked about."""
    keeper.say("look in on B on days 2 and 4")
    keeper.say("no reminders for group D")
    keeper.say("moved B to tub 6")
    asked = [when for when, reply in keeper.wait("03-12 23:00") if "Seen group B" in reply.text]
    assert asked == ["03-11 20:00"]


def test_a_stop_holds_until_its_day_and_may_end_sooner(keeper: House) -> None:
    """The reason names the words; reminders taken up again are due as before."""
    said = keeper.say("no misting reminders for Clotho until 3 May").text
    assert said == "Set: Clotho: no reminders of misting until Sun 3 May 2026 (in 55 days)."
    assert "Clotho: mist, held until 3 May: no reminders" in keeper.say("why Clotho").text
    assert keeper.say("resume reminders for Clotho").text == "Set: Clotho: reminders again from now on."
    assert "- Clotho: mist, was due by Fri 6 Mar" in keeper.say("what's due for Clotho").text


def test_a_time_away_holds_everything_and_brings_one_list(keeper: House) -> None:
    """Nothing is said while the keeper is away; the morning after, all of it at once."""
    assert keeper.say("away from tuesday to friday").text == (
        "Set: away for 4 days, from Tue 10 Mar 2026 to Fri 13 Mar 2026, in 1 day; what falls due then waits until you are back."
    ).replace("in 1 day", "tomorrow")
    heard = keeper.wait("03-14 12:00")
    assert [when for when, _reply in heard] == ["03-14 08:00"]
    assert "- group B: feed" in heard[0][1].text


def test_a_time_away_can_be_undone(keeper: House) -> None:
    """Then what is due is due."""
    keeper.say("I'm on holiday until the 20th")
    assert "away 9 Mar to 20 Mar" in keeper.say("what's due").text
    keeper.say("undo")
    assert "away" not in keeper.say("what's due").text


def test_a_skip_by_kind_counts_the_next_from_its_day(keeper: House) -> None:
    """The keeper is told when the next one is due, and undo makes it due as before."""
    said = keeper.say("skip group D's feeding").text
    assert said == (
        "Set: group D: skip feeding this once, Mon 9 Mar 2026 (today).\nNext feeding of group D: Sat 14 Mar, in 5 days."
    )
    assert "group D: feed" not in keeper.say("what's due").text
    keeper.say("undo")
    assert "- group D: feed, by Thu 12 Mar" in keeper.say("what's due").text


def test_a_skip_of_what_is_not_due_yet_lets_the_next_one_go(keeper: House) -> None:
    """It counts from the day on which that would have been due."""
    keeper.say("feed B every 10 days")
    assert keeper.say("skip B's feeding").text == (
        "Set: group B: skip feeding this once, Thu 12 Mar 2026 (in 3 days).\n"
        "Next feeding of group B: Sun 22 Mar, in 13 days."
    )


def test_a_skip_without_a_kind_lets_go_what_is_due(keeper: House) -> None:
    """Each task that stands is let go; where nothing does, nothing is written."""
    keeper.say("fed group D 2 crickets")
    before = keeper.told()
    assert keeper.say("skip group D this once").text == "Nothing of group D is due, so nothing was skipped."
    assert keeper.told() == before
    keeper.say("skip Clotho this once")
    assert "Clotho" not in keeper.say("what's due").text.split("Next")[0]


def test_a_plan_of_its_own_is_skipped_alone(keeper: House) -> None:
    """Of two plans of one kind the one that is due is let go."""
    keeper.say("weigh Clotho every 7 days")
    keeper.wait("03-10 09:00")
    assert "skip measurement this once" in keeper.say("skip weighing Clotho").text


@pytest.mark.parametrize("text", ["all done", "everything is done", "did everything"])
def test_all_done_needs_no_question(keeper: House, text: str) -> None:
    """Every task that stands is written, one entry each, and one undo takes them back."""
    keeper.say("skip Clotho this once")
    before = keeper.told()
    keeper.say("one by one")
    reply = keeper.say(text)
    assert reply.text.startswith("Written: ")
    assert ("feeding", text) in keeper.told()
    assert keeper.say("what's due").text.startswith("Nothing is due")
    keeper.say("undo")
    assert keeper.told() == before


def test_all_done_with_nothing_due_writes_nothing(house: House) -> None:
    """And it says so."""
    assert house.say("all done").text == "Nothing is due, so nothing was written."


def test_a_rule_for_nobody_asks_whom_it_is_for(keeper: House) -> None:
    """The answer sets it for that one."""
    assert keeper.say("what can you do").text
    keeper.wait("03-09 09:30")
    assert keeper.say("back to the care sheet").text == "Which one was it for?"
    assert keeper.say("group D").text.startswith("Set: group D: by the care sheet again")


def test_help_names_the_rules(keeper: House) -> None:
    """The phrases are there with the keeper's own names."""
    text = keeper.say("what can you do").text
    assert "“show the care sheet for group B”" in text
    assert "“away 3 to 10 June”" in text


@pytest.mark.parametrize("text", ["away", "I'm away", "we are on holiday"])
def test_a_time_away_without_days_is_asked_for(keeper: House, text: str) -> None:
    """The keeper learns how to say it; nothing is written."""
    assert keeper.say(text).text.startswith("Say from when to when, such as “away 3 to 10 June”")


def test_reminders_about_somebody_come_on_their_day(keeper: House) -> None:
    """To be reminded of somebody is to look in on them."""
    assert keeper.say("remind me about Clotho tomorrow").text == "Planned: Clotho: look in, Tue 10 Mar 2026 (tomorrow)."
    assert "- Clotho: look in" in keeper.wait("03-10 09:00")[0][1].text


def test_what_is_put_off_by_name_comes_back(keeper: House) -> None:
    """Until that day it is held, and then due as it was."""
    assert keeper.say("put off group D's feeding until wednesday").text == (
        "Set: group D: no reminders of feeding until Wed 11 Mar 2026 (in 2 days)."
    )
    heard = dict(keeper.wait("03-11 09:00"))
    assert "group D: feed, held until 11 Mar" in heard["03-10 08:00"].text
    assert "- group D: feed, by Thu 12 Mar" in heard["03-11 08:00"].text


def test_what_was_just_asked_about_is_what_is_skipped(keeper: House) -> None:
    """Not what else is due."""
    keeper.say("when should I next feed group D")
    assert keeper.say("skip it this week").text.startswith("Set: group D: skip feeding this once")
