"""The bot speaks first: what falls due becomes pushes, at the right local moment, each once."""
