"""Records moving in from elsewhere, and moving out."""
