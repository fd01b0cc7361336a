"""Tests of the bot that speaks first."""
