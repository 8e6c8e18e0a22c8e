"""Whether a window's dates and hazards hang on the pot."""

from __future__ import annotations

from season_engine.markers.base import behind
from season_engine.species.catalogue import Species
from season_engine.species.schema import Window


def markers_behind(species: Species, window: Window) -> frozenset[str]:
    """The markers that a window opens and closes by, and that its warmth has to last until."""
    until = (rule.until for rule in window.hazard if rule.name == "short season")
    return behind([*window.opens, *window.closes, *until], species.markers)


def of_roots(species: Species, window: Window) -> bool:
    """Whether it looks into the pot: for a date or for what harms."""
    by_markers = any(species.markers[name].of_roots for name in markers_behind(species, window))
    return by_markers or any("root " in rule.name for rule in window.hazard)
