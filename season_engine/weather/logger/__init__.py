"""A grower's own logger: its file in any common spelling, or a data frame, read whole and right."""
