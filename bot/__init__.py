"""Rackside: a chat bot that keeps the care records of small animals."""
