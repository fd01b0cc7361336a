"""How well whole sets of labelled messages are read.

The bar for our own sets is the project's own: strict at least 95 %, silent wrong at most 2 %. The development sets that
may lie beside the project must be read a little better: strict at least 95 %, silent wrong at most 1 %.
"""

from __future__ import annotations

from pathlib import Path

import pytest

from fixtures.phrases import phrase_sets
from tests.language.house import HOUSE
from tests.language.scoring import score_set, verdict_on

DEVELOPMENT = Path(__file__).parents[2].parent / "shared" / "contract" / "dev"
DEVELOPMENT_SETS = sorted(DEVELOPMENT.glob("*.jsonl"))

FED = {"intent": "log", "entries": [{"kind": "feeding", "subjects": ["group B"], "on": "2026-03-12"}]}


@pytest.mark.parametrize("path", phrase_sets(), ids=lambda path: path.stem)
def test_our_own_sets_are_read(path: Path) -> None:
    """Of each keeper's messages 95 % are read strictly, and no more than 2 % wrongly without a question."""
    score = score_set(path)
    assert score.verdicts.total() >= 90
    assert score.share("strict") >= 95, "\n".join(score.misses)
    assert score.share("silent wrong") <= 2, "\n".join(score.misses)


@pytest.mark.skipif(not DEVELOPMENT_SETS, reason="the development sets do not lie beside the project")
def test_the_development_sets_are_read() -> None:
    """Over the development sets together 95 % are read strictly, and no more than 1 % wrongly without a question."""
    scores = [score_set(path) for path in DEVELOPMENT_SETS]
    messages = sum(score.verdicts.total() for score in scores)
    misses = "\n".join(miss for score in scores for miss in score.misses)
    assert 100 * sum(score.verdicts["strict"] for score in scores) / messages >= 95, misses
    assert 100 * sum(score.verdicts["silent wrong"] for score in scores) / messages <= 1, misses


@pytest.mark.parametrize(
    ("verdict", "got"),
    [
        ("strict", FED),
        ("strict", {"intent": "log", "entries": [{**FED["entries"][0], "subjects": ["tub 2"]}]}),
        ("silent wrong", {"intent": "log", "entries": [{**FED["entries"][0], "on": "2026-03-11"}]}),
        ("silent wrong", {"intent": "log", "entries": [{**FED["entries"][0], "prey": "cricket"}]}),
        ("silent wrong", {"intent": "log", "entries": [*FED["entries"], *FED["entries"]]}),
        ("silent wrong", {"intent": "amend", "amend": {"action": "retract"}}),
        ("needless question", {"intent": "unclear", "missing": ["subjects"], "question": "Whom?"}),
        ("other miss", {"intent": "chat"}),
    ],
)
def test_a_verdict(verdict: str, got: dict[str, object]) -> None:
    """A reading is strict only where all of it is right, and a group and its tub are the same place."""
    assert verdict_on([FED], got, HOUSE) == verdict
