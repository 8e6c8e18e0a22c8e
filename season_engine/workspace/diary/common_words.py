"""Ordinary words, one letter from a word the journal knows and no slips of it: `common_words.toml`."""

from __future__ import annotations

from functools import cache

from season_engine.files.toml_faults import checked
from season_engine.tables.known import Table
from season_engine.workspace.diary.language import shipped
from season_engine.workspace.diary.tokens import Words


class _CommonWords(Table):
    words: Words


@cache
def common_words() -> frozenset[str]:
    """The words, English and German."""
    return checked(shipped("common_words.toml"), _CommonWords).words
