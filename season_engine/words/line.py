"""A line of a report: a few words that stand out, and what is said about them."""

from __future__ import annotations

from collections.abc import Iterable
from dataclasses import dataclass

from season_engine.words import prose


@dataclass(frozen=True, slots=True)
class Line:
    """A few words that stand out, and what is said about them."""

    lead: str
    text: str


def sentences(texts: Iterable[str]) -> tuple[str, ...]:
    """Each with a capital and a full stop."""
    return tuple(prose.sentence(text) for text in texts)


def joined(*texts: str) -> str:
    """The texts that say something, one after the other."""
    return " ".join(text for text in texts if text)
