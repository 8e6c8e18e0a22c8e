"""Whether a tree is due for repotting, and whether for the whole of its roots."""

from __future__ import annotations

from dataclasses import replace

from season_engine.species.catalogue import Species
from season_engine.windows.assessment import Assessment, Today
from season_engine.windows.today import TreeState
from season_engine.windows.tree_notes import Due, InSections, NotDue

DAYS_A_YEAR = 365.25


def with_due(found: Assessment, species: Species, state: TreeState | None) -> Assessment:
    """The assessment of a repotting, which says whether a tree is due, or renews its roots in parts.

    That a collected tree's are is common practice, no source.
    """
    if state is None or found.job != "repotting" or found.refused or found.verdict in ("closed", "not-here"):
        return found
    if state.tree.origin == "collected" and any(one.job == "sectional-repotting" for one in species.windows):
        return _with(found, InSections(), "no")
    every = species.repotted_every
    if state.roots_on is None or every is None:
        return found
    least, most = (max(years - every.sooner(state.tree.size), 1) for years in every.years)
    opens = found.standing.opens
    by = max(found.as_of, opens) if opens else found.as_of
    # To the nearest whole year: no window falls on the same days every year.
    if round((by - state.roots_on).days / DAYS_A_YEAR) >= least:
        return replace(found, of_tree=(*found.of_tree, Due(state.roots_on, least, most)))
    return _with(found, NotDue(state.roots_on, least, most), "hold")


def _with(found: Assessment, note: NotDue | InSections, today: Today) -> Assessment:
    """Where it is open that decides today, and need may override years in a pot."""
    found = replace(found, of_tree=(*found.of_tree, note))
    return found if found.today == "no" else replace(found, today=today, today_why=note)
