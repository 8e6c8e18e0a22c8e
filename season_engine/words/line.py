"""A line of a report: a few words that stand out, and what is said about them."""

from __future__ import annotations

from collections.abc import Iterable
from dataclasses import dataclass

from season_engine.report.contents import SiteReport, name_of_tree
from season_engine.words import prose

NAMES_IN_A_LINE = 6


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


def tree_names(site: SiteReport, trees: Iterable[str], most: int = NAMES_IN_A_LINE) -> str:
    """Names of some trees, and how many more."""
    return prose.some_of([prose.plain(name_of_tree(site, tree)) for tree in trees], most)
