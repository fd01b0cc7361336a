"""Moults, counts, deaths, arrivals, departures, pairings, sacs and what is seen of behaviour.

The words for what is seen are common practice among keepers.
"""

from __future__ import annotations

import pytest

from tests.language.house import contract, entries, entry, fields

LIFE: list[tuple[str, dict[str, object], list[str]]] = [
    ("moult", {}, ["B moulted", "B molted", "B shed", "B has moulted", "found moults in B"]),
    ("moult", {"number": [1, 1]}, ["found a moult in B", "a moult in B", "one moult in B", "found a shed skin in B"]),
    ("moult", {"number": [3, 3]}, ["3 moults in B", "found three moults in B", "three skins in B", "found 3 exuviae in B", "B 3 moults", "three of B moulted"]),
    ("moult", {"number": [3, 4]}, ["3-4 moults in B", "three or four moults in B"]),
    ("count", {"count": [42, 42]}, ["counted B, 42", "counted 42 in B", "B headcount 42", "counted 42 B", "42 heads in B"]),
    ("count", {"count": [45, 55]}, ["counted about 50 in B", "B head count roughly 50"]),
    ("count", {"count": [12, None]}, ["counted at least 12 in B", "at least 12 visible in B"]),
    ("count", {"count": [21, None]}, ["counted more than 20 in B"]),
    ("death", {}, ["found B dead"]),
    ("death", {"number": [1, 1]}, ["found one dead in B", "one dead in B", "a death in B", "1 dead in B", "found one of B dead", "lost one of B", "one of B died"]),
    ("death", {"number": [2, 2]}, ["found 2 dead in B", "two dead in B", "two of B have died", "lost two of B"]),
    ("arrival", {"number": [10, 10]}, ["bought 10 more for B", "10 new B arrived", "got 10 more B"]),
    ("departure", {"number": [5, 5]}, ["sold 5 of B", "gave away 5 of B", "sold five B", "lent 5 of B to a friend"]),
    ("sac", {"stage": "laid"}, ["B laid a sac", "B has an egg sac", "B has laid an eggsac", "found an egg sac in B", "B made a sac"]),
    ("sac", {"stage": "pulled"}, ["pulled the sac from B", "took the egg sac off B", "pulled B's sac"]),
    ("sac", {"stage": "eaten"}, ["B ate the sac", "B ate their egg sac", "B has eaten its sac"]),
    ("sac", {"stage": "hatched"}, ["B's sac hatched", "the sac in B has hatched", "B's egg sac has hatched"]),
    ("sac", {"stage": "hatched", "number": [60, 60]}, ["B's sac hatched, 60 slings", "the sac in B hatched: 60 young"]),
    ("sac", {"stage": "pulled", "number": [70, 70]}, ["pulled the sac from B, 70 eggs", "pulled B's sac: 70 eggs"]),
]  # fmt: skip


@pytest.mark.parametrize(("kind", "want", "texts"), LIFE)
def test_what_happens_to_a_group(kind: str, want: dict[str, object], texts: list[str]) -> None:
    """Each wording is one entry of its kind with the numbers told; "a" is one for moults and deaths, not for sacs."""
    for text in texts:
        found = entry(text)
        assert (found["kind"], found["subjects"]) in ((kind, ["group B"]), (kind, ["tub 2"])), (text, found)
        assert {name: value for name, value in fields(text).items() if name != "cause"} == want, text


@pytest.mark.parametrize(
    "text",
    [
        "paired Rilla and Rolla",
        "introduced Rilla to Rolla",
        "put Rilla in with Rolla",
        "Rilla and Rolla mated",
        "Rilla and Rolla paired",
    ],
)
def test_a_pairing_names_both(text: str) -> None:
    """A male put in with a female is a pairing of the two."""
    found = entry(text)
    assert (found["kind"], sorted(found["subjects"])) == ("pairing", ["Rilla", "Rolla"])


SIGNS = {
    "hiding": ["no sign of B", "B not seen", "B still hidden", "B tucked away", "B buried", "B is hiding", "haven't seen B"],
    "webbing": ["B webbing up", "new web in B", "B is webbing", "B webbing like mad"],
    "burrowing": ["B digging", "B is digging", "B burrowing"],
    "premoult": ["Mabel fat and dark", "Mabel looks in premolt", "Mabel in premoult", "Mabel is in pre-moult"],
    "out": ["B all out", "B wandering", "B out and about", "B were all out tonight"],
    "active": ["B very active", "B active"],
    "lethargic": ["B lethargic", "B looks sluggish"],
    "eating_together": ["B feeding in a huddle", "B eating together"],
    "fighting": ["two of B fighting", "B fighting", "B were scrapping"],
    "mould": ["mould in B", "found mold in B", "B has mould"],
    "mites": ["mites in B", "B has mites"],
    "escaped": ["B escaped", "Mabel got out"],
    "injured": ["Mabel injured", "Mabel lost a leg", "one of B is missing a leg"],
}  # fmt: skip


@pytest.mark.parametrize("sign", SIGNS)
def test_a_sign_of_behaviour(sign: str) -> None:
    """The keepers' words for one thing seen are one sign (common practice)."""
    for text in SIGNS[sign]:
        found = entry(text)
        assert found["kind"] == "observation", (text, found)
        assert found["signs"] == [sign], (text, found)


def test_several_signs_of_one_sighting_are_one_entry() -> None:
    """Signs seen together of one place are one observation."""
    assert sorted(entry("B out and webbing")["signs"]) == ["out", "webbing"]


def test_a_count_beside_another_act_is_its_own_entry() -> None:
    """A head count told with a cleaning is an entry of its own."""
    found = entries("cleaned B, counted 42")
    assert [each["kind"] for each in found] == ["cleaning", "count"]
    assert found[1]["count"] == [42, 42]


def test_a_cause_is_kept_in_the_words_of_the_text() -> None:
    """Of what an animal died stays as it was told."""
    found = entry("one of B died, bad moult")
    assert "moult" in found["cause"]
    assert found["number"] == [1, 1]


@pytest.mark.parametrize("text", ["new thermostat on tub 2", "changed the bulb over tub 2", "B looks fine"])
def test_anything_else_is_a_note(text: str) -> None:
    """What names somebody of the roster and is nothing else is kept as a note."""
    found = contract(text)
    assert (found["intent"], found["entries"][0]["kind"]) == ("log", "note")


@pytest.mark.parametrize(
    "text",
    ["hi", "thanks", "good morning", "thank you very much", "lol", "🕷️", "what a day", "", "   ", "my train was late"],
)
def test_small_talk_is_chat(text: str) -> None:
    """Greetings, thanks and talk of other things write nothing and ask nothing."""
    assert contract(text) == {"intent": "chat"}
