"""Daily chill and heat as columns, and as CSV, in the names of the outside contract."""

from __future__ import annotations

import csv
import datetime as dt
import io
import math
from collections.abc import Iterable
from dataclasses import dataclass
from typing import Any, Literal

import numpy as np
from numpy.typing import NDArray

from season_engine.measures.chill_models import CHILL_MODELS, ChillModel
from season_engine.measures.coverage import Missing
from season_engine.measures.degree_days import Cutoff, degree_days_by
from season_engine.measures.heat_models import HEAT_MODELS, HeatModel
from season_engine.measures.table import daily_increments, daily_measures
from season_engine.site import Season, Site
from season_engine.traces import day_of_year
from season_engine.weather.series import Weather

FloatArray = NDArray[np.float64]

MEASURES = (
    "day_length_h",
    "chilling_hours",
    "utah_units",
    "chill_portions",
    "gdd_c",
    "gdh_c",
    "observed_share",
)
COLUMNS = ("date", "tmin_c", "tmax_c", *MEASURES)
DECIMALS = 12  # more than any reader needs, and short of a float's own noise


@dataclass(frozen=True)
class MeasuredDays:
    """Consecutive days with what was measured on each."""

    days: NDArray[np.datetime64]  # shape (days,), as ``datetime64[D]``
    columns: dict[str, FloatArray]  # by name and in order, each shape (days,); NaN where there is no number


def measured_days(
    site: Site,
    weather: Weather,
    *,
    first: dt.date | None = None,
    last: dt.date | None = None,
    base_c: float = 5.0,
    upper_c: float | None = None,
    cutoff: Cutoff = "horizontal",
    chill: Iterable[str] = (),
    heat: Iterable[str] = (),
    degree_days: Iterable[str] = (),
    missing: Missing | Literal["fill"] = "fill",
) -> MeasuredDays:
    """Every measure of each day from `first` to `last` (default: all there is), each that day's increment.

    Chill portions start from nothing at each season's start, and at `first`.

    Parameters
    ----------
    base_c, upper_c : base and cap of the degree days [degC].
    cutoff : what the methods in `degree_days` do above the cap; ``gdd_c`` is always held level.
    chill, heat, degree_days : keys of CHILL_MODELS, HEAT_MODELS and names of `degree_days.METHODS`: a column
        more each, in this order, behind the others.
    missing : ``fill`` counts days that were filled like any other; else they are left out, and it says what
        the sums of a day do about hours that then lack.
    """
    series, days = weather.series, weather.series.days
    counted = np.ones(days.size, bool) if missing == "fill" else weather.observed
    tmin, tmax = (np.where(counted, one, np.nan) for one in (series.tmin_c, series.tmax_c))
    when: dict[str, Any] = {
        "latitude_deg": site.latitude,
        "day_of_year": day_of_year(days),
        "chill_restart": _restarts(site, days, first),
        "missing": "refuse" if missing == "fill" else missing,
    }
    table = daily_measures(tmin, tmax, observed=weather.observed, base_c=base_c, upper_c=upper_c, **when)
    columns = {"tmin_c": tmin, "tmax_c": tmax, **{name: getattr(table, name) for name in MEASURES}}
    models: list[ChillModel | HeatModel] = [CHILL_MODELS[key] for key in chill]
    models += [HEAT_MODELS[key] for key in heat]
    columns |= {model.column: daily_increments(model, tmin, tmax, **when) for model in models}
    for method in degree_days:
        columns[degree_days_column(method)] = degree_days_by(method, tmin, tmax, base_c, upper_c, cutoff)
    shown = _shown(days, first, last)
    return MeasuredDays(days[shown], {name: values[shown] for name, values in columns.items()})


def degree_days_column(method: str) -> str:
    """Name of the column of degree days by a method, its unit as that of ``gdd_c``."""
    return f"{method}_degree_days_c"


def measures_csv(measured: MeasuredDays) -> str:
    """One row a day; nothing between the commas where there is no number."""
    file = io.StringIO()
    writer = csv.writer(file, lineterminator="\n")
    writer.writerow(["date", *measured.columns])
    # + 0.0: no minus nought
    numbers = np.round(np.column_stack([*measured.columns.values()]), DECIMALS) + 0.0
    for day, row in zip(measured.days, numbers.tolist(), strict=True):
        writer.writerow([str(day), *("" if math.isnan(value) else value for value in row)])
    return file.getvalue()


def _shown(days: NDArray[np.datetime64], first: dt.date | None, last: dt.date | None) -> NDArray[np.bool_]:
    shown = np.ones(days.size, dtype=bool)
    if first is not None:
        shown &= days >= np.datetime64(first, "D")
    if last is not None:
        shown &= days <= np.datetime64(last, "D")
    return shown


def _restarts(site: Site, days: NDArray[np.datetime64], first: dt.date | None) -> NDArray[np.bool_]:
    """Days on which chill starts from nothing: a season's first, and the first one asked for."""
    first_year, last_year = (day.item().year for day in (days[0], days[-1]))
    restarts = [Season(year, site.hemisphere).start for year in range(first_year, last_year + 1)]
    if first is not None:
        restarts.append(first)
    return np.isin(days, np.array(restarts, dtype="datetime64[D]"))
