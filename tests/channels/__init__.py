"""The channels, each against what it talks to."""
