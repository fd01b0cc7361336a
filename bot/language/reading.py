"""A message while it is read: what it is made of, and what its clauses yield by mood."""

from __future__ import annotations

from dataclasses import dataclass, field
from typing import TYPE_CHECKING

if TYPE_CHECKING:
    from datetime import datetime

    from bot.language.clauses import Clause
    from bot.language.drafts import Draft
    from bot.language.items import Item, Tagged
    from bot.language.meaning import Context
    from bot.language.planning import PlanDraft
    from bot.language.roster import Roster


@dataclass(frozen=True, slots=True)
class Message:
    """One message taken apart, and what its reading may lean on. `now` is the keeper's local clock, naive."""

    tagged: Tagged
    now: datetime
    roster: Roster
    context: Context

    @property
    def text(self) -> str:
        """The message as it was sent."""
        return self.tagged.text

    @property
    def items(self) -> list[Item]:
        """Its items without the marks."""
        return [item for item in self.tagged.items if item.kind != "mark"]


@dataclass(slots=True)
class Reading:
    """What the clauses of a message yield, by mood."""

    told: list[Clause] = field(default_factory=list)
    drafts: list[Draft] = field(default_factory=list)
    plans: list[PlanDraft] = field(default_factory=list)
    asked: list[Clause] = field(default_factory=list)
    said: list[Clause] = field(default_factory=list)
    bares: list[Draft] = field(default_factory=list)  # names with a number alone, until a clause says what was counted
    days: list[Clause] = field(default_factory=list)  # days told before the act: "on tuesday and on friday I fed B"
    wished: list[Clause] = field(default_factory=list)
    doubted: bool = False  # a sentence opens with a hope or a doubt

    @property
    def last(self) -> Draft | None:
        """The draft told last."""
        return self.drafts[-1] if self.drafts else None

    @property
    def lead(self) -> Clause | None:
        """The clause told before the one told last, where it told nothing by itself: "took 5 out of B" and put them …."""
        return self.told[-2] if len(self.told) > 1 and self.told_nothing(self.told[-2]) else None

    def told_nothing(self, clause: Clause) -> bool:
        """Whether no draft was made of a clause."""
        return not any(draft.clause is clause for draft in self.drafts)

    def replace_last(self, first: int) -> None:
        """Let the drafts from `first` on take the place of the one before them, of their kind, and of its names."""
        new = next(
            (draft for draft in self.drafts[first:] if first and draft.kind == self.drafts[first - 1].kind), None
        )
        if new is None:
            return
        old = self.drafts.pop(first - 1)
        new.names, new.stranger = new.names or old.names, new.stranger or old.stranger
        self.told = [clause for clause in self.told if clause is not old.clause or not self.told_nothing(clause)]

    @property
    def tells_act(self) -> bool:
        """Whether an act of somebody named, a plan or a question was read."""
        acts = any(draft.names and draft.kind != "note" for draft in self.drafts)
        return acts or bool(self.plans) or bool(self.asked)
