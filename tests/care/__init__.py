"""The reckoning of care states facts that can be checked."""
