"""The reckoning of the trade (head counts and the like): pure functions."""
