"""Tests of the hand-over sheet itself."""
