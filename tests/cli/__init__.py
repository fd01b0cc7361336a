"""The command and its verbs."""
