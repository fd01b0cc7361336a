"""Pictures of whatever is asked of whatever is written: a sentence and, where there is something, a file."""

from __future__ import annotations

from dataclasses import replace
from datetime import date, time
from pathlib import Path

import pytest

from bot.answers import answer
from bot.language.meaning import Ask
from storage import households
from tests.answers.conftest import TODAY, Keeper, day

TOPICS = (None, "heads", "food", "growth", "air", "survival")
SUBJECTS = ((), ("group B",), ("tub 4",), ("Duchess",), ("glass cube",), ("group B", "Duchess"))
SPANS: tuple[dict[str, date | int | None], ...] = (
    {},
    {"days": 10},
    {"since": date(1, 1, 1)},
    {"since": TODAY, "until": TODAY},
    {"until": date(2020, 1, 1)},
    {"since": date(9999, 12, 31)},
    {"since": day(5, 1), "until": day(4, 1)},
)

pytestmark = pytest.mark.slow


def tell_odd_things(keeper: Keeper) -> None:
    """Counts without an end, losses without a number, feedings without words, sizes as ranges, two things on one day."""
    keeper.write(day(1, 5), "count", ["group B"], count=[12, None])
    keeper.write(day(2, 5), "death", ["group B"])
    keeper.write(day(2, 5), "death", ["group B"], number=[100, 100])
    keeper.write(day(3, 5), "count", ["group B"], count=[0, 0])
    keeper.write(day(3, 6), "arrival", ["group B"], number=[5, None])
    keeper.write(None, "feeding", ["group B"])
    for name in ("group B", "Duchess"):
        keeper.write(day(4, 2), "feeding", [name])
        keeper.write(day(4, 2), "feeding", [name], quantity=[2, None], outcome="refused")
        keeper.write(day(4, 2), "moult", [name])
        keeper.write(day(4, 3), "measurement", [name], measure="body", value=[2, 9])
        keeper.write(day(4, 3), "measurement", [name], measure="weight", value=[1, None])
    keeper.write(day(4, 3), "reading", ["tub 4"], humidity_pct=[99, 120], at=time(9))
    keeper.write(day(4, 3), "reading", ["tub 4"], temperature_c=[None, 30])


@pytest.mark.parametrize("units", ["metric", "imperial"])
@pytest.mark.parametrize("written", [False, True])
def test_every_picture_gets_a_sentence(keeper: Keeper, units: str, tmp_path: Path, *, written: bool) -> None:
    """No topic, subject or span makes a picture fail; what goes with the words is a file that is there."""
    if written:
        tell_odd_things(keeper)
    households.set_units(keeper.session, keeper.collection_id, units)
    view = replace(keeper.view, folder=tmp_path)
    drawn = 0
    for topic in TOPICS:
        for subjects in SUBJECTS:
            for span in SPANS:
                fields = {} if topic is None else {"of": topic}
                reply = answer(Ask("picture", subjects=subjects, fields=fields, **span), view)  # type: ignore[arg-type]
                assert len(reply.text) > 15, (topic, subjects, span, reply.text)
                assert all((tmp_path / one.path).is_file() for one in reply.files)
                drawn += len(reply.files)
    assert drawn > (40 if written else 5)


def test_an_empty_collection_gets_a_sentence(nobody: Keeper) -> None:
    """With nobody on the roster there is nobody to draw."""
    assert nobody.text("picture").startswith("Say whose picture")


def test_imperial_units_are_drawn_as_such(keeper: Keeper) -> None:
    """The title tells both, as everywhere."""
    households.set_units(keeper.session, keeper.collection_id, "imperial")
    keeper.write(day(4, 3), "measurement", ["Duchess"], measure="legspan", value=[50.8, 50.8])
    keeper.write(day(4, 3), "reading", ["tub 4"], temperature_c=[25, 25])
    assert keeper.text("picture", "Duchess", fields={"of": "growth"}).startswith("Duchess: legspan 50.8 mm (2 in)")
    assert keeper.text("picture", "tub 4", fields={"of": "air"}).startswith("tub 4: 25 °C (77 °F), Fri 3 Apr")
