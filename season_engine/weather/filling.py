"""Likely readings for days that have none."""

from __future__ import annotations

from collections.abc import Iterator

import numpy as np

from season_engine.weather.normals import day_of_leap_year, normals
from season_engine.weather.quality.readings import both_read, runs
from season_engine.weather.series import BoolArray, DailySeries, FloatArray

SHORT_GAP_DAYS = 5  # bridged by a straight line where the record is too young for more
LEARNING_DAYS = 730  # from which on a record says how long its weather lasts
REACH_DAYS = 15  # readings this near a gap count
STRETCH_DAYS = 60  # filled at a time
FADING_DAYS = 90  # beyond which no day is taken to know of another
OWN_NOISE = 0.02  # of the variance: keeps the equations well posed
TREND_DAYS = 3653  # from which on the climate's own trend is taken out of what is usual
SMOOTH = 1024  # whole multiples of it are soon turned into waves and back


def filled(series: DailySeries, likely: DailySeries | None = None) -> DailySeries:
    """The series without NaN; what was read stays as it is.

    What is usual that day (or `likely`, a second source in this yard's terms on the same days) plus the part
    of the anomaly around the gap that should still hold: simple kriging with the record's own autocovariance
    of both extremes, so that it fades as this place's weather does. Records under two years without a second
    source: a straight line up to 5 days, else what is usual, joined on at both ends.
    """
    values = np.array([series.tmin_c, series.tmax_c])
    missing = np.isnan(values)
    if not missing.any():
        return series
    second = np.full_like(values, np.nan) if likely is None else np.array([likely.tmin_c, likely.tmax_c])
    expected = _usual(np.where(missing, second, values), series)
    if likely is not None:
        expected = np.where(np.isnan(second), expected, second)
    elif np.count_nonzero(~missing, axis=1).min() < LEARNING_DAYS:
        return _uncrossed(series, np.array([_bridged(*pair) for pair in zip(values, expected, strict=True)]))
    rest = _kriged(np.where(missing, np.nan, values - expected))
    return _uncrossed(series, np.where(missing, expected + rest, values))


def _uncrossed(series: DailySeries, values: FloatArray) -> DailySeries:
    """A filled Tmin never passes an observed Tmax, nor the other way."""
    low, high = values
    no_low = np.isnan(series.tmin_c)
    low = np.where(no_low, np.minimum(low, high), low)
    return DailySeries(series.first_day, low, np.maximum(low, high))


def _usual(values: FloatArray, series: DailySeries) -> FloatArray:
    """Normals of each day, with a long record's trend, shape (2, days)."""
    calendar_day = day_of_leap_year(series.days)
    usual = np.array([normals(row, calendar_day)[calendar_day] for row in values])
    if usual.shape[1] >= TREND_DAYS:
        time = np.linspace(-1.0, 1.0, usual.shape[1])
        for row, anomaly in enumerate(values - usual):
            read = ~np.isnan(anomaly)
            usual[row] += np.polyval(np.polyfit(time[read], anomaly[read], 1), time)
    return usual


def _bridged(values: FloatArray, usual: FloatArray) -> FloatArray:
    """Short gaps by a straight line; long ones by what is usual, shifted so that both ends join on."""
    missing = np.isnan(values)
    days = np.arange(values.size)
    line = np.interp(days, days[~missing], values[~missing])
    joined = usual + np.interp(days, days[~missing], (values - usual)[~missing])
    result = values.copy()
    for first, last in runs(missing):
        gap = slice(first, last + 1)
        result[gap] = (line if last - first < SHORT_GAP_DAYS else joined)[gap]
    return result


def _kriged(anomaly: FloatArray) -> FloatArray:
    """The best linear guess of each missing anomaly from those read nearby, 0 elsewhere; shape (2, days)."""
    both_ways = _both_ways(_covariance(anomaly))
    result = np.zeros_like(anomaly)
    for first, last in _stretches(~both_read(anomaly)):
        start = max(0, first - REACH_DAYS)
        near = anomaly[:, start : last + 1 + REACH_DAYS]
        row, day = np.nonzero(~np.isnan(near))
        wanted_row, wanted_day = np.nonzero(np.isnan(near[:, first - start : last + 1 - start]))
        if not row.size:
            continue
        among = _between(both_ways, row, day, row, day)
        across = _between(both_ways, wanted_row, wanted_day + first - start, row, day)
        among[np.diag_indices_from(among)] *= 1.0 + OWN_NOISE
        result[wanted_row, wanted_day + first] = across @ np.linalg.solve(among, near[row, day])
    return result


def _stretches(missing: BoolArray) -> Iterator[tuple[int, int]]:
    for first, last in runs(missing):
        for start in range(first, last + 1, STRETCH_DAYS):
            yield start, min(start + STRETCH_DAYS - 1, last)


def _covariance(anomaly: FloatArray) -> FloatArray:
    """Of one extreme now and one so many days later, shape (2, 2, days); it fades to nothing.

    Sums over all days with gaps as 0 keep it a possible covariance.
    """
    known = np.nan_to_num(anomaly)
    size = known.shape[1]
    days = min(FADING_DAYS, size)
    padded = -(-(size + days) // SMOOTH) * SMOOTH  # so that the end doesn't meet the beginning
    waves = np.fft.rfft(known, padded)
    pairs = np.fft.irfft(np.conj(waves)[:, None] * waves[None, :], padded)[..., :days]
    fading = 1.0 - np.arange(days) / FADING_DAYS
    result: FloatArray = pairs * fading / size
    return result


def _both_ways(covariance: FloatArray) -> FloatArray:
    """The same of so many days earlier to so many later, and of nothing at both ends, shape (2, 2, lags)."""
    earlier = covariance.transpose(1, 0, 2)[..., :0:-1]
    nothing = np.zeros((2, 2, 1))
    return np.concatenate((nothing, earlier, covariance, nothing), axis=2)


def _between(
    both_ways: FloatArray, row: np.ndarray, day: np.ndarray, other_row: np.ndarray, other_day: np.ndarray
) -> FloatArray:
    """Covariance of each reading with each other one."""
    farthest = both_ways.shape[2] // 2
    lag = np.clip(other_day[None, :] - day[:, None], -farthest, farthest)
    result: FloatArray = both_ways[row[:, None], other_row[None, :], lag + farthest]
    return result
