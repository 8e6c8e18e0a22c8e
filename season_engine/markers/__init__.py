"""Kinds of marker: what may be written of each, and how far a trace has come towards it."""
