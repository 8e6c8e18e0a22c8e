"""The grower's own trees by name."""

from __future__ import annotations

from collections.abc import Iterable

from season_engine.report.contents import SiteReport, name_of_tree
from season_engine.words import naming, prose
from season_engine.words.line import Line

NAMES_IN_A_LINE = 6


def tree_names(site: SiteReport, trees: Iterable[str], most: int = NAMES_IN_A_LINE) -> str:
    """Names of some trees, and how many more."""
    return prose.some_of([prose.plain(name_of_tree(site, tree)) for tree in trees], most)


def roster(site: SiteReport) -> tuple[Line, ...]:
    """Every tree by its kind, so that each can be found."""
    kinds: dict[str, dict[str, str]] = {}
    for a in site.trees:
        if a.tree is not None:
            kinds.setdefault(naming.species_name(a), {})[a.tree] = prose.plain(name_of_tree(site, a.tree))
    return tuple(
        Line(prose.capital(kind), prose.sentence(prose.listing(list(names.values()))))
        for kind, names in kinds.items()
    )
