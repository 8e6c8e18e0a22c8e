"""The grower's own files: season.toml, trees.csv, journal.csv."""
