"""The grower's own trees by name."""

from __future__ import annotations

from collections.abc import Iterable

from season_engine.report.contents import SiteReport, name_of_tree
from season_engine.words import prose

NAMES_IN_A_LINE = 6


def tree_names(site: SiteReport, trees: Iterable[str], most: int = NAMES_IN_A_LINE) -> str:
    """Names of some trees, and how many more."""
    return prose.some_of([prose.plain(name_of_tree(site, tree)) for tree in trees], most)
