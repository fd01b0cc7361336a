"""The question that must be asked before anything is written, with the choices to tap."""

from __future__ import annotations

from dataclasses import replace
from typing import TYPE_CHECKING, Any

from bot.language.meaning import Choice, Meaning
from bot.language.refine.exceptions import SPARED

if TYPE_CHECKING:
    from collections.abc import Sequence

    from bot.language.quantities import Quantity

DOUBTFUL = 0.4  # the score of a reading that must be asked about
QUESTIONS = {
    "subjects": ("Which one", "Which one was it for?"),
    "to": ("Where to", "Where to?"),
    "on": ("Which day was that", "Which day was that?"),
    "count": ("How many were there", "How many were there?"),
    "value": ("What was the value", "What was the value?"),
    "quantity": ("How many", "How many was it?"),
}
"""For each field how its question begins where there are choices, and how it is asked without."""


def question_about(
    field: str, meaning: Meaning, choices: Sequence[Any], *, stranger: str = "", number: Quantity | None = None
) -> Meaning:
    """An unclear Meaning with its question and the choices to tap.

    `stranger` is a name nobody on the roster bears; `number` is what a bare name was told with, where the kind is asked for.
    """
    offered = tuple(_choice(field, choice) for choice in choices if choice != "")
    if field == "kind":
        offered = _kind_choices(number)
    return replace(meaning, question=_question(field, meaning, offered, stranger), choices=offered, score=DOUBTFUL)


def _choice(field: str, choice: Any) -> Choice:  # noqa: ANN401 - a name, a day or a number in words
    if field == "subjects":
        return Choice(str(choice), {"subjects": (choice,)})
    if field == "quantity":
        low, _, high = str(choice).partition(" to ")
        return Choice(str(choice), {"quantity": [int(low), int(high or low)]})
    if field == "on":
        return Choice(f"{choice:%a} {choice.day} {choice:%b}", {"on": choice})
    return Choice(str(choice), {field: choice})


def _kind_choices(number: Quantity | None) -> tuple[Choice, ...]:
    if number is None:
        return (
            Choice("fed", {"kind": "feeding"}),
            Choice("misted", {"kind": "misting"}),
            Choice("just a note", {"kind": "note"}),
        )
    pair = number.count()
    return (
        Choice("a head count", {"kind": "count", "count": pair}),
        Choice("prey given", {"kind": "feeding", "quantity": pair}),
        Choice("moults found", {"kind": "moult", "number": pair}),
    )


def _question(field: str, meaning: Meaning, offered: tuple[Choice, ...], stranger: str) -> str:
    labels = " or ".join(choice.label for choice in offered) if 0 < len(offered) <= 4 else ""
    if field == "subjects" and stranger.startswith(SPARED):
        return f"There is no {stranger.removeprefix(SPARED)} on the roster to leave out. For whom was it?"
    if field == "subjects" and stranger:
        return f"There is no {stranger} on the roster. Which one was it?"
    if field == "kind":
        who = ", ".join(meaning.entries[0].subjects) if meaning.entries else ""
        return f"What about {who}: {labels}?"
    lead, bare = QUESTIONS.get(field, QUESTIONS["quantity"])
    return f"{lead}: {labels}?" if labels else bare
