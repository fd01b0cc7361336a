"""Tests mirror the rooms of the house."""
