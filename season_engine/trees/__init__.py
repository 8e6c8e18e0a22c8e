"""Trees remembered: what each had, what it is due for, what it may have, and what it must be left without."""
