"""Pictures are asked for in many words, and told from reports and from photos."""

from __future__ import annotations

from datetime import date

import pytest

from tests.language.house import meaning

B, TUB = ("group B",), ("tub 4",)


@pytest.mark.parametrize(
    ("text", "subjects", "fields"),
    [
        ("picture of B's head count", B, {"of": "heads"}),
        ("chart of how many in B", B, {"of": "heads"}),
        ("B head count graph", B, {"of": "heads"}),
        ("how many in B, as a chart", B, {"of": "heads"}),
        ("plot how many in B", B, {"of": "heads"}),
        ("graph the humidity of tub 4", TUB, {"of": "air", "panel": "humidity_pct"}),
        ("graph temperature of tub 4", TUB, {"of": "air", "panel": "temperature_c"}),
        ("can I see a graph of temp and humidity in tub 4?", TUB, {"of": "air"}),
        ("humidity chart tub 4", TUB, {"of": "air", "panel": "humidity_pct"}),
        ("picture of B's humidity", B, {"of": "air", "panel": "humidity_pct"}),
        ("feeding calendar for B", B, {"of": "food"}),
        ("picture of B's food please", B, {"of": "food"}),
        ("show me B's growth chart", B, {"of": "growth"}),
        ("can you draw me a chart of B's weight", B, {"of": "growth", "measure": "weight"}),
        ("growth curve for B please", B, {"of": "growth"}),
        ("plot survival of B", B, {"of": "survival"}),
        ("plot survival of B (and C)", ("group B", "group C"), {"of": "survival"}),
        ("survival curve B vs C", ("group B", "group C"), {"of": "survival"}),
        ("picture of B", B, {}),
        ("graph tub 4", TUB, {}),
        ("dark picture of B's head count", B, {"of": "heads", "theme": "dark"}),
        ("dark chart of B's growth", B, {"of": "growth", "theme": "dark"}),
    ],
)
def test_a_picture_is_asked(text: str, subjects: tuple[str, ...], fields: dict[str, str]) -> None:
    """What is drawn, of whom, and on which ground."""
    found = meaning(text)
    assert (found.intent, found.entries) == ("ask", ())
    assert found.ask is not None
    assert (found.ask.about, found.ask.subjects, dict(found.ask.fields)) == ("picture", subjects, fields)


@pytest.mark.parametrize(
    "text",
    [
        "took a picture of B", "I took some pictures of B eating", "fed B, see chart", "put B on the chart", "draw water",
        "last picture of B", "drew a picture of B", "B climbed up the graph paper", "show me B", "how many in B",
        "how humid is tub 4", "graph", "when did I last take a picture of B",
    ],
)  # fmt: skip
def test_other_words_ask_for_none(text: str) -> None:
    """Reports, photos, and questions that are answered in words."""
    ask = meaning(text).ask
    assert ask is None or ask.about != "picture"


def test_the_time_goes_with_it() -> None:
    """Since a day, from one to another, or so many days back."""
    since, both, back = (
        meaning(f"graph the humidity of tub 4 {when}").ask
        for when in ("since 1 Feb", "from 1 Feb to 14 Feb", "last 30 days")
    )
    assert since is not None and both is not None and back is not None  # noqa: PT018 - for the type checker
    assert (since.since, since.until, since.days) == (date(2026, 2, 1), None, None)
    assert (both.since, both.until) == (date(2026, 2, 1), date(2026, 2, 14))
    assert back.days == 30
