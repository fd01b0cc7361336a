"""Tests of the Telegram channel, and the Bot API server that they run against."""
