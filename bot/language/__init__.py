"""Free text to Meaning: pure, no clock, no database, no channel."""
