"""Markers: dated events in a trace, each with the error of the rule that dates it."""
