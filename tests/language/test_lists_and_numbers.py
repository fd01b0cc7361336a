"""Facts of reading lists, numbers and what goes on from one act to the next."""

from __future__ import annotations

from typing import Any

import pytest

from tests.language.house import HOUSE, contract

POTS = ["pot 1", "pot 2", "pot 3", "pot 4"]
SLINGS = ["sling 1", "sling 2", "sling 3", "sling 4"]
REST = [place.name for place in HOUSE.enclosures if place.name != "spare tub" and place.name not in POTS]

LOGS: list[tuple[str, list[tuple[str, list[str], dict[str, Any]]]]] = [
    ("Mabel looks dead but it is not", [("note", ["tub 5"], {})]),
    ("B moulted, 3 skins", [("moult", ["tub 2"], {"number": [3, 3]})]),
    ("thought Mabel was dead", [("note", ["tub 5"], {})]),
    ("fed B this morning and Mabel last night", [("feeding", ["tub 2"], {}), ("feeding", ["tub 5"], {"on": "2026-03-11"})]),
    ("Mabel: 8 crickets. B: 5.", [("feeding", ["tub 5"], {"prey": "cricket", "quantity": [8, 8]}), ("feeding", ["tub 2"], {"prey": "cricket", "quantity": [5, 5]})]),
    ("counted today. B: 12, A: 14", [("count", ["tub 2"], {"count": [12, 12]}), ("count", ["tub 1"], {"count": [14, 14]})]),
    ("Jo misted tub 1 and I did tub 2", [("misting", ["tub 1"], {}), ("misting", ["tub 2"], {})]),
    ("forgot to mist B yesterday, did it this morning", [("misting", ["tub 2"], {})]),
    ("fed tubs 1 and 4 crickets", [("feeding", ["tub 1", "tub 4"], {"prey": "cricket"})]),
    ("Humidity in B: 50", [("reading", ["tub 2"], {"humidity_pct": [50, 50]})]),
    ("fed tubs 1,2", [("feeding", ["tub 1", "tub 2"], {})]),
    ("fed tubs 1,2,4", [("feeding", ["tub 1", "tub 2", "tub 4"], {})]),
    ("pot 1 2 crickets, pot 2 a roach", [("feeding", ["pot 1"], {"prey": "cricket", "quantity": [2, 2]}), ("feeding", ["pot 2"], {"prey": "roach", "quantity": [1, 1]})]),
    ("temp in tub 2 is 24 c", [("reading", ["tub 2"], {"temperature_c": [24, 24]})]),
    ("tub 2 24 C", [("reading", ["tub 2"], {"temperature_c": [24, 24]})]),
    ("tub 2: 20 °C and 68 %", [("reading", ["tub 2"], {"temperature_c": [20, 20], "humidity_pct": [68, 68]})]),
    ("tub 2: 20°C and 68%", [("reading", ["tub 2"], {"temperature_c": [20, 20], "humidity_pct": [68, 68]})]),
    ("Mabel legspan 3 in", [("measurement", ["tub 5"], {"measure": "legspan", "value": [76.2, 76.2]})]),
    ("gave B a locust, no not a locust, a cricket", [("feeding", ["tub 2"], {"prey": "cricket", "quantity": [1, 1]})]),
    ("wet the substrate in B", [("misting", ["tub 2"], {})]),
    ("transferred B to the glass cube", [("move", ["tub 2"], {"to": "glass cube"})]),
    ("re-housed B", [("move", ["tub 2"], {})]),
    ("head count of B: 42", [("count", ["tub 2"], {"count": [42, 42]})]),
    ("offered B food", [("feeding", ["tub 2"], {})]),
    ("used to feed B every three days", [("note", ["tub 2"], {})]),
    ("cleaned the slings 2 days ago", [("cleaning", POTS, {"on": "2026-03-10"})]),
    ("cleaned tubs 1 and 4 three weeks ago", [("cleaning", ["tub 1", "tub 4"], {"on": "2026-02-19"})]),
    ("misted everyone except the slings 3 days ago", [("misting", REST, {"on": "2026-03-09"})]),
    ("fed tub 2 a cricket", [("feeding", ["tub 2"], {"prey": "cricket", "quantity": [1, 1]})]),
    ("fed pots 2 to 4 a roach", [("feeding", POTS[1:], {"prey": "roach", "quantity": [1, 1]})]),
    ("bought 10 more for tub 2 the day before yesterday", [("arrival", ["tub 2"], {"number": [10, 10], "on": "2026-03-10"})]),
    ("topped up the water for tubs 1 and 4 the day before yesterday", [("watering", ["tub 1", "tub 4"], {"on": "2026-03-10"})]),
    ("5 dead in B", [("death", ["tub 2"], {"number": [5, 5]})]),
    ("the sac in the stilts hatched 6 days ago, 10ish slings", [("sac", ["tall tank"], {"stage": "hatched", "number": [9, 11], "on": "2026-03-06"})]),
    ("gave the slings 4 live waxworms", [("feeding", POTS, {"prey": "waxworm", "prey_state": "live", "quantity": [4, 4]})]),
    ("fed the slings 2 crickets", [("feeding", POTS, {"prey": "cricket", "quantity": [2, 2]})]),
    ("fed everyone except the slings 2 crickets", [("feeding", REST, {"prey": "cricket", "quantity": [2, 2]})]),
]  # fmt: skip


@pytest.mark.parametrize(("text", "want"), LOGS)
def test_logs(text: str, want: list[tuple[str, list[str], dict[str, Any]]]) -> None:
    """Each text is these entries."""
    found = contract(text)
    assert found["intent"] == "log", found
    got = []
    for entry in found["entries"]:
        own = {
            k: v
            for k, v in entry.items()
            if k not in {"kind", "subjects", "part", "at"} and not (k == "on" and v == "2026-03-12")
        }
        got.append((entry["kind"], sorted({HOUSE.place_of(name) or name for name in entry["subjects"]}), own))
    assert got == [(kind, sorted(places), own) for kind, places, own in want]


@pytest.mark.parametrize(
    ("text", "want"),
    [
        ("no more misting reminders for B", {"kind": "stop", "subjects": ["group B"], "of": "misting"}),
        ("mist B on Sunday", {"kind": "misting", "subjects": ["group B"], "on": "2026-03-15"}),
        ("water B on Monday", {"kind": "watering", "subjects": ["group B"], "on": "2026-03-16"}),
        ("need to feed the slings in 2 days", {"kind": "feeding", "subjects": SLINGS, "on": "2026-03-14"}),
        ("remind me to check on the slings in 7 days", {"kind": "check", "subjects": SLINGS, "on": "2026-03-19"}),
    ],
)
def test_plans(text: str, want: dict[str, Any]) -> None:
    """Each text is this plan."""
    found = contract(text)
    assert found["intent"] == "plan", found
    assert found["plans"] == [want]


def test_a_question() -> None:
    """A question in a texter's words."""
    assert contract("when's B due a feed")["ask"] == {"about": "next", "kind": "feeding", "subjects": ["group B"]}


@pytest.mark.parametrize(
    ("text", "kind", "fields"),
    [
        ("B moulted, 2 of them", "moult", {"number": [2, 2]}),
        ("shed skin in B, 2 of em", "moult", {"number": [2, 2]}),
        ("found 2 dead in B, 1 of them small", "death", {"number": [2, 2]}),
        ("sold 4 from B, 2 of them females", "departure", {"number": [4, 4]}),
        ("counted B: 21, 3 of them big", "count", {"count": [21, 21]}),
    ],
)
def test_some_of_those_told_are_no_head_count(text: str, kind: str, fields: dict[str, object]) -> None:
    """A number "of them" is how many it were, where that was not told, and never how many there are."""
    (told,) = contract(text)["entries"]
    assert told["kind"] == kind
    assert {name: told[name] for name in fields} == fields
