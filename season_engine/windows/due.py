"""Whether a tree is due for repotting by the years its kind stands in a pot."""

from __future__ import annotations

from dataclasses import replace

from season_engine.species.catalogue import Species
from season_engine.windows.assessment import Assessment
from season_engine.windows.today import TreeState
from season_engine.windows.tree_notes import NotDue

DAYS_A_YEAR = 365.25


def with_due(found: Assessment, species: Species, state: TreeState | None) -> Assessment:
    """The assessment of a repotting, which says so where the tree isn't due by its window's time."""
    every = species.repotted_every
    if state is None or state.roots_on is None or every is None or found.job != "repotting":
        return found
    if found.refused or found.verdict in ("closed", "not-here"):
        return found
    least, most = (max(years - every.sooner(state.tree.size), 1) for years in every.years)
    opens = found.standing.opens
    by = max(found.as_of, opens) if opens else found.as_of
    # To the nearest whole year: no window falls on the same days every year.
    if round((by - state.roots_on).days / DAYS_A_YEAR) >= least:
        return found
    return replace(found, of_tree=(*found.of_tree, NotDue(state.roots_on, least, most)))
