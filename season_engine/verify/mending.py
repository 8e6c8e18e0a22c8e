"""Whole temperatures for a backtest: a day's value never rests on a reading of a later one."""

from __future__ import annotations

import datetime as dt
from collections.abc import Iterator
from dataclasses import dataclass

import numpy as np

from season_engine.errors import WeatherError
from season_engine.weather.checks import check_and_fill
from season_engine.weather.filling import filled
from season_engine.weather.quality import plain
from season_engine.weather.quality.readings import Readings, both_read, runs
from season_engine.weather.series import BoolArray, DailySeries, FloatArray
from season_engine.weather.sources.origins import GivenOrigin

PAST_DAYS = 3652  # looked back on to fill a gap
PLAIN_CHECKS = (plain.naught, plain.bounds, plain.crossed)  # each looks at one day alone


@dataclass(frozen=True)
class Mended:
    """Temperatures without NaN, and the days that were read."""

    series: DailySeries
    observed: BoolArray  # shape (days,)


def mended(raw: DailySeries, learnt_until: dt.date) -> Mended:
    """Fill what is missing without looking ahead.

    Up to `learnt_until`, before the first forecast, all checks and filling see that whole part. After it a
    reading is doubted only for what its own day shows, and a gap is filled from the days before it, so that
    cutting the record at any later day leaves every earlier value as it is. Raises WeatherError where
    there is no reading.
    """
    values = _believed(raw)
    observed = both_read(values)
    if not observed.any():
        raise WeatherError("there is no usable reading.")
    try:
        learnt = check_and_fill(raw.cut(learnt_until), source=GivenOrigin("station"))
    except WeatherError:  # it begins later
        start = int(np.flatnonzero(observed)[0])
    else:
        start = (learnt.series.first_day - raw.first_day).days
        part = slice(start, start + len(learnt.series))
        values[:, part] = learnt.series.tmin_c, learnt.series.tmax_c
        observed[part] = learnt.observed
    kept = slice(start, int(np.flatnonzero(observed)[-1]) + 1)
    first_day = raw.first_day + dt.timedelta(days=start)
    return Mended(_filled_forward(first_day, values[:, kept]), observed[kept])


def _believed(raw: DailySeries) -> FloatArray:
    """Readings without those that their own day shows to be false, shape (2, days)."""
    readings = Readings(raw)
    for check in PLAIN_CHECKS:
        readings.leave_out(tuple(check(readings)))
    return readings.values


def _filled_forward(first_day: dt.date, values: FloatArray) -> DailySeries:
    """Each gap from what came before it; filled values then count as read."""
    values = values.copy()
    for first, last in list(_gaps(values)):
        back = max(0, first - PAST_DAYS)
        part = DailySeries(first_day + dt.timedelta(days=back), *values[:, back : last + 1])
        whole = filled(part)
        values[:, first : last + 1] = np.array([whole.tmin_c, whole.tmax_c])[:, first - back :]
    return DailySeries(first_day, *values)


def _gaps(values: FloatArray) -> Iterator[tuple[int, int]]:
    """Runs of days without any reading, and single days with one of the two, in order."""
    missing = np.isnan(values)
    for first, last in runs(~both_read(values)):
        start = first
        for day in [*np.flatnonzero(~missing[:, first : last + 1].all(axis=0)) + first, last + 1]:
            if day > start:
                yield start, int(day) - 1
            if day <= last:
                yield int(day), int(day)
            start = int(day) + 1
