"""What a clause tells of somebody or something that another one named: whom it was for, who was taken up, the sac, the place."""

from __future__ import annotations

from typing import TYPE_CHECKING

from bot.language.drafts import Draft, quantity_of

if TYPE_CHECKING:
    from bot.language.clauses import Clause
    from bot.language.items import Item
    from bot.language.reading import Reading

SAYING_WHO = {"it", "was", "that", "were", "is", "those", "for", "the", "in", "of", "and", "this"}

GOING = {"move": "count", "departure": "number"}
"""Kinds of those who go, and the field that says how many."""

WHO_IT_WAS = {"was", "were", "is", "for"}


def taken_along(clause: Clause, made: list[Draft], reading: Reading) -> None:
    """Say of a move or a sale who and how many were taken up for it: "took 5 out of B and put them in the spare tub"."""
    lead = reading.lead
    if lead is None or lead.number != clause.number or not clause.plain("them", "those", "it"):
        return
    if not made or made[0].kind not in GOING or not lead.verb("take", "remove"):
        return
    field = GOING[made[0].kind]
    move, counted = made[0], next((item for item in lead.numbers if item.quantity and item.quantity.bare), None)
    taken = [
        item for item in lead.names if not {"of", "from"} & {other.text.split()[-1] for other in lead.before(item)[-2:]}
    ]
    move.names = move.names or taken or lead.names
    if counted is not None and field not in move.fields:
        move.put(field, quantity_of(counted).count(), counted)


def taken_out(reading: Reading) -> list[Draft]:
    """Moves of heads that were taken out, where nothing says what became of them: "took 12 from B"."""
    moves = []
    for at, clause in enumerate(reading.told):
        counted = _heads_taken(clause) if reading.told_nothing(clause) else None
        following = [later for later in reading.told[at + 1 :] if later.number == clause.number]
        if counted is not None and not any(later.plain("them", "those", "it") for later in following):
            moves.append(Draft("move", clause, clause.names).put("count", quantity_of(counted).count(), counted))
    return moves


def _heads_taken(clause: Clause) -> Item | None:
    """The number of "took 12 out of B", "removed 3 slings from A": heads, where neither food nor waste is named."""
    verb = clause.verb("take", "remove")
    other = any(item.prey or (item.thing() and not item.thing("young")) for item in clause.items if item.kind == "word")
    after = (
        [item for item in clause.after(verb) if not item.thing("young")][:5] if verb is not None and not other else []
    )
    name = next((at for at, item in enumerate(after) if item.kind == "name"), 0)
    number = after[0].quantity if name else None
    led = {"from", "out"} & {item.text for item in after[:name]}
    out = verb is not None and verb.text.endswith(" out")
    return after[0] if number is not None and number.unit is None and (led or out) else None


def of_sac_told(clause: Clause, made: list[Draft], reading: Reading) -> None:
    """Say of the sac that the clause before only named what became of it: "so much for the sac in C, they've eaten it".

    "42 little ones from her sac, it hatched on tuesday" gives it its number.
    """
    lead = reading.lead
    if lead is None or not made or lead.thing("sac", "eggs") is None or not clause.plain("it", "them"):
        return
    draft, young = made[0], next((item for item in lead.numbers if item.quantity and not item.quantity.article), None)
    if draft.kind == "feeding" and draft.fields.get("outcome") == "ate" and "prey" not in draft.fields:
        draft.kind, draft.fields = "sac", {"stage": "eaten"}
    if draft.kind == "sac":
        draft.names = draft.names or lead.names
        if young is not None and young.quantity is not None:
            draft.fields.setdefault("number", young.quantity.count())
            draft.made_by.setdefault("number", [young])


def dish_filled(clause: Clause, reading: Reading) -> Draft | None:
    """The watering of "the dish in B was dry so I filled it": the clause before names the dish."""
    lead = reading.lead
    fill = clause.verb("fill", "water")
    if (
        lead is None
        or fill is None
        or lead.thing("water") is None
        or not lead.names
        or not clause.plain("it", "them", "that")
    ):
        return None
    watered = Draft("watering", clause, lead.names)
    watered.made_by["kind"] = [fill]
    return watered


def names_those(clause: Clause, before: Draft) -> bool:
    """Whether the clause says whom an act told without names was for: "did the misting … it was A and B"; they are added."""
    rest = {item.text for item in clause.items if item.kind not in {"name", "mark"} and not item.sense("filler")}
    corrected = clause.texts[:2] == ["it", "was"] and rest == {"it", "was"} and before.clause.number == clause.number
    if not clause.names or not (corrected or (not before.names and rest <= SAYING_WHO and rest & WHO_IT_WAS)):
        return False  # "fed D 4 crickets … and it was B" names another
    before.names, before.stranger = clause.names, ""
    return True


def gives_place(clause: Clause, before: Draft) -> bool:
    """Whether the clause says where what was told before went; then its names are the subjects of that.

    "bought 100 crickets and tipped them in the cricket bin"
    """
    if before.names or before.kind not in {"arrival", "feeding"} or not clause.names:
        return False
    verb = clause.verb("put", "offer", "remove")
    brought = before.kind == "arrival" and clause.items[0] is verb  # "200 crickets came, tipped into the bin"
    if verb is None or not (clause.plain("them", "it", "those", "lot") or brought):
        return False
    if any(item.prey for item in clause.items if item.kind == "word"):
        return False
    before.names, before.stranger = clause.names, ""
    return True


def leaves_place_open(clause: Clause, reading: Reading) -> bool:
    """Whether the clause leaves open where the one just moved went: "… can't remember if it was to A or B"; then it is asked."""
    before = reading.last
    open_to = before is not None and before.kind == "move" and "to" not in before.fields
    either = next((item.name for item in clause.names if item.name and item.name.how == "either"), None)
    if before is None or not open_to or either is None or not clause.plain("to", "into", "in"):
        return False
    before.missing.append("to")
    before.choices = either.subjects
    return True
