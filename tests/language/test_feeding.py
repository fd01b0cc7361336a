"""Feedings by the contract: prey, its state, how much, and what became of it. Names of prey are common practice."""

from __future__ import annotations

import pytest

from tests.language.house import entries, entry, fields

PREY = {
    "roach": ["roaches", "roach", "cockroaches"], "dubia roach": ["dubias", "dubia", "dubia roaches", "dubes"],
    "red runner roach": ["red runners", "lats", "red runner roaches", "lateralis"], "cricket": ["crickets", "crix", "crikets", "brown crickets"],
    "locust": ["locusts", "hoppers"], "mealworm": ["mealworms", "mealies", "meal worms"], "superworm": ["superworms", "super worms", "morios"],
    "waxworm": ["waxworms", "waxies", "wax worms"], "hornworm": ["hornworms", "horn worms"], "fruit fly": ["fruit flies", "ffs", "fruitflies", "hydei"],
    "springtail": ["springtails", "spring tails"], "isopod": ["isopods", "woodlice"], "mouse": ["mice", "pinkies", "mouse"],
}  # fmt: skip


@pytest.mark.parametrize("prey", PREY)
def test_prey_is_kept_by_its_singular_name(prey: str) -> None:
    """Plurals, trade names, abbreviations and misspellings stand for one name each (common practice)."""
    for word in PREY[prey]:
        assert fields(f"fed B 3 {word}")["prey"] == prey, word


@pytest.mark.parametrize(
    ("want", "texts"),
    [
        ({}, ["fed B", "B fed", "I fed B", "fed B today", "have fed B", "just fed B", "B has been fed", "B was fed", "B got fed"]),
        ({"prey": "roach", "prey_state": "pre-killed", "quantity": [3, 3]}, ["fed B 3 pre-killed roaches", "fed B 3 prekilled roaches", "fed B 3 pk roaches", "3 pre killed roaches for B", "B got three pre-killed roaches"]),
        ({"prey": "cricket", "prey_state": "live", "quantity": [2, 2]}, ["fed B 2 live crickets", "gave B two live crickets"]),
        ({"prey": "mouse", "prey_state": "frozen-thawed", "quantity": [1, 1]}, ["fed B a frozen-thawed mouse", "fed B a f/t mouse", "fed B one frozen thawed mouse", "gave B a defrosted mouse"]),
        ({"outcome": "ate"}, ["B ate", "B has eaten", "B took it", "fed B, all gone", "fed B, all munching"]),
        ({"prey": "cricket", "quantity": [3, 3], "outcome": "ate"}, ["B took 3 crickets", "B ate 3 crickets", "B ate three crickets", "fed B 3 crickets, all gone", "fed B 3 crickets and they ate the lot", "gave B 3 crickets, all eaten"]),
        ({"outcome": "refused"}, ["B refused", "B refused food", "B didn't eat", "B did not eat", "B wouldn't eat", "fed B, ignored it", "fed B, not interested", "B wasn't interested in food"]),
        ({"prey": "cricket", "quantity": [1, 1], "outcome": "refused"}, ["B refused a cricket", "fed B a cricket, ignored it", "offered B a cricket, not interested", "gave B a cricket but they left it", "B ignored a cricket"]),
        ({"prey": "roach", "quantity": [3, 3], "outcome": "partly"}, ["fed B 3 roaches, 2 left over", "fed B 3 roaches, left one", "gave B 3 roaches, one left", "fed B 3 roaches, half eaten", "B left 1 of 3 roaches"]),
    ],
)  # fmt: skip
def test_a_feeding(want: dict[str, object], texts: list[str]) -> None:
    """What was offered, in what state, and the outcome only where the text tells one."""
    for text in texts:
        found = entry(text)
        assert (found["kind"], found["subjects"]) == ("feeding", ["group B"]), text
        assert fields(text) == want, text


def test_two_prey_are_two_feedings() -> None:
    """Two kinds of prey given together are an entry each."""
    found = entries("fed Mabel a roach and 2 crickets")
    assert [(each["prey"], each["quantity"]) for each in found] == [("roach", [1, 1]), ("cricket", [2, 2])]


def test_each_has_its_own_outcome() -> None:
    """Where one ate and another refused, each has its entry."""
    found = entries("Mabel ate 2 crickets, Clove refused one")
    assert [(each["subjects"], each["outcome"]) for each in found] == [(["Mabel"], "ate"), (["Clove"], "refused")]


def test_one_act_on_several_places_is_one_entry() -> None:
    """A list of places that got the same is one entry with several subjects."""
    assert entry("fed A, B and D 3 crickets each") == {
        "kind": "feeding",
        "subjects": ["group A", "group B", "group D"],
        "on": "2026-03-12",
        "prey": "cricket",
        "quantity": [3, 3],
        "each": True,
    }


def test_a_huddle_is_an_entry_of_its_own() -> None:
    """Feeding in a huddle beside a feeding is a sighting, and sets no outcome."""
    found = entries("fed B 6 roaches, feeding in a huddle")
    assert [each["kind"] for each in found] == ["feeding", "observation"]
    assert "outcome" not in found[0]
    assert found[1]["signs"] == ["eating_together"]


def test_fat_and_dark_and_refused_is_two_things() -> None:
    """A refusal and the look of an animal before a moult are a feeding and an observation."""
    found = entries("Mabel fat and dark and refused again")
    assert {each["kind"]: each.get("outcome") or each.get("signs") for each in found} == {
        "feeding": "refused",
        "observation": ["premoult"],
    }


@pytest.mark.parametrize(
    ("text", "on", "more"),
    [
        ("fed B last night", "2026-03-11", {"part": "night"}),
        ("fed B tonight", "2026-03-12", {"part": "night"}),
        ("fed B this morning", "2026-03-12", {"part": "morning"}),
        ("fed B yesterday evening", "2026-03-11", {"part": "evening"}),
        ("fed B at 8pm", "2026-03-12", {"at": "20:00"}),
        ("fed B half an hour ago", "2026-03-12", {"at": "21:00"}),
        ("fed B on the 9th", "2026-03-09", {}),
        ("fed B on tuesday", "2026-03-10", {}),
        ("fed B 3 days ago", "2026-03-09", {}),
        ("fed B", "2026-03-12", {}),
    ],
)
def test_when_it_was(text: str, on: str, more: dict[str, str]) -> None:
    """The day, and the time or the part of the day only where the text gives one."""
    found = entry(text)
    assert found["on"] == on
    assert {name: found[name] for name in ("at", "part") if name in found} == more


def test_two_days_are_two_entries() -> None:
    """The same act on two days is an entry for each."""
    assert [each["on"] for each in entries("fed B on monday and on tuesday")] == ["2026-03-09", "2026-03-10"]


@pytest.mark.parametrize(
    "text",
    [
        "fed B 3 roaches last night, 2 left over",
        "um so last night I fed B er 3 roaches and uh there was 2 left over",
        "last nite fed B 3 roachs, 2 leftover",
    ],
)
def test_dictated_and_misspelt_text(text: str) -> None:
    """Fillers and misspellings change nothing."""
    want = {
        "kind": "feeding",
        "subjects": ["group B"],
        "on": "2026-03-11",
        "part": "night",
        "prey": "roach",
        "quantity": [3, 3],
        "outcome": "partly",
    }
    assert entry(text) == want


@pytest.mark.parametrize(
    ("text", "want"),
    [
        ("fed B no wait D 3 crickets", {"subjects": ["group D"], "quantity": [3, 3]}),
        ("fed B 3 no 4 crickets", {"subjects": ["group B"], "quantity": [4, 4]}),
        ("fed B 3 crickets, sorry, 4 crickets", {"subjects": ["group B"], "quantity": [4, 4]}),
        ("fed B I mean D 3 crickets", {"subjects": ["group D"], "quantity": [3, 3]}),
        ("fed B 3 crickets yesterday no wait today", {"subjects": ["group B"], "quantity": [3, 3], "on": "2026-03-12"}),
        ("fed B 3 crickets scratch that make it 5 crickets", {"subjects": ["group B"], "quantity": [5, 5]}),
    ],
)
def test_a_self_repair_leaves_the_last_word(text: str, want: dict[str, object]) -> None:
    """Of what is taken back within a message only what was said instead remains."""
    found = entry(text)
    assert {name: found[name] for name in want} == want
