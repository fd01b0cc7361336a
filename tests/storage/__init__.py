"""What is kept is kept: journal, stays, roster, inbox and outbox, and the database below."""
