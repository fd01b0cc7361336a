"""Random acts, each with an English sentence for it: every kind of entry with its own fields."""

from __future__ import annotations

from hypothesis import strategies as st

from tests.language.printer import (
    ANYBODY,
    ONE,
    ONE_ANIMAL,
    ONE_GROUP,
    TODAY,
    WHEN,
    Draw,
    Piece,
    counts,
    piece,
    prey,
    sentence,
)


def kind(name: str, said: Piece, **fields: object) -> Piece:
    """A piece said of one act, its bare number moved to the field that the kind counts by."""
    values = dict(said.values)
    pair = values.pop("pair", None)
    number = {"count": "count", "move": "count"}.get(name, "number")
    return Piece(said.words, {"kind": name, "on": TODAY, **fields, **values, **({number: pair} if pair else {})})


@st.composite
def feedings(draw: Draw) -> Piece:
    """A feeding with or without prey and outcome."""
    what = draw(prey())
    outcome = draw(st.sampled_from(["", "ate", "refused", "partly", "left"]))
    templates = {
        "": [
            "fed {who} {what} {when}",
            "gave {who} {what} {when}",
            "{who} got {what} {when}",
            "I fed {who} {what} {when}",
            "fed {who} {when}",
        ],
        "ate": [
            "{who} ate {what} {when}",
            "{who} took {what} {when}",
            "{who} ate {when}",
            "fed {who} {what} {when}, all gone",
        ],
        "refused": ["{who} refused {what} {when}", "{who} refused {when}", "{who} ignored {what} {when}"],
        "partly": ["gave {who} {what} {when}, half eaten"],
        "left": ["fed {who} {what} {when}, 1 left over", "gave {who} {what} {when}, one left"],
    }[outcome]
    said = draw(sentence(templates, ANYBODY if not outcome else ONE, WHEN, what=what))
    told = {"outcome": "partly", "uneaten": [1, 1]} if outcome == "left" else {"outcome": outcome} if outcome else {}
    return kind("feeding", said, **told)


@st.composite
def upkeep(draw: Draw) -> Piece:
    """Misting, watering, cleaning, moves."""
    name, templates, fields = draw(
        st.sampled_from(
            [
                ("misting", ["misted {who} {when}", "sprayed {who} {when}", "I misted {who} {when}"], {}),
                ("misting", ["misted {who} lightly {when}", "lightly sprayed {who} {when}"], {"amount": "light"}),
                ("misting", ["misted {who} heavily {when}", "soaked {who} {when}"], {"amount": "heavy"}),
                (
                    "watering",
                    [
                        "watered {who} {when}",
                        "filled the dish for {who} {when}",
                        "topped up the water for {who} {when}",
                    ],
                    {},
                ),
                ("cleaning", ["cleaned {who} {when}"], {}),
                (
                    "cleaning",
                    ["spot cleaned {who} {when}", "pulled the leftovers from {who} {when}"],
                    {"scope": "spot"},
                ),
                (
                    "cleaning",
                    ["changed the substrate for {who} {when}", "did a full clean out of {who} {when}"],
                    {"scope": "full"},
                ),
                ("move", ["rehoused {who} {when}", "moved {who} {when}"], {}),
                (
                    "move",
                    ["moved {who} to the spare tub {when}", "moved {who} into the spare {when}"],
                    {"to": "spare tub"},
                ),
            ]
        )
    )
    return kind(name, draw(sentence(templates, ONE if name == "move" else ANYBODY, WHEN)), **fields)


@st.composite
def heads(draw: Draw) -> Piece:
    """Moults, counts, deaths, arrivals, departures, sacs, with their numbers."""
    number = draw(st.one_of(counts(), st.just(piece("50", pair=[50, 50])), counts(60, 100)))
    name, templates, fields = draw(
        st.sampled_from(
            [
                ("moult", ["{number} moults in {who} {when}", "found {number} moults in {who} {when}"], {}),
                ("count", ["counted {number} in {who} {when}", "counted {number} heads in {who} {when}"], {}),
                ("death", ["found {number} dead in {who} {when}", "{number} dead in {who} {when}"], {}),
                ("arrival", ["bought {number} more for {who} {when}"], {}),
                ("departure", ["sold {number} of {who} {when}", "gave away {number} of {who} {when}"], {}),
                ("sac", ["{who} laid an egg sac {when}", "found an egg sac in {who} {when}"], {"stage": "laid"}),
                (
                    "sac",
                    ["pulled the sac from {who} {when}, {number} eggs", "pulled the sac from {who} {when}"],
                    {"stage": "pulled"},
                ),
                ("sac", ["{who} ate the egg sac {when}"], {"stage": "eaten"}),
                ("sac", ["the sac in {who} hatched {when}, {number} slings"], {"stage": "hatched"}),
            ]
        )
    )
    return kind(name, draw(sentence(templates, ONE_GROUP, WHEN, number=number)), **fields)


SIGNS = {
    "hiding": "still hidden", "webbing": "webbing up", "burrowing": "digging", "premoult": "in premoult", "out": "out and about",
    "active": "very active", "lethargic": "lethargic", "injured": "injured", "escaped": "escaped",
}  # fmt: skip


@st.composite
def sightings(draw: Draw) -> Piece:
    """Behaviour, measurements, readings, moults of animals, pairings, notes."""
    sign = draw(st.sampled_from(sorted(SIGNS)))
    size, grams = draw(st.integers(2, 16)), draw(st.integers(2, 90))
    warm, damp = draw(st.integers(18, 31)) + draw(st.sampled_from([0, 0.5])), draw(st.integers(41, 95))
    name, templates, who, fields = draw(
        st.sampled_from(
            [
                ("observation", [f"{{who}} {SIGNS[sign]} {{when}}"], ONE, {"signs": [sign]}),
                ("measurement", [f"{{who}} legspan {size}cm {{when}}", f"{{who}} has a leg span of {size} cm {{when}}"], ONE_ANIMAL, {"measure": "legspan", "value": [10 * size] * 2}),
                ("measurement", [f"{{who}} weighs {grams}g {{when}}", f"weighed {{who}} {{when}}, {grams} g"], ONE_ANIMAL, {"measure": "weight", "value": [grams] * 2}),
                ("reading", [f"{{who}} {warm}C {damp}% {{when}}", f"{{who}} at {warm} degrees and {damp}% {{when}}"], st.just(piece("tub 2", places=frozenset({"tub 2"}))), {"temperature_c": [warm] * 2, "humidity_pct": [damp] * 2}),
                ("moult", ["{who} moulted {when}", "{who} has moulted {when}"], ONE, {}),
                ("pairing", ["paired Rilla and Rolla {when}", "introduced Rilla to Rolla {when}"], ONE, {"places": frozenset({"bark jar", "moss jar"})}),
                ("note", ["new thermostat on {who} {when}"], ONE, {}),
            ]
        )
    )  # fmt: skip
    return kind(name, draw(sentence(templates, who, WHEN)), **fields)
