"""What lasts: tables, migrations, the journal, inbox and outbox."""
