"""Several collections on one bot: none sees, or is disturbed by, another."""
