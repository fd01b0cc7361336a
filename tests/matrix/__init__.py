"""Tests of the Matrix channel, held against a real homeserver on this machine."""
