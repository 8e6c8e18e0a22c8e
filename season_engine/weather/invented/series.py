"""Invented daily temperatures: a pure function of a climate and a day, for trying the engine without data."""

from __future__ import annotations

import datetime as dt
from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

from season_engine.weather.series import DailySeries, FloatArray

# The same bits on every machine: noise is hashed from counters and summed in whole numbers, so that the
# order of a sum can't matter; the rest is element by element in + - * / and sqrt, which IEEE 754 rounds
# exactly. No library sine or exponential, no dot product, no random generator.

YEARS = 30
FAST_DAYS = 8  # length of the day-to-day kernel
YEAR_DAYS = 365  # half width of the year-to-year kernel
RANGE_FOLLOWS_WARMTH = 0.18  # a summer day one spread too warm has so much more daily range; in winter, less
RANGE_SPREAD = 0.33  # day-to-day spread of the daily range, as a share of it
SMALLEST_RANGE_SHARE = 0.15
STUCK_DAYS = 9
GAP_DAYS = (4, 11)

_FAST, _SLOW, _YEAR, _RANGE, *_FAULTS = range(7)  # independent noises; faults: kind, start and length
_EPOCH = dt.date(1970, 1, 1)
_64_BITS = (1 << 64) - 1

IntArray = NDArray[np.int64]


@dataclass(frozen=True)
class Climate:
    """What the weather of an invented yard is drawn from. Twelve-tuples run from January to December."""

    name: str
    seed: int
    mean_c: tuple[float, ...]  # monthly mean temperature in the reference year
    range_c: tuple[float, ...]  # monthly mean daily range
    day_spread_c: tuple[float, float]  # standard deviation of day-to-day anomalies, coldest and warmest month
    persistence: float  # share of a day's anomaly that the next day keeps
    slow_spread_c: float  # standard deviation of anomalies that last for weeks
    slow_days: int  # half width of their kernel
    year_spread_c: float  # standard deviation of anomalies that last for a year
    warming_c_per_decade: float
    reference_year: int
    gap_chance: float  # of a gap in a year
    stuck_chance: float  # of a sensor that stands still in a year, instead of a gap
    faults_begin: tuple[int, int]  # first and last day of the year on which one may begin


def demo_series(climate: Climate, on: dt.date) -> DailySeries:
    """Thirty years of invented days up to and including `on`, starting on 1 January.

    Values are rounded to 0.1 degC and NaN in gaps. A day's value depends on nothing but the climate and the
    day: two series of one climate agree on all the days they share.
    """
    first_day = dt.date(max(1, on.year - YEARS), 1, 1)
    first, last = (first_day - _EPOCH).days, (on - _EPOCH).days
    tmin_c, tmax_c = _extremes(climate, first, last)
    for year in range(first_day.year, on.year + 1):
        _lay_fault(climate, year, first, tmin_c, tmax_c)
    return DailySeries(first_day, tmin_c, tmax_c)


def _extremes(climate: Climate, first: int, last: int) -> tuple[FloatArray, FloatArray]:
    """Tmin and Tmax [degC] of days `first` to `last`, counted from 1970, before any fault."""
    days = np.arange(first, last + 1)
    usual_c = _through_months(climate.mean_c, days)
    coldest, warmest = min(climate.mean_c), max(climate.mean_c)
    warmth = (usual_c - coldest) / (warmest - coldest)  # 0 in the coldest month, 1 in the warmest
    winter_spread, summer_spread = climate.day_spread_c
    day_spread = winter_spread + (summer_spread - winter_spread) * warmth

    fast = _anomaly(climate, _FAST, first, last, _decaying(climate.persistence))
    slow = _anomaly(climate, _SLOW, first, last, _triangle(climate.slow_days))
    yearly = _anomaly(climate, _YEAR, first, last, _triangle(YEAR_DAYS))
    anomaly_c = day_spread * fast + climate.slow_spread_c * slow + climate.year_spread_c * yearly
    spread = np.sqrt(day_spread * day_spread + climate.slow_spread_c * climate.slow_spread_c)

    reference = (dt.date(climate.reference_year, 7, 1) - _EPOCH).days
    mean_c = usual_c + anomaly_c + climate.warming_c_per_decade * ((days - reference) / 3652.5)
    dryness = anomaly_c / spread * (2.0 * warmth - 1.0)  # clear skies: warm in summer, cold in winter
    noise = _anomaly(climate, _RANGE, first, last, _triangle(1))
    share = np.maximum(SMALLEST_RANGE_SHARE, 1.0 + RANGE_FOLLOWS_WARMTH * dryness + RANGE_SPREAD * noise)
    half_range_c = 0.5 * share * _through_months(climate.range_c, days)
    return np.rint((mean_c - half_range_c) * 10.0) / 10.0, np.rint((mean_c + half_range_c) * 10.0) / 10.0


def _through_months(monthly: tuple[float, ...], days: IntArray) -> FloatArray:
    """Value of each day on a smooth curve (Catmull-Rom) through the twelve values at mid-month."""
    dates = days.astype("datetime64[D]")
    months = dates.astype("datetime64[M]")
    day_of_month = (dates - months.astype("datetime64[D]")).astype(np.int64)
    length = ((months + 1).astype("datetime64[D]") - months.astype("datetime64[D]")).astype(np.int64)
    position = months.astype(np.int64) - 0.5 + (day_of_month + 0.5) / length  # months since mid-January 1970
    before = np.floor(position)
    t = position - before
    knots = np.array(monthly)
    p0, p1, p2, p3 = (knots[(before.astype(np.int64) + shift) % 12] for shift in (-1, 0, 1, 2))
    curve = 2.0 * p0 - 5.0 * p1 + 4.0 * p2 - p3 + (3.0 * (p1 - p2) + p3 - p0) * t
    result: FloatArray = p1 + 0.5 * t * (p2 - p0 + t * curve)
    return result


def _hash(climate: Climate, stream: int, counters: IntArray) -> NDArray[np.uint64]:
    """64 random bits for each counter (splitmix64: Steele, Lea and Flood 2014)."""
    start = (climate.seed * 0xD1342543DE82EF95 + stream * 0xDA942042E4DD58B5) & _64_BITS
    bits = counters.astype(np.uint64) * np.uint64(0x9E3779B97F4A7C15) + np.uint64(start)
    bits = (bits ^ (bits >> np.uint64(30))) * np.uint64(0xBF58476D1CE4E5B9)
    bits = (bits ^ (bits >> np.uint64(27))) * np.uint64(0x94D049BB133111EB)
    return bits ^ (bits >> np.uint64(31))


def _anomaly(climate: Climate, stream: int, first: int, last: int, kernel: IntArray) -> FloatArray:
    """Near-normal noise of days `first` to `last`, mean 0 and spread 1, made persistent by `kernel`."""
    bits = _hash(climate, stream, np.arange(first - kernel.size + 1, last + 1))
    a, b, c, d = ((bits >> np.uint64(shift)) & np.uint64(0xFFFF) for shift in (0, 16, 32, 48))
    white = (a + b + c + d).astype(np.int64) - 2 * 0xFFFF
    variance = 4 * (2**32 - 1) / 12  # of the sum of four uniform whole numbers of 16 bits
    summed = np.convolve(white, kernel, mode="valid")
    result: FloatArray = summed / np.sqrt(int((kernel * kernel).sum()) * variance)
    return result


def _decaying(persistence: float) -> IntArray:
    """Kernel that forgets like a first-order autoregression, cut off after `FAST_DAYS`."""
    weights = [1000.0]
    while len(weights) < FAST_DAYS:
        weights.append(weights[-1] * persistence)
    return np.array([round(weight) for weight in weights])


def _triangle(half_width: int) -> IntArray:
    """Kernel that rises and falls evenly over `half_width` days; one day leaves noise as it is."""
    return half_width - np.abs(np.arange(1 - half_width, half_width))


def _lay_fault(climate: Climate, year: int, first: int, tmin_c: FloatArray, tmax_c: FloatArray) -> None:
    """Put the year's gap or stuck sensor, if it has one, into the days counted from `first`."""
    counter = np.array([year])
    kind, start, length = (int(_hash(climate, stream, counter)[0] >> np.uint64(33)) for stream in _FAULTS)
    chance = kind / 2**31
    earliest, latest = climate.faults_begin
    at = (dt.date(year, 1, 1) - _EPOCH).days + earliest - 1 + start % (latest - earliest + 1) - first
    if chance < climate.gap_chance:
        days = GAP_DAYS[0] + length % (GAP_DAYS[1] - GAP_DAYS[0] + 1)
        tmin_c[at : at + days] = tmax_c[at : at + days] = np.nan
    elif chance < climate.gap_chance + climate.stuck_chance and at < tmin_c.size:
        tmin_c[at : at + STUCK_DAYS] = tmin_c[at]
        tmax_c[at : at + STUCK_DAYS] = tmax_c[at]
