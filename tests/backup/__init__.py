"""Backups: made, checked, put back, thinned out, and what may go wrong with them."""
