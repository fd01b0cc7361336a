"""Every kind of question is answered in a sentence, whatever it names and however little is written."""

from __future__ import annotations

from datetime import date

import pytest

from bot.answers import answer
from bot.language.meaning import Ask
from tests.answers.conftest import TODAY, Keeper, day

ABOUTS = (
    "last", "did", "who", "due", "next", "history", "headcount", "size", "feeders", "climate", "why", "day", "help", "sheet",
    "stock", "air_why", "growing_out", "losses", "compare", "crowding", "handover",
)  # fmt: skip
KINDS = (None, "feeding", "misting", "count", "check")
SUBJECTS = ((), ("group B",), ("glass cube",), ("tub 1", "Duchess"))
SPANS: tuple[dict[str, date | int | None], ...] = (
    {},
    {"days": 10},
    {"since": date(1, 1, 1)},
    {"since": TODAY, "until": TODAY},
    {"until": date(2026, 1, 1)},
    {"since": date(9999, 12, 31)},
)


def write_some(keeper: Keeper) -> None:
    keeper.write(day(5, 2), "feeding", ["tub 1", "group B"], prey="roach", quantity=[2, None], outcome="refused")
    keeper.write(day(5, 3), "misting", ["tub 4"])
    keeper.write(day(5, 3), "count", ["group B"], count=[12, None])
    keeper.write(day(5, 4), "measurement", ["Ada"], value=[12, 12])
    keeper.plan("feeding", ["group B"], told=day(4, 1), every_days=7)
    keeper.plan("check", ["tub 1"], day(5, 30), told=day(4, 1))


@pytest.mark.parametrize("about", ABOUTS)
@pytest.mark.parametrize("written", [False, True])
def test_every_question_gets_a_sentence(keeper: Keeper, about: str, *, written: bool) -> None:
    """No kind, subject or span makes an answer fail or come out empty or as a bare word."""
    if written:
        write_some(keeper)
    view = keeper.view
    for kind in KINDS:
        for subjects in SUBJECTS:
            for span in SPANS:
                said = answer(Ask(about, kind=kind, subjects=subjects, **span), view).text  # type: ignore[arg-type]
                assert len(said) > 15, (kind, subjects, span, said)
                assert "None of" not in said
                assert "()" not in said


@pytest.mark.parametrize("about", ABOUTS)
def test_every_question_to_an_empty_collection(nobody: Keeper, about: str) -> None:
    """With nothing on the roster each question is still answered."""
    assert len(nobody.text(about)) > 15
    assert len(nobody.text(about, kind="feeding", days=7)) > 15
