"""How long a test waits for what must come, and what is asked of a stop."""

from __future__ import annotations

PATIENCE = 120.0
"""Seconds: many times what anything waited for here takes, so that however busy the machine is only what never comes fails by it.

It is more than the minute for which what was claimed for sending may be held (`bot.desk.HELD_FOR`): a bot that is stopped between
sending something and saying so, and started again in the same process, goes on with that chat only then.
"""

STOP_GRACE = 10.0
"""Seconds in which a process that is asked to stop has to be gone: what `docker stop` gives it by default before it kills it."""
