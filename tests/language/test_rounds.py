"""A round told in one message: who was left out and why, both and all three, the others, headings over lines. The messages are invented."""

from __future__ import annotations

import pytest

from tests.language.house import ask, entries, entry, plan

Read = tuple[str, list[str]]

GROUPS = ["group A", "group B", "group C", "group D", "the stilts", "dubia colony"]
WITHOUT_B = [name for name in GROUPS if name != "group B"]


def told(text: str) -> list[Read]:
    """Kind and subjects of each entry."""
    return [(one["kind"], one["subjects"]) for one in entries(text)]


@pytest.mark.parametrize(
    "passed_over",
    [
        "skipped B",
        "didn't feed B",
        "forgot B",
        "didn't bother with B",
        "B not fed",
        "left B alone",
        "B was full so I skipped them",
    ],
)
def test_to_whom_it_was_not_done(passed_over: str) -> None:
    """They are taken from all, and what is said of them is kept as a note or was only said to take them away."""
    (kind, subjects), *rest = told(f"fed all groups, {passed_over}")
    assert (kind, subjects) == ("feeding", WITHOUT_B)
    assert rest in ([], [("note", ["group B"])])


@pytest.mark.parametrize(
    "said", ["no mould in B", "no moults in B", "nothing new in B", "B didn't eat", "forgot B yesterday"]
)
def test_what_is_denied_besides_takes_nobody_away(said: str) -> None:
    """Only that the same act was not done, on the same day."""
    fed = [subjects for kind, subjects in told(f"misted all groups, {said}") if kind == "misting"]
    assert fed == [GROUPS]


@pytest.mark.parametrize(
    "why", [", she is in premoult", " who is in premoult", ", in premoult", ". She is in premoult"]
)
def test_why_one_was_left_out(why: str) -> None:
    """What is said right after an exception is of the one excepted."""
    text = f"fed everyone except Mabel{why}"
    assert told(text)[1] == ("observation", ["Mabel"])


def test_what_all_the_rest_did_is_theirs() -> None:
    """Where it says all."""
    (fed,) = entries("fed all groups except B, they all ate")
    assert (fed["subjects"], fed["outcome"]) == (WITHOUT_B, "ate")


def test_what_follows_a_list_of_exceptions_is_none_of_them() -> None:
    """A name of whom something is told after the comma."""
    assert told("misted shelf 2 bar tub 3 and tub 4, the stilts webbing like mad") == [
        ("misting", ["tub 5"]),
        ("observation", ["the stilts"]),
    ]


@pytest.mark.parametrize(
    ("text", "of_both"),
    [
        ("B got 5 crickets and C got 4, misted both", ["group B", "group C"]),
        ("fed B and C 4 crickets, misted both", ["group B", "group C"]),
        ("B and C were bone dry, I soaked both", ["group B", "group C"]),
        ("counted 40 in B, 55 in C, couldn't count D, misted all three", ["group B", "group C", "group D"]),
        (
            "B: at least 30 visible\nC: more than 50 visible\nD: still hidden\nmisted all three",
            ["group B", "group C", "group D"],
        ),
        ("B, C and D got 2 crickets each. Topped up all three dishes.", ["group B", "group C", "group D"]),
    ],
)
def test_as_many_as_are_said_of_those_told_last(text: str, of_both: list[str]) -> None:
    """And not everybody."""
    assert told(text)[-1][1] == of_both


def test_neither_got_any() -> None:
    """What was done to none of them was not done."""
    assert told("Mabel moulted on friday, Clove today. Fed neither.")[-1] == ("note", ["Mabel", "Clove"])


def test_the_other_ones() -> None:
    """All of a sort but those told before."""
    assert told("gave water to pot 2, misted the other pots")[1] == ("misting", ["pot 1", "pot 3", "pot 4"])
    assert told("Mabel refused. The rest of shelf 2 got 3 crickets each")[1] == ("feeding", ["tub 3", "tub 4"])


def test_one_who_got_nothing_ends_no_list() -> None:
    """The food of before holds for those after."""
    assert [(one["subjects"], one.get("quantity")) for one in entries("B got 5 roaches, A nothing, C 2")] == [
        (["group B"], [5, 5]),
        (["group A"], None),
        (["group C"], [2, 2]),
    ]


def test_what_one_of_several_did_is_not_of_all() -> None:
    """Though it says "all" of those who live there."""
    outcomes = [one.get("outcome") for one in entries("A 3 crickets, B 5 crickets, B all munching")]
    assert outcomes == [None, "ate"]


def test_names_on_lines_under_a_heading() -> None:
    """They are one list, and the next heading begins another."""
    assert told("Misted:\nA\nB\nglass cube\n\nFed:\nC 6 crickets\nD 4 crickets\n\nSeen: stilts out, Mabel hidden") == [
        ("misting", ["group A", "group B", "glass cube"]),
        ("feeding", ["group C"]),
        ("feeding", ["group D"]),
        ("observation", ["the stilts"]),
        ("observation", ["Mabel"]),
    ]


def test_a_day_on_its_line_heads_those_after_it() -> None:
    """And is no day of the act before."""
    found = entries("this morning\nmisted B and C\nthis evening\nfed D 5 crickets")
    assert [one.get("part") for one in found] == ["morning", "evening"]


def test_just_now_is_today() -> None:
    """Also after what was done the night before."""
    found = entries("fed A and B last night, 4 roaches each, just misted C")
    assert [one["on"] for one in found] == ["2026-03-11", "2026-03-12"]


def test_a_number_after_a_numbered_name_and_a_comma_counts() -> None:
    """The dead one is of B, and no pot 1."""
    assert told("found a skin in pot 3, 1 dead in B") == [("moult", ["pot 3"]), ("death", ["group B"])]


def test_heads_seen_and_heads_that_stayed() -> None:
    """Both are counts."""
    for text, heads in (("B 36 seen", 36), ("only saw 36 of B", 36), ("B all out, about 40 I'd say", None)):
        assert [one["count"] for one in entries(text) if one["kind"] == "count"] == [
            [heads, heads] if heads else [36, 44]
        ]
    assert [(one["kind"], one["count"]) for one in entries("moved 12 of B to the spare tub, 30 stayed in tub 2")] == [
        ("move", [12, 12]),
        ("count", [30, 30]),
    ]
    assert entries("B one left over")[0]["kind"] != "count"


@pytest.mark.parametrize(
    ("text", "kind", "own"),
    [
        ("took 12 out of B", "move", {"count": [12, 12]}),
        ("took 12 from B and put them in the spare tub", "move", {"count": [12, 12], "to": "spare tub"}),
        ("took 5 from B and sold them", "departure", {"number": [5, 5]}),
    ],
)
def test_heads_taken_out_are_no_food(text: str, kind: str, own: dict[str, object]) -> None:
    """Wherever they go."""
    found = entry(text)
    assert (found["kind"], found["subjects"]) == (kind, ["group B"])
    assert own.items() <= found.items()


def test_the_next_one_is_asked_for_or_set() -> None:
    """With a day it is a plan."""
    assert plan("next feed for B in 5 days")["on"] == "2026-03-17"
    assert ask("next feed for B")["about"] == "next"
    assert ask("next feed for B on friday?")["about"] == "next"


def test_who_is_on_the_way() -> None:
    """On a weekday that lies ahead."""
    assert plan("two new stilts are arriving on saturday")["on"] == "2026-03-14"
    assert entry("two new stilts arrived on saturday")["on"] == "2026-03-07"


def test_heads_for_heads() -> None:
    """Those given left, those had for them came."""
    assert told("swapped ten of B for three more stilts") == [("departure", ["group B"]), ("arrival", ["the stilts"])]
    assert entry("swapped the dish in B for a smaller one")["kind"] == "watering"


@pytest.mark.parametrize("text", ["pulled the sac from B and counted 85 eggs", "B sac pulled, 85 eggs counted"])
def test_eggs_are_no_heads(text: str) -> None:
    """They are the sac's number; alone they are a note."""
    found = entry(text)
    assert (found["kind"], found["stage"], found["number"]) == ("sac", "pulled", [85, 85])
    assert entry("counted 85 eggs in B")["kind"] == "note"


def test_young_of_a_sac_are_none_of_those_with_the_name() -> None:
    """Four animals here are called sling."""
    found = entry("sac of B hatched, counted 41 slings")
    assert (found["kind"], found["subjects"], found["number"]) == ("sac", ["group B"], [41, 41])


@pytest.mark.parametrize(
    ("text", "expected"),
    [
        ("fed B 5 roaches. C got the same but ignored it", [("B", [5, 5], None), ("C", [5, 5], "refused")]),
        (
            "fed B 1 roach yesterday and two more today, they took all of them",
            [("B", [1, 1], "ate"), ("B", [2, 2], "ate")],
        ),
        ("tub 1 - 6 crickets, all gone\ntub 2 - 4, one left", [("tub 1", [6, 6], "ate"), ("tub 2", [4, 4], "partly")]),
    ],
)
def test_the_same_food_again(text: str, expected: list[tuple[str, list[int], str | None]]) -> None:
    """For others, on another day, or on the next line; what became of it is each one's own."""
    found = [(one["subjects"][0].removeprefix("group "), one["quantity"], one.get("outcome")) for one in entries(text)]
    assert found == expected
    assert len({one["prey"] for one in entries(text)}) == 1


def test_the_same_as_another_got() -> None:
    """Past one who got nothing."""
    found = entries("B 5 roaches, A 3, C nothing, D got the same as A")
    assert [(one["subjects"], one.get("quantity"), one.get("prey")) for one in found[-2:]] == [
        (["group C"], None, None),
        (["group D"], [3, 3], "roach"),
    ]


def test_somebody_did_hers_too() -> None:
    """The moult told before, on a day of its own."""
    assert [(one["subjects"], one["on"]) for one in entries("Two sheds in B today. Mabel did hers on monday.")] == [
        (["group B"], "2026-03-12"),
        (["Mabel"], "2026-03-09"),
    ]


def test_shares_of_a_split() -> None:
    """Each is a move of its own."""
    found = entries("split B yesterday: 6 into the spare tub, 4 into tub 3")
    assert [(one["count"], one["to"]) for one in found] == [([6, 6], "spare tub"), ([4, 4], "tub 3")]


def test_now_ends_its_sentence() -> None:
    """It is no part of the day that opens the next."""
    found = entries("bought 10 more stilts on saturday, 26 in there now. Tonight fed B 3 roaches")
    assert [(one["kind"], one.get("count"), one.get("quantity")) for one in found] == [
        ("arrival", None, None),
        ("count", [26, 26], None),
        ("feeding", None, [3, 3]),
    ]


def test_what_those_left_out_got_instead() -> None:
    """Theirs, and not of the rest."""
    found = told("gave water to everyone bar the slings, they got a light mist instead")
    assert found[1] == ("misting", ["sling 1", "sling 2", "sling 3", "sling 4"])


def test_everyone_else() -> None:
    """But those told right before."""
    assert told("not seen B all week, everyone else on shelf 1 is out")[1] == ("observation", ["tub 1"])


def test_dried_out_is_dry() -> None:
    """Nobody is out."""
    assert [kind for kind, _ in told("misted B heavily because it had dried right out")] == ["misting"]


@pytest.mark.parametrize("but", ["all ate but B", "all took it except B"])
def test_all_ate_but_one(but: str) -> None:
    """Who did not is told apart, where several were named before."""
    outcomes = {
        subject: one["outcome"]
        for one in entries(f"gave A, B and C a roach each, {but}")
        for subject in one["subjects"]
    }
    assert outcomes == {"group A": "ate", "group C": "ate", "group B": "refused"}


def test_all_fed_but_one() -> None:
    """As "fed all but B"."""
    assert "tub 2" not in entry("all fed but B")["subjects"]
    assert entry("all fed but B")["subjects"] == entry("fed all but B")["subjects"]


def test_as_many_for_others() -> None:
    """Of the prey told before."""
    found = entries("put a dozen crickets in with B, they left three. Six for C, all eaten")
    assert [(one["prey"], one["quantity"], one["outcome"]) for one in found] == [
        ("cricket", [12, 12], "partly"),
        ("cricket", [6, 6], "ate"),
    ]
