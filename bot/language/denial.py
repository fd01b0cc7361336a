"""What is denied: an act that was not done is a note, food that was not taken is a refusal."""

from __future__ import annotations

from dataclasses import replace
from typing import TYPE_CHECKING

if TYPE_CHECKING:
    from bot.language.clauses import Clause
    from bot.language.drafts import Draft
    from bot.language.items import Item

NOT_AFTER = {
    "no": {"wonder", "idea", "problem", "worries", "fuss", "drama"},
    "not": {"only", "just", "sure", "bad", "much", "long", "too"},
}
"""Words after which a "no" or "not" denies nothing."""
TELLING = {"tell", "mention", "say", "write", "log", "note", "record", "enter"}
NEWS = {"deaths", "problems", "issues", "changes", "losses", "dead", "news", "change"}
AUXILIARIES = {"did", "has", "would", "have"}


def negation_in(clause: Clause) -> Item | None:
    """The first word that denies what its clause tells."""
    return next((item for item in clause.items if _denies(clause, item)), None)


def _denies(clause: Clause, item: Item) -> bool:
    if item.kind in {"name", "date", "number"} or not item.sense("negation"):
        return False
    if item.sense("sign") or item.sense("outcome"):
        return False
    following = clause.after(item)
    return not following or following[0].text not in NOT_AFTER.get(item.text, ())


def let_be(clause: Clause) -> bool:
    """Whether the keeper left somebody in peace: "left B alone", "B was still wet, so I left them"."""
    left = next((item for item in clause.items if item.text.partition(" ")[0] in {"left", "leaving"}), None)
    if left is None:
        return False
    lead = clause.before(left)[-1:]
    alone = (
        clause.plain("alone", "be") is not None and bool(clause.after(left)) and clause.after(left)[0].kind == "name"
    )
    return alone or (" " in left.text and bool(lead) and lead[0].text in {"i", "we", "so"})


def denied(draft: Draft, negation: Item) -> Draft:
    """The draft as a note, where the negation denies its act; a feeding not taken is a refusal already."""
    items = draft.clause.items
    made = [item for words in draft.made_by.values() for item in words if item in items]
    first = min((items.index(item) for item in made), default=0)
    later = items.index(negation) > first
    if draft.kind != "observation" and _to_nobody(draft.clause, negation):
        return _as_note(draft)
    if draft.kind == "feeding":
        stands = (later or draft.fields.get("outcome")) and not _keeper_did_not(draft.clause, negation)
    else:
        follows = draft.clause.after(negation)
        stands = later and (draft.kind == "observation" or not any(item in follows for item in made))
    return draft if stands else _as_note(draft)


def _keeper_did_not(clause: Clause, negation: Item) -> bool:
    """Whether it is the keeper's own feeding that is denied: "did not feed A"."""
    keeper = clause.verb("feed", "offer")
    return keeper is not None and clause.index(keeper) > clause.index(negation)


def _to_nobody(clause: Clause, negation: Item) -> bool:
    """Whether the keeper did it to none of them: "fed neither", "misted none of those"."""
    lead = clause.before(negation)[-1:]
    sense = lead[0].sense("verb") if lead else None
    return negation.text in {"neither", "none", "nobody", "no one"} and sense is not None and sense.agent == "keeper"


def _as_note(draft: Draft) -> Draft:
    """The draft as a note: its words are kept, its act is not claimed."""
    made_by = {"kind": draft.made_by.get("kind", [])}
    return replace(draft, kind="note", was=draft.kind, fields={}, negated=True, missing=[], made_by=made_by)


def did_not(clause: Clause, negation: Item, before: Draft | None) -> bool:
    """Whether the verb denied is the one told before: "june ate, penny didn't"."""
    if before is None or before.kind != "feeding" or not clause.names or clause.after(negation):
        return False
    lead = clause.before(negation)[-1:]
    return bool(lead) and lead[0].text in AUXILIARIES


def worth_noting(clause: Clause, negation: Item) -> bool:
    """Whether something not done is kept as a note: of somebody named, of deaths and news, or forgotten."""
    texts = set(clause.texts)
    if TELLING & texts:
        return False
    forgotten = negation.text in {"forgot", "forgot to", "skipped"}
    return bool(clause.names) or bool(NEWS & texts) or forgotten
