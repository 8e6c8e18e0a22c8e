"""Drawings: numbers into places."""
