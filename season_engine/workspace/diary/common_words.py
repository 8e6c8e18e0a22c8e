"""Ordinary words, English and German, that are one letter from a word the journal knows, and no slips of it."""

from __future__ import annotations

from importlib import resources

COMMON = frozenset(
    (resources.files("season_engine.workspace.diary") / "common_words.txt")
    .read_text(encoding="utf-8")
    .split()
)
