"""One turn of talk: an incoming message in, entries and a Reply out."""
