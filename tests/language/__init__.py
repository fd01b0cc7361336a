"""Tests of the reading of free text."""
