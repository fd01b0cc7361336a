"""Labels are rendered, and their codes read, by other programs than those that drew them."""
