"""Faults on demand: the next answers fail, come late, or are lost on the way."""

from __future__ import annotations

import asyncio
from dataclasses import dataclass, field


@dataclass(slots=True)
class Fault:
    """One fault: `kind` is "fail" (an HTTP status, nothing done), "drop" (done, but the answer is lost) or "slow" (seconds)."""

    kind: str
    amount: float
    method: str | None

    def meets(self, method: str) -> bool:
        """Whether it strikes a request; without a method of its own it strikes all but polls."""
        return method == self.method if self.method else method != "getUpdates"


@dataclass(slots=True)
class Faults:
    """Faults that wait for their request, in order."""

    waiting: list[Fault] = field(default_factory=list)

    def add(self, kind: str, amount: float, method: str | None, times: int) -> None:
        """Let the next `times` requests meet a fault."""
        self.waiting += [Fault(kind, amount, method) for _ in range(times)]

    def take(self, kind: str, method: str) -> Fault | None:
        """The first waiting fault of a kind that strikes a request, which is then used up."""
        for fault in self.waiting:
            if fault.kind == kind and fault.meets(method):
                self.waiting.remove(fault)
                return fault
        return None

    async def delay(self, method: str) -> None:
        """Wait where a request is to be slow."""
        slow = self.take("slow", method)
        if slow:
            await asyncio.sleep(slow.amount)
