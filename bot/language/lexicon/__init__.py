"""The vocabulary as data: TOML tables of words and phrases, read once when first needed."""
