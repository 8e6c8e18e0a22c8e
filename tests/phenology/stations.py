"""The twelve stations of tests/data/japan/twelve, and their seasons as tables for the estimators."""

from __future__ import annotations

from functools import cache, partial
from pathlib import Path

import numpy as np

from season_engine.phenology.forecast import StationRecord
from season_engine.phenology.season_rows import DAYS, season_rows
from season_engine.verify.observations import read_observations
from season_engine.verify.station_files import Event
from tests.once import once_a_run

TWELVE = Path(__file__).parents[1] / "data" / "japan" / "twelve"
LAST_TRAINED = 2005


@cache
def twelve() -> dict[str, tuple[StationRecord, ...]]:
    """Records of each species' first flowers; the years after 2005 are mended without looking ahead."""
    files = (TWELVE / name for name in ("sites.csv", "weather.csv.gz", "events.csv"))
    found = once_a_run("twelve stations", partial(read_observations, *files, LAST_TRAINED))
    return {event.species: records for event, records in found.records.items() if isinstance(event, Event)}


def seasons_of(species: str, *, first: int = 0, last: int = 9999, every: int = 1):
    """X, y and the year of each station-season with a note, in order of years."""
    rows, days, years = [], [], []
    for record in twelve()[species][::every]:
        seasons = season_rows(record)
        noted = ~np.isnan(seasons.observed) & seasons.whole()
        noted &= (seasons.years >= first) & (seasons.years <= last)
        latitude = np.full((int(noted.sum()), 1), record.site.latitude)
        rows.append(np.hstack([latitude, seasons.tmin_c[noted], seasons.tmax_c[noted]]))
        days.append(seasons.observed[noted])
        years.append(seasons.years[noted])
    order = np.argsort(np.concatenate(years), kind="stable")
    table = np.concatenate(rows)[order]
    assert table.shape[1] == 1 + 2 * DAYS
    return table, np.concatenate(days)[order], np.concatenate(years)[order]
