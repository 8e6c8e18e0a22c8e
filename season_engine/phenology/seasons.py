"""Stations' past seasons in arrays, each in its own weather, with the day an event came."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

from season_engine.phenology.station_record import StationRecord
from season_engine.site import Season, day_number
from season_engine.traces import CaseTraces
from season_engine.traces.cases import Case, SiteRecords
from season_engine.traces.record import Record

FloatArray = NDArray[np.float64]
IntArray = NDArray[np.int64]

DAYS = 365  # of a season, from its first


@dataclass(frozen=True)
class PastSeasons:
    """Whole seasons of stations, a case each, of one trace."""

    traces: CaseTraces
    station: IntArray  # place in the records, shape (seasons,)
    years: IntArray  # first year of each season
    observed: FloatArray  # day of the season on which the event came; NaN where nobody noted it


def past_seasons(
    records: Sequence[StationRecord],
    *,
    noted: bool = False,
    most: int | None = None,
    sites: SiteRecords | None = None,
) -> PastSeasons:
    """Every season that lies within its station's record; where `noted`, those alone with a date.

    Of more than `most` every second, third, ... is taken. `sites` are the records laid out already.
    """
    found = [
        (place, season)
        for place, record in enumerate(records)
        for season in whole_seasons(record)
        if not noted or season.year in record.observed
    ]
    found = found[:: max(1, -(-len(found) // most)) if most else 1]
    if sites is None:
        sites = SiteRecords([one.site for one in records], [Record(one.series) for one in records])
    cases = [Case(place, season, day_number(season.start) + DAYS - 1) for place, season in found]
    came = [records[place].observed.get(season.year, np.nan) for place, season in found]
    return PastSeasons(
        sites.traces(cases, DAYS),
        np.array([place for place, _ in found]),
        np.array([season.year for _, season in found]),
        np.array(came, dtype=np.float64),
    )


def whole_seasons(record: StationRecord) -> list[Season]:
    """The seasons all of whose days are in the record."""
    first = record.site.season_on(record.series.first_day)
    last = record.site.season_on(record.series.last_day)
    seasons = (first.shifted(later) for later in range(last.year - first.year + 1))
    return [
        season
        for season in seasons
        if season.start >= record.series.first_day and season.date_of(DAYS - 1) <= record.series.last_day
    ]
