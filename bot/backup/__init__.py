"""Backups: one file with the records and the photos, made while the bot runs, verified before it bears its name, and put back."""
