"""How long a test waits for what must come, and what is asked of a stop."""

from __future__ import annotations

PATIENCE = 60.0
"""Seconds: many times what anything waited for here takes, so that however busy the machine is only what never comes fails by it."""

STOP_GRACE = 10.0
"""Seconds in which a process that is asked to stop has to be gone: what `docker stop` gives it by default before it kills it."""
