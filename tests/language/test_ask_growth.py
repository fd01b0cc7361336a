"""Questions of losses, growth, crowding and comparisons are told from reports, in many words."""

from __future__ import annotations

import pytest

from tests.language.house import contract, meaning


@pytest.mark.parametrize(
    ("text", "subjects"),
    [
        ("survival of B", ("group B",)),
        ("B survival", ("group B",)),
        ("whats the survival rate of group B", ("group B",)),
        ("mortality of C", ("group C",)),
        ("losses in B", ("group B",)),
        ("how many of B made it", ("group B",)),
        ("how many made it in B?", ("group B",)),
        ("how many survived from B", ("group B",)),
        ("how many have we lost from B", ("group B",)),
        ("how many did C lose", ("group C",)),
        ("how many made it", ()),
        ("hows the brood doing", ()),
        ("how is the clutch getting on?", ()),
        ("how did the hatchlings do", ()),
    ],
)
def test_losses_are_asked(text: str, subjects: tuple[str, ...]) -> None:
    """With and without a question word, of a group by name or of all of them."""
    ask = meaning(text).ask
    assert ask is not None
    assert (ask.about, ask.subjects) == ("losses", subjects)


@pytest.mark.parametrize(
    ("text", "kind"),
    [
        ("losses in B: 2", "death"),
        ("losses in B yesterday", "death"),
        ("lost 2 in B", "death"),
        ("counted B, made it 31", "count"),
        ("survival kit in tub 4", "note"),
    ],
)
def test_a_report_of_losses_is_no_question(text: str, kind: str) -> None:
    """A number, a day or other words beside make it one."""
    found = meaning(text)
    assert found.ask is None
    assert [entry.kind for entry in found.entries] == [kind]


@pytest.mark.parametrize(
    ("text", "subjects", "fields"),
    [
        ("compare B with C", ("group B", "group C"), {}),
        ("pls compare B & C", ("group B", "group C"), {}),
        ("B vs C", ("group B", "group C"), {}),
        ("how does B compare to C", ("group B", "group C"), {}),
        ("is B doing better than C", ("group B", "group C"), {"of": "losses"}),
        ("which is doing better, B or C", ("group B", "group C"), {"of": "losses"}),
        ("are B bigger than C", ("group B", "group C"), {"of": "size"}),
        ("who is bigger B or C", ("group B", "group C"), {"of": "size"}),
        ("compare sizes of B and C", ("group B", "group C"), {"of": "size"}),
        ("compare group B with the ones I sold to Rui", ("group B",), {"of": "size", "lot": "rui"}),
        ("compare B with the ones that went to Rui Sousa", ("group B",), {"of": "size", "lot": "rui sousa"}),
        ("compare B against those i gave away", ("group B",), {"of": "size", "lot": ""}),
    ],
)
def test_groups_are_compared(text: str, subjects: tuple[str, ...], fields: dict[str, str]) -> None:
    """Both are meant where "or" stands between them; who got the others is kept; and nothing is written as sold."""
    found = meaning(text)
    assert found.ask is not None
    assert (found.ask.about, found.ask.subjects, found.ask.fields) == ("compare", subjects, fields)
    assert found.entries == ()


@pytest.mark.parametrize("text", ["compared B with C, B bigger", "B doing better than last week", "B vs C: B ate more"])
def test_a_comparison_that_is_told_is_no_question(text: str) -> None:
    """What was found is written down."""
    assert meaning(text).intent == "log"


@pytest.mark.parametrize(
    ("text", "subjects"),
    [
        ("how crowded is B", ("group B",)),
        ("is tub 4 too crowded", ("tub 4",)),
        ("density of B", ("group B",)),
        ("density", ()),
        ("stocking density in tub 2", ("tub 2",)),
        ("how many per litre in B", ("group B",)),
        ("how many hides has B got", ("group B",)),
        ("are any groups overcrowded?", ()),
    ],
)
def test_crowding_is_asked(text: str, subjects: tuple[str, ...]) -> None:
    """By group, by enclosure or of all."""
    ask = meaning(text).ask
    assert ask is not None
    assert (ask.about, ask.subjects) == ("crowding", subjects)


@pytest.mark.parametrize("text", ["B is crowded", "they are getting crowded in B", "density looks fine in tub 4"])
def test_crowding_told_is_a_note(text: str) -> None:
    """An opinion is kept and not answered."""
    assert [entry.kind for entry in meaning(text).entries] == ["note"]


@pytest.mark.parametrize(
    "text",
    ["growth of Mabel", "how fast is Mabel growing", "has mabel grown", "what instar is Mabel", "how big is Mabel"],
)
def test_growth_is_asked_as_size(text: str) -> None:
    """One answer tells of both."""
    ask = meaning(text).ask
    assert ask is not None
    assert (ask.about, ask.subjects) == ("size", ("Mabel",))


@pytest.mark.parametrize("text", ["when will Mabel moult next", "next moult of mabel", "when is mabel due to molt"])
def test_the_next_moult_is_asked(text: str) -> None:
    """In the contract's own words."""
    assert contract(text)["ask"] == {"about": "next", "kind": "moult", "subjects": ["Mabel"]}


@pytest.mark.parametrize(
    ("text", "kind", "fields"),
    [
        ("Mabel moulted to i4", "moult", {}),
        ("Mabel moulted into 4th instar", "moult", {}),
        ("mabel moulted to instar 4", "moult", {}),
        ("2 moults in B, i5", "moult", {"number": [2, 2]}),
        ("counted 12 i3 in B", "count", {"count": [12, 12]}),
        ("sold 5 L4 of B", "departure", {"number": [5, 5]}),
        ("Mabel is i4 now", "note", {}),
    ],
)
def test_an_instar_is_never_a_number(text: str, kind: str, fields: dict[str, object]) -> None:
    """It is no number of moults, heads or animals sold; the words keep it as it was said."""
    [entry] = meaning(text).entries
    assert (entry.kind, dict(entry.fields)) == (kind, fields)
    assert any(word in entry.words for word in ("i4", "4th instar", "instar 4", "i5", "i3", "L4"))


@pytest.mark.parametrize(
    ("text", "values"),
    [
        ("measured 5 of B: 12 13 13 14 15 mm", [12, 13, 13, 14, 15]),
        ("B sizes 12, 13, 13, 14 and 15mm", [12, 13, 13, 14, 15]),
        ("B legspans 12 / 13 / 14 mm", [12, 13, 14]),
        ("B: 1.2, 1.3, 1.5cm", [12, 13, 15]),
        ("weighed 3 of B: 0.4, 0.5, 0.7g", [0.4, 0.5, 0.7]),
    ],
)
def test_sizes_in_a_row_are_all_read(text: str, values: list[float]) -> None:
    """The unit at the end is that of each; how many were measured is no size."""
    entries = meaning(text).entries
    assert {entry.kind for entry in entries} == {"measurement"}
    assert [entry.fields["value"] for entry in entries] == [[pytest.approx(value)] * 2 for value in values]


@pytest.mark.parametrize("text", ["fed B 3 and 2, 5mm crickets", "fed B 2, 10mm roaches"])
def test_sizes_of_prey_make_no_row(text: str) -> None:
    """A number of prey is not given its length."""
    assert {entry.kind for entry in meaning(text).entries} == {"feeding"}
