"""One station's temperatures and the dates of one event there."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass

from season_engine.site import Site
from season_engine.weather.series import DailySeries


@dataclass(frozen=True)
class StationRecord:
    """One station's whole temperatures and the event's dates there."""

    site: Site
    series: DailySeries  # no NaN
    observed: Mapping[int, float]  # season's first year -> day of the season
