"""What is due for a ward, and why: a pure reckoning from facts, care sheet and the keeper's own rules."""

from __future__ import annotations

from bot.care.due.engine import tasks
from bot.care.due.model import DUE, ENTRY_KINDS, HELD, NOT_YET, OVERDUE, Away, Task, Ward
from bot.care.facts import Fact

__all__ = ["DUE", "ENTRY_KINDS", "HELD", "NOT_YET", "OVERDUE", "Away", "Fact", "Task", "Ward", "tasks"]
