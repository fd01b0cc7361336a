"""Words that part clauses and that link the names of a list."""

from __future__ import annotations

SPLITTERS = {
    "and", "but", "then", "also", "plus", "while", "whilst", "because", "cos", "cuz", "bc", "though", "although", "however", "meanwhile",
    "afterwards", "ps", "whereas", "&",
}  # fmt: skip
"""Words that part clauses."""

LISTING = {",", "and", "&", "+", "/", "plus", "or"}
SKIPPED = {"the", "of", "my", "our", "on", "in", "for", "to", "with", "from"}
