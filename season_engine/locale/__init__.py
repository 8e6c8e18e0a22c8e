"""Translations of what is printed: a template of all texts, and a catalogue a language."""
