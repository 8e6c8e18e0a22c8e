"""Kinds of marker: what may be written of each, how far a trace has come towards it, and how that is said."""
