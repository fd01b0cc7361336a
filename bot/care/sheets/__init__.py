"""The care sheets as data: one TOML file for each kind of animal, each value with its source."""
