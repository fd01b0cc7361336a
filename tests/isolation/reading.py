"""The house's own reader, which notes what sorts of messages it was given."""

from __future__ import annotations

from dataclasses import dataclass, field
from datetime import datetime

from bot import language
from bot.language.meaning import Context, Meaning
from bot.language.roster import Roster


@dataclass
class Noting:
    """Reads as ever; `sorts` holds what came, as "intent:log", "ask:last", "setup:add", "amend:retract", "plan:rule"."""

    sorts: set[str] = field(default_factory=set)

    def read(self, text: str, now: datetime, roster: Roster, context: Context | None = None) -> Meaning:
        return self._noted(language.read(text, now, roster, context))

    def complete(self, pending: Meaning, text: str, now: datetime, roster: Roster) -> Meaning | None:
        answered = language.complete(pending, text, now, roster)
        return None if answered is None else self._noted(answered)

    def _noted(self, found: Meaning) -> Meaning:
        self.sorts.add(f"intent:{found.intent}")
        self.sorts |= {f"ask:{found.ask.about}"} if found.ask else set()
        self.sorts |= {f"picture:{found.ask.fields.get('of')}"} if found.ask and found.ask.about == "picture" else set()
        self.sorts |= {f"setup:{found.setup.action}"} if found.setup else set()
        self.sorts |= {f"amend:{found.amend.action}"} if found.amend else set()
        self.sorts |= {f"plan:{one.kind}" for one in found.plans}
        self.sorts |= {f"kind:{one.kind}" for one in found.entries}
        return found
