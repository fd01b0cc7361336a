"""Words that part clauses and that link the names of a list."""

from __future__ import annotations

SPLITTERS = {
    "and", "but", "then", "also", "plus", "while", "whilst", "because", "cos", "cuz", "bc", "though", "although", "however", "meanwhile",
    "afterwards", "ps", "whereas", "&",
}  # fmt: skip
"""Words that part clauses."""

HEADED_BY = {":", ",", "-"}
"""What stands between the food and the list of those it was given to: "crickets: B 3, D 5"."""

LISTING = {",", "and", "&", "+", "/", "plus", "or", "nor"}
SKIPPED = {"the", "of", "my", "our", "on", "in", "for", "to", "with", "from"}
