"""Daily chill and heat as CSV, in the columns of the outside contract."""

from __future__ import annotations

import csv
import datetime as dt
import io

import numpy as np
from numpy.typing import NDArray

from season_engine.measures.table import daily_measures
from season_engine.site import Season, Site
from season_engine.traces import day_of_year
from season_engine.weather.series import Weather

COLUMNS = (
    "date",
    "tmin_c",
    "tmax_c",
    "day_length_h",
    "chilling_hours",
    "utah_units",
    "chill_portions",
    "gdd_c",
    "gdh_c",
    "observed_share",
)
DECIMALS = 12  # more than any reader needs, and short of a float's own noise


def measures_csv(
    site: Site,
    weather: Weather,
    *,
    first: dt.date | None = None,
    last: dt.date | None = None,
    base_c: float = 5.0,
    upper_c: float | None = None,
) -> str:
    """One row a day from `first` to `last` (default: all there is), each column that day's increment.

    Chill portions start from nothing at each season's start, and at `first`.
    """
    series = weather.series
    days = series.days
    shown = np.ones(days.size, dtype=bool)
    if first is not None:
        shown &= days >= np.datetime64(first, "D")
    if last is not None:
        shown &= days <= np.datetime64(last, "D")
    table = daily_measures(
        series.tmin_c,
        series.tmax_c,
        observed=weather.observed,
        latitude_deg=site.latitude,
        day_of_year=day_of_year(days),
        chill_restart=_restarts(site, days, first),
        base_c=base_c,
        upper_c=upper_c,
    )
    columns = [series.tmin_c, series.tmax_c, *(getattr(table, name) for name in COLUMNS[3:])]
    numbers = np.round(np.column_stack(columns)[shown], DECIMALS) + 0.0  # + 0.0: no minus nought
    file = io.StringIO()
    writer = csv.writer(file, lineterminator="\n")
    writer.writerow(COLUMNS)
    writer.writerows([str(day), *row] for day, row in zip(days[shown], numbers.tolist(), strict=True))
    return file.getvalue()


def _restarts(site: Site, days: NDArray[np.datetime64], first: dt.date | None) -> NDArray[np.bool_]:
    """Days on which chill starts from nothing: a season's first, and the first one asked for."""
    first_year, last_year = (day.item().year for day in (days[0], days[-1]))
    restarts = [Season(year, site.hemisphere).start for year in range(first_year, last_year + 1)]
    if first is not None:
        restarts.append(first)
    return np.isin(days, np.array(restarts, dtype="datetime64[D]"))
