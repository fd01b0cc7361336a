"""How the garbage collector is told to go about its work, in a program that has loaded what it needs."""

from __future__ import annotations

import gc

NEW_OBJECTS = 10_000
"""So many more than were freed before the youngest are looked through (CPython's own 700 is for small programs): the due list of a
large collection makes a hundred thousand that all stay until it is told, and was looked through two hundred times."""


def settle() -> None:
    """Pass over what is loaded by now ever after, since it all stays; and collect, but less often."""
    gc.freeze()
    gc.set_threshold(NEW_OBJECTS, *gc.get_threshold()[1:])
    gc.enable()
