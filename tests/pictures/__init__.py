"""Pictures, asked for what stands on them."""
