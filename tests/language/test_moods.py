"""What is no log: negations, questions, plans, wishes; and what is too doubtful to write."""

from __future__ import annotations

import pytest

from tests.language.house import HOUSE, ask, contract, entries, entry, missing, plan, plans


@pytest.mark.parametrize(
    "text",
    ["didn't feed B", "did not feed B", "didnt feed B today", "forgot to mist B", "forgot to feed B", "no moults in B", "no deaths in B", "haven't fed B", "B not fed", "skipped B", "never got round to feeding B"],
)  # fmt: skip
def test_a_negation_is_a_note(text: str) -> None:
    """What was not done, or not found, is a note and never the act."""
    assert [each["kind"] for each in entries(text)] == ["note"], text


@pytest.mark.parametrize(
    ("text", "kinds"),
    [
        ("fed A, didn't feed B", {"feeding"}),
        ("fed everyone but didn't mist", {"feeding"}),
        ("misted B but didn't clean it", {"misting"}),
    ],
)
def test_a_negation_beside_an_act_leaves_the_act(text: str, kinds: set[str]) -> None:
    """Beside an act that was done, the one that was not may be left out or be a note."""
    assert {each["kind"] for each in entries(text)} - {"note"} == kinds


@pytest.mark.parametrize(
    "text", ["B didn't eat", "B did not eat", "B hasn't eaten", "B wouldn't take a cricket", "B not eating"]
)
def test_not_eating_is_a_refusal(text: str) -> None:
    """A keeper who says that B did not eat tells of a refused feeding."""
    found = entry(text)
    assert (found["kind"], found["outcome"]) == ("feeding", "refused")


@pytest.mark.parametrize(
    "text",
    [
        "thinking of moving D",
        "should move D",
        "if B eats I will move D",
        "might split B",
        "maybe I should rehouse D",
        "wondering whether to move D",
    ],
)
def test_a_wish_or_a_condition_is_not_the_act(text: str) -> None:
    """A condition or a wish is a note or a plan."""
    found = contract(text)
    assert found["intent"] in {"log", "plan"}
    assert all(each["kind"] == "note" for each in found.get("entries", [])), found


@pytest.mark.parametrize(
    ("want", "texts"),
    [
        ({"about": "last", "kind": "feeding", "subjects": ["tub 2"]}, ["when did B last eat", "when was B last fed", "when did I last feed B?", "how long since B ate", "last feed B?", "when did B last eat?", "how long is it since I fed B"]),
        ({"about": "last", "kind": "misting", "subjects": ["tub 2"]}, ["when was tub 2 last misted", "how long since tub 2 was misted", "when did i last mist B"]),
        ({"about": "last", "kind": "moult", "subjects": ["tub 5"]}, ["when did Mabel last moult", "when did mabel molt last"]),
        ({"about": "did", "kind": "feeding", "subjects": ["tub 4"], "since": "2026-03-09"}, ["did I feed D this week", "did i feed D this week?", "have I fed D this week"]),
        ({"about": "did", "kind": "feeding", "subjects": ["tub 2"], "since": "2026-03-10", "until": "2026-03-10"}, ["did I feed B on tuesday", "did i feed B tuesday"]),
        ({"about": "did", "kind": "misting", "subjects": ["tub 2"], "since": "2026-03-11", "until": "2026-03-11"}, ["did I mist B yesterday", "was B misted yesterday?"]),
        ({"about": "did", "kind": "feeding", "subjects": ["tub 2"]}, ["fed B?", "did I feed B", "have I fed B?"]),
        ({"about": "who", "kind": "feeding", "days": 14}, ["who hasn't eaten in two weeks", "who hasn't eaten in 14 days", "who has not eaten in the last two weeks", "whos not eaten in 2 weeks", "who hasn't eaten for a fortnight"]),
        ({"about": "who", "kind": "moult", "since": "2026-03-01"}, ["which ones moulted this month", "who moulted this month", "who has moulted this month?"]),
        ({"about": "due"}, ["what needs doing today", "what's due today", "is anything overdue", "anything due?", "whats due"]),
        ({"about": "next", "kind": "feeding", "subjects": ["tub 2"]}, ["when is B's next feed", "next feed for B?", "when does B next eat"]),
        ({"about": "history", "subjects": ["tub 4"], "since": "2026-03-01"}, ["show me tub 4 since March", "history of tub 4 since march"]),
        ({"about": "headcount", "subjects": ["tub 2"]}, ["how many in B", "how many are in B?", "B headcount?", "how many B are there", "how many have I got in B"]),
        ({"about": "size", "subjects": ["tub 5"]}, ["how big is Mabel now", "how big is mabel", "how heavy is mabel", "what does Mabel weigh"]),
        ({"about": "feeders", "days": 7}, ["how many roaches do I need this week", "how many crickets do I need for this week", "how many roaches for the next 7 days"]),
        ({"about": "climate", "subjects": ["tub 4"]}, ["how humid is tub 4", "what's the temperature in tub 4", "how warm is tub 4?", "humidity in tub 4?"]),
        ({"about": "why", "subjects": ["tub 4"]}, ["why is D due", "why did you skip D", "how come D is on the list"]),
    ],
)  # fmt: skip
def test_a_question(want: dict[str, object], texts: list[str]) -> None:
    """What is asked about, of whom, over what time; nothing is written."""
    for text in texts:
        found = ask(text)
        found["subjects"] = sorted({HOUSE.place_of(name) for name in found.get("subjects", [])})
        due = want["about"] == "due"  # "due today" may name the day or not
        kept = {
            name: value for name, value in found.items() if value and not (due and name in {"since", "until", "days"})
        }
        assert kept == want, (text, found)


@pytest.mark.parametrize("text", ["fed B. when did D last eat?", "misted B, when did I last feed it?"])
def test_a_log_may_carry_a_question(text: str) -> None:
    """A message that logs and asks is a log with the question beside it."""
    found = contract(text)
    assert found["intent"] == "log"
    assert found["ask"]["about"] == "last"
    assert len(found["entries"]) == 1


PLANS: list[tuple[dict[str, object], list[str]]] = [
    ({"kind": "feeding", "on": "2026-03-13"}, ["remind me to feed B tomorrow", "need to feed B tomorrow", "must feed B tomorrow", "feed B tomorrow", "going to feed B tomorrow", "gonna feed B tomorrow"]),
    ({"kind": "feeding", "on": "2026-03-13", "at": "19:00"}, ["remind me tomorrow at 7pm to feed B", "remind me to feed B tomorrow at 7pm", "feed B tomorrow at 19:00"]),
    ({"kind": "feeding", "on": "2026-03-12", "at": "21:50"}, ["remind me in 20 minutes to feed B", "remind me to feed B in 20 mins", "in twenty minutes I must feed B"]),
    ({"kind": "feeding", "every_days": 10}, ["feed B every 10 days", "remind me to feed B every ten days", "B needs feeding every 10 days"]),
    ({"kind": "misting", "every_days": 2}, ["mist B every other day", "mist B every 2 days", "remind me to mist B every second day"]),
    ({"kind": "watering", "every_days": 7}, ["water B weekly", "water B once a week", "water B every week", "top up the water in B every 7 days"]),
    ({"kind": "misting", "every_days": 3.5}, ["mist B twice a week"]),
    ({"kind": "check", "on": "2026-03-19"}, ["check on B in a week", "check B in 7 days", "look in on B in a week"]),
    ({"kind": "cleaning", "on": "2026-03-14"}, ["need to clean B on saturday", "must do a full clean of B on saturday"]),
    ({"kind": "move", "on": "2026-03-15", "to": "glass cube"}, ["going to move B to the glass cube on sunday", "move B to the glass cube on sunday"]),
    ({"kind": "stop", "of": "misting"}, ["stop misting reminders for B", "stop reminding me to mist B"]),
]  # fmt: skip


@pytest.mark.parametrize(("want", "texts"), PLANS)
def test_a_plan(want: dict[str, object], texts: list[str]) -> None:
    """Something to come: its kind, its day or how often, the time where told."""
    for text in texts:
        found = plan(text)
        assert found.pop("subjects") in (["group B"], ["tub 2"]), text
        assert found == want, text


def test_two_plans_in_one_message() -> None:
    """Each thing to come is a plan with its own day."""
    found = plans("feed B tomorrow and mist D on saturday")
    assert [(each["kind"], each["subjects"], each["on"]) for each in found] == [
        ("feeding", ["group B"], "2026-03-13"),
        ("misting", ["group D"], "2026-03-14"),
    ]


def test_a_log_may_carry_a_plan() -> None:
    """A message that logs and plans is a log with the plan beside it."""
    found = contract("fed B, remind me to pull the leftovers tomorrow")
    assert found["intent"] == "log"
    assert [each["kind"] for each in found["entries"]] == ["feeding"]
    assert found["plans"][0]["on"] == "2026-03-13"


@pytest.mark.parametrize(
    ("lacks", "texts"),
    [
        ("on", ["fed B on march 19", "fed B tomorrow", "fed B on 31 february", "fed B on the 31st of april", "fed B some time last week", "fed B a while ago", "B moulted the other day"]),
        ("subjects", ["fed 3 roaches", "fed Q", "misted", "fed rulla"]),
        ("kind", ["B 42", "B", "tub 4 12"]),
        ("to", ["moved B to the glass cube or the spare", "moved B to one of the jars"]),
    ],
)  # fmt: skip
def test_what_is_in_doubt_is_asked_about(lacks: str, texts: list[str]) -> None:
    """A date that lies ahead or is no date, no name, no act, two destinations: it asks and writes nothing."""
    for text in texts:
        assert missing(text) == [lacks], text
        assert contract(text)["question"].endswith("?"), text


@pytest.mark.parametrize("text", ["I fed her weekly all winter", "fed B every week all winter"])
def test_a_past_repeat_is_a_note(text: str) -> None:
    """How it used to be done is no plan and no act."""
    found = contract(text)
    assert found["intent"] in {"log", "chat", "unclear"}
    assert all(each["kind"] == "note" for each in found.get("entries", [])), found
