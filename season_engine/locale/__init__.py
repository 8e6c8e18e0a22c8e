"""Translations of what is printed: a template of all texts, and a catalogue a language."""

from __future__ import annotations

from pathlib import Path

ENGLISH = "en"
DOMAIN = "season_engine"
LOCALE = Path(__file__).parent


def languages() -> tuple[str, ...]:
    """English, and those there is a catalogue for."""
    return (ENGLISH, *sorted(path.parent.name for path in LOCALE.glob("*/LC_MESSAGES")))
