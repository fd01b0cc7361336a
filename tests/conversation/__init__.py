"""Tests of the conversation: a message in, entries and replies out."""
