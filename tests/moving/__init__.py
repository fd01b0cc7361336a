"""Tests of moving records out and in."""
