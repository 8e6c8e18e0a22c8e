"""Daily chill and heat of a site's weather, season by season."""

from __future__ import annotations

import datetime as dt
from collections.abc import Iterable, Mapping
from dataclasses import dataclass
from typing import Any, Literal

import numpy as np
from numpy.typing import NDArray

from season_engine.facts import HeatUnit
from season_engine.measures.chill_models import CHILL_MODELS, ChillModel
from season_engine.measures.coverage import Missing
from season_engine.measures.degree_days import Cutoff, degree_days_by
from season_engine.measures.heat import BASE_C
from season_engine.measures.heat_models import HEAT_MODELS, HeatModel
from season_engine.measures.root_zone_extremes import root_zone_extremes
from season_engine.measures.table import daily_increments, daily_measures
from season_engine.pot import Pot
from season_engine.site import Season, Site
from season_engine.traces.trace_set import day_of_year
from season_engine.weather.series import Weather

FloatArray = NDArray[np.float64]

ROOT_ZONE_UNITS = dict.fromkeys(("root_zone_min_c", "root_zone_mean_c", "root_zone_max_c"), "degC")
WARM_UP_DAYS = 30  # days before the first one asked for, so that the largest pot has forgotten how it began


def units(base_c: float = BASE_C) -> dict[str, str]:
    """Each column that is always there and what it is counted in; `base_c` is that of the degree days."""
    return {
        "tmin_c": "degC",
        "tmax_c": "degC",
        "day_length_h": "hours",
        "chilling_hours": "hours from 0 to 7.2 degC",
        "utah_units": "Utah chill units",
        "chill_portions": "chill portions",
        "gdd_c": str(HeatUnit(base_c)),
        "gdh_c": "growing degree hours (degC)",
        "observed_share": "share of the day's hours, 0 to 1",
    }


@dataclass(frozen=True)
class MeasuredDays:
    """Consecutive days and their measures, each day's increment."""

    days: NDArray[np.datetime64]  # shape (days,), as ``datetime64[D]``
    columns: Mapping[str, FloatArray]  # by name and in order, each shape (days,); NaN: no number


def measured_days(
    site: Site,
    weather: Weather,
    *,
    first: dt.date | None = None,
    last: dt.date | None = None,
    base_c: float = BASE_C,
    upper_c: float | None = None,
    cutoff: Cutoff = "horizontal",
    chill: Iterable[str] = (),
    heat: Iterable[str] = (),
    degree_days: Iterable[str] = (),
    pot: Pot | None = None,
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
    pot : lowest, mean and highest temperature in its middle, three columns more, the last ones.
    missing : ``fill`` counts days that were filled like any other; else they are left out, and it says what
        the sums of a day do about hours that then lack.
    """
    days = weather.series.days
    start, stop = _asked_for(days, first, last)
    # nights lean on the day before and the day after; where no day is asked for, some day gives the columns
    near = slice(max(min(start, days.size - 1) - 1, 0), stop + 1)
    days, observed = days[near], weather.observed[near]
    counted = np.ones(days.size, bool) if missing == "fill" else observed
    extremes = weather.series.tmin_c[near], weather.series.tmax_c[near]
    tmin, tmax = (np.where(counted, one, np.nan) for one in extremes)
    when: dict[str, Any] = {
        "latitude_deg": site.latitude,
        "day_of_year": day_of_year(days),
        "chill_restart": _restarts(site, days, first),
        "missing": "refuse" if missing == "fill" else missing,
    }
    table = daily_measures(tmin, tmax, observed=observed, base_c=base_c, upper_c=upper_c, **when)
    columns = {"tmin_c": tmin, "tmax_c": tmax, **vars(table)}
    columns = {name: columns[name] for name in units()}
    for model in _models(chill, heat):
        columns[model.column] = daily_increments(model, tmin, tmax, **when)
    for method in degree_days:
        columns[degree_days_column(method)] = degree_days_by(method, tmin, tmax, base_c, upper_c, cutoff)
    shown = slice(start - near.start, stop - near.start)
    columns = {name: values[shown] for name, values in columns.items()}
    if pot is not None:
        columns |= _root_zone(site, weather, pot, slice(start, stop), filled=missing == "fill")
    return MeasuredDays(days[shown], columns)


def _asked_for(days: NDArray[np.datetime64], first: dt.date | None, last: dt.date | None) -> tuple[int, int]:
    """Where the days from `first` to `last` begin and end."""
    start = 0 if first is None else int(np.searchsorted(days, np.datetime64(first, "D")))
    stop = days.size if last is None else int(np.searchsorted(days, np.datetime64(last, "D"), "right"))
    return start, max(start, stop)


def _models(chill: Iterable[str], heat: Iterable[str]) -> list[ChillModel | HeatModel]:
    return [*(CHILL_MODELS[key] for key in chill), *(HEAT_MODELS[key] for key in heat)]


def _root_zone(
    site: Site, weather: Weather, pot: Pot, shown: slice, *, filled: bool
) -> dict[str, FloatArray]:
    """Columns of the middle of a pot on the days shown, which the days before them have warmed or cooled."""
    series = weather.series
    near = slice(max(shown.start - WARM_UP_DAYS, 0), shown.stop + 1)
    counted = np.ones(series.days.size, bool) if filled else weather.observed
    found = root_zone_extremes(
        *(np.where(counted, one, np.nan)[near] for one in (series.tmin_c, series.tmax_c)),
        latitude_deg=site.latitude,
        day_of_year=day_of_year(series.days[near]),
        pot=pot,
    )
    days = slice(shown.start - near.start, shown.stop - near.start)
    # Rounded, so that a day is the same wherever the table begins.
    return {name: np.round(values[days], 3) for name, values in zip(ROOT_ZONE_UNITS, found, strict=True)}


def rival_units(
    base_c: float, *, chill: Iterable[str] = (), heat: Iterable[str] = (), degree_days: Iterable[str] = ()
) -> dict[str, str]:
    """The columns that rival models and methods add, and what each is counted in."""
    degrees = {degree_days_column(method): f"degree days above {base_c:g} degC" for method in degree_days}
    return {**{model.column: model.unit for model in _models(chill, heat)}, **degrees}


def degree_days_column(method: str) -> str:
    """Name of the column of degree days by a method, its unit as that of ``gdd_c``."""
    return f"{method}_degree_days_c"


def _restarts(site: Site, days: NDArray[np.datetime64], first: dt.date | None) -> NDArray[np.bool_]:
    """Days on which chill starts from nothing: a season's first, and the first one asked for."""
    first_year, last_year = (day.item().year for day in (days[0], days[-1]))
    restarts = [Season(year, site.hemisphere).start for year in range(first_year, last_year + 1)]
    if first is not None:
        restarts.append(first)
    return np.isin(days, np.array(restarts, dtype="datetime64[D]"))
