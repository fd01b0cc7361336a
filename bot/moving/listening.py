"""The reader of messages as an import needs it: what was told long ago is read as ever, but nobody is answered any more.

A question of then wants no answer now, and a task for a day that is past is no task: its words become a note.
"""

from __future__ import annotations

from dataclasses import dataclass, replace
from datetime import date, datetime

from bot.conversation.scene import Language
from bot.language.meaning import Ask, Context, Entry, Meaning, Plan
from bot.language.roster import Roster

STANDING = frozenset({"stop", "rule", "away", "skip"})
"""Plans that are no tasks: how things are kept from then on."""


@dataclass(slots=True)
class Listening:
    """A reader that leaves out questions and bygone tasks. `today` is the day of the import.

    `asked` is the question that the last text was, None where it was none; `corrects` says whether it was a correction.
    """

    language: Language
    today: date
    asked: Ask | None = None
    corrects: bool = False

    def read(self, text: str, now: datetime, roster: Roster, context: Context | None = None) -> Meaning:
        """What a message means, as far as it is still to be written down."""
        meaning = self.language.read(text, now, roster, context)
        self.corrects = meaning.amend is not None
        self.asked = None if meaning.entries or meaning.plans else meaning.ask
        if self.asked is not None or (meaning.setup is not None and meaning.setup.action == "zone"):
            return Meaning("chat")
        return self._without_bygone(replace(meaning, ask=None), text, now)

    def complete(self, pending: Meaning, text: str, now: datetime, roster: Roster) -> Meaning | None:
        """As the reader itself has it."""
        return self.language.complete(pending, text, now, roster)

    def _without_bygone(self, meaning: Meaning, text: str, now: datetime) -> Meaning:
        bygone = [plan for plan in meaning.plans if self._is_bygone(plan, now)]
        if not bygone or meaning.intent not in ("plan", "log"):
            return meaning
        plans = tuple(plan for plan in meaning.plans if plan not in bygone)
        subjects = tuple(dict.fromkeys(name for plan in bygone for name in plan.subjects))
        note = Entry("note", subjects, now.date(), words=bygone[0].words or text)
        return replace(meaning, intent="log", entries=(*meaning.entries, note), plans=plans)

    def _is_bygone(self, plan: Plan, now: datetime) -> bool:
        """Whether a plan is a single task whose day is past, or one without a day that was told before today."""
        if plan.kind in STANDING or plan.every_days is not None:
            return False
        return (plan.on or now.date()) < self.today
