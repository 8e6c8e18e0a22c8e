"""How far a tree's buds are this week, told in four stages."""

from __future__ import annotations

import datetime as dt
from collections.abc import Iterable
from typing import Literal

from season_engine.phenology.stages import AUTUMN, BUD_STAGES, DAYS_FROM_SWELLING
from season_engine.trees.growth import HARD_AFTER_LONGEST
from season_engine.windows.assess import Prospect
from season_engine.windows.tree_need import HARDENED

BudStage = Literal["resting", "swelling", "opening", "hardened"]
OPEN = range(9, 20)  # BBCH codes of buds that show green and of leaves that unfold
BURST_AFTER = dt.timedelta(days=DAYS_FROM_SWELLING[9])  # where nothing dates the opening itself
SWELLING = range(1, BUD_STAGES - 1)


def bud_stage(prospect: Prospect) -> BudStage | None:
    """The stage on the view's day by the middle dates of a tree's markers; None where none tells of buds.

    A tree in last season's leaf, as far as the catalogue dates its fall, is still hardened.
    """
    on, staged = prospect.view.on, _staged(prospect)
    swelling, opening = _first(prospect, staged, SWELLING), _first(prospect, staged, OPEN)
    if swelling is None and opening is None:
        return None
    leaf_fall = _last(prospect, staged, AUTUMN)
    if _hard(prospect) <= on or (leaf_fall is not None and on < leaf_fall):
        return "hardened"
    if swelling is not None and opening is None:
        opening = swelling + BURST_AFTER
    if opening is not None and opening <= on:
        return "opening"
    return "swelling" if swelling is not None and swelling <= on else "resting"


def _staged(prospect: Prospect) -> dict[str, int]:
    markers = prospect.species.markers
    return {name: marker.bbch for name, marker in markers.items() if marker.bbch is not None}


def _first(prospect: Prospect, staged: dict[str, int], codes: range) -> dt.date | None:
    return min(_dates(prospect, staged, codes), default=None)


def _last(prospect: Prospect, staged: dict[str, int], codes: range) -> dt.date | None:
    return max(_dates(prospect, staged, codes), default=None)


def _dates(prospect: Prospect, staged: dict[str, int], codes: range) -> Iterable[dt.date]:
    found = (prospect.marker_date(name, 0) for name, code in staged.items() if code in codes)
    return (date for date in found if date is not None)


def _hard(prospect: Prospect) -> dt.date:
    """When this season's shoots are hard: by its marker, else so long after the longest day."""
    markers = prospect.species.markers
    found = (prospect.marker_date(name, 0) for name in HARDENED if name in markers)
    season = prospect.view.site.season_on(prospect.view.on)
    return next((date for date in found if date), season.longest_day + HARD_AFTER_LONGEST)
