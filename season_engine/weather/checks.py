"""Finding what is wrong with daily temperatures, and mending what can be mended.

Limits follow the customary checks of climate archives (spikes, streaks, gaps) where those give numbers, and
our judgement for a personal sensor where they don't.
"""

from __future__ import annotations

import datetime as dt
from collections.abc import Iterator

import numpy as np

from season_engine.errors import WeatherError
from season_engine.weather.normals import day_of_leap_year, normals
from season_engine.weather.series import BoolArray, DailySeries, Fault, FloatArray, Weather

SPIKE_C = 25.0  # against both neighbours
STREAK_DAYS = 5  # both extremes the same to a tenth of a degree
COARSE_STREAK_DAYS = 15  # where readings are whole or half degrees, equal days happen
COARSE_SHARE = 0.9  # of the readings; of readings in tenths one in five is a half or whole degree by chance
SHORT_GAP_DAYS = 5  # bridged by a straight line; longer gaps by the usual course of the year


def check_and_fill(raw: DailySeries, *, source: str, invented: bool = False) -> Weather:
    """Leave out false readings, fill what is missing, and say so.

    `raw` must have been cut at the day that counts as today: nothing else is looked at. The result starts and
    ends on an observed day. Raises WeatherError if there is no reading at all.
    """
    still, spikes = _streaks(raw), [_spikes(raw.tmin_c), _spikes(raw.tmax_c)]
    stuck = np.zeros(len(raw), dtype=bool)
    for first, last in still:
        stuck[first : last + 1] = True
    tmin_c = np.where(stuck | spikes[0], np.nan, raw.tmin_c)
    tmax_c = np.where(stuck | spikes[1], np.nan, raw.tmax_c)
    observed = ~(np.isnan(tmin_c) | np.isnan(tmax_c))
    if not observed.any():
        raise WeatherError(
            f"{source}: there is no usable reading.", hint="Check the file, or the day asked for."
        )
    first, last = (int(day) for day in np.flatnonzero(observed)[[0, -1]])
    kept = slice(first, last + 1)
    series = DailySeries(raw.first_day + dt.timedelta(days=first), tmin_c[kept], tmax_c[kept])
    empty = np.isnan(raw.tmin_c) | np.isnan(raw.tmax_c)
    faults = [
        *_streak_faults(raw, still, last),
        *_spike_faults(raw, spikes, last),
        *_gap_faults(series, empty[kept]),
    ]
    faults.sort(key=lambda fault: (fault.first_day, fault.kind))
    return Weather(_filled(series), observed[kept], source, invented, tuple(faults))


def _runs(flags: BoolArray) -> Iterator[tuple[int, int]]:
    """First and last position of each run of true flags."""
    edges = np.flatnonzero(np.diff(np.concatenate(([False], flags, [False])).astype(np.int8)))
    return zip(edges[::2].tolist(), (edges[1::2] - 1).tolist(), strict=True)


def _fault(kind: str, series: DailySeries, first: int, last: int, what: str) -> Fault:
    days = [series.first_day + dt.timedelta(days=day) for day in (first, last)]
    return Fault(kind, days[0], days[1], f"{_span(days[0], days[1])}: {what}")


def _and_filled(last: int, end: int) -> str:
    """What lies past the last good day `end` is dropped, not filled."""
    return " and filled" if last <= end else ""


def _span(first: dt.date, last: dt.date) -> str:
    """Days as a grower writes them: "14-22 Mar 2019"."""
    end = f"{last.day} {last:%b} {last.year}"
    if first == last:
        return end
    if first.year != last.year:
        return f"{first.day} {first:%b} {first.year} - {end}"
    return f"{first.day}-{end}" if first.month == last.month else f"{first.day} {first:%b} - {end}"


def _is_coarse(series: DailySeries) -> bool:
    """Whether nearly all readings are of half or whole degrees, Celsius or (whole ones) Fahrenheit."""
    values = np.concatenate((series.tmin_c, series.tmax_c))
    values = values[~np.isnan(values)]
    if not values.size:
        return False
    shares = [np.mean(np.abs(steps - np.round(steps)) < 1e-6) for steps in (values * 2.0, values * 1.8)]
    return bool(max(shares) >= COARSE_SHARE)


def _streaks(series: DailySeries) -> list[tuple[int, int]]:
    """First and last day of each time the sensor stood still: both extremes the same for too many days."""
    longest = COARSE_STREAK_DAYS if _is_coarse(series) else STREAK_DAYS
    as_before = np.zeros(len(series), dtype=bool)
    as_before[1:] = (np.diff(series.tmin_c) == 0.0) & (np.diff(series.tmax_c) == 0.0)
    return [(second - 1, last) for second, last in _runs(as_before) if last - second + 2 >= longest]


def _spikes(values: FloatArray) -> BoolArray:
    """Readings far above, or far below, those of both neighbouring days."""
    step = np.diff(values)
    spike = np.zeros(values.size, dtype=bool)
    spike[1:-1] = np.minimum(step[:-1], -step[1:]) >= SPIKE_C
    spike[1:-1] |= np.minimum(-step[:-1], step[1:]) >= SPIKE_C
    return spike


def _streak_faults(series: DailySeries, still: list[tuple[int, int]], end: int) -> Iterator[Fault]:
    for first, last in still:
        reading = f"{series.tmin_c[first]:.1f} / {series.tmax_c[first]:.1f} degC"
        what = f"the sensor stood still at {reading} for {last - first + 1} days; those days are left out"
        yield _fault("stuck", series, first, last, f"{what}{_and_filled(last, end)}.")


def _spike_faults(series: DailySeries, spikes: list[BoolArray], end: int) -> Iterator[Fault]:
    for name, values, spike in zip(
        ("lowest", "highest"), (series.tmin_c, series.tmax_c), spikes, strict=True
    ):
        for day in np.flatnonzero(spike).tolist():
            far = np.abs(values[[day - 1, day + 1]] - values[day]).min()
            what = (
                f"the {name} reading, {values[day]:.1f} degC, is {far:.0f} degC off the days before and after"
            )
            yield _fault("spike", series, day, day, f"{what}; it is left out{_and_filled(day, end)}.")


def _gap_faults(series: DailySeries, empty: BoolArray) -> Iterator[Fault]:
    """Runs of days that came without a reading, or with one of the two."""
    for first, last in _runs(empty):
        days = last - first + 1
        length = "a day" if days == 1 else f"{days} days"
        yield _fault("gap", series, first, last, f"readings are missing for {length}; filled.")


def _filled(series: DailySeries) -> DailySeries:
    """Fill what is missing; a filled Tmin never passes an observed Tmax, nor the other way."""
    tmin_c, tmax_c = _bridged(series.tmin_c, series), _bridged(series.tmax_c, series)
    no_tmin = np.isnan(series.tmin_c)
    tmin_c = np.where(no_tmin, np.minimum(tmin_c, tmax_c), tmin_c)
    return DailySeries(series.first_day, tmin_c, np.maximum(tmin_c, tmax_c))


def _bridged(values: FloatArray, series: DailySeries) -> FloatArray:
    """Short gaps by a straight line; long ones by normals, shifted so that both ends join on."""
    missing = np.isnan(values)
    days = np.arange(values.size)
    result = values.copy()
    long_gap = np.zeros(values.size, dtype=bool)
    for first, last in _runs(missing):
        long_gap[first : last + 1] = last - first + 1 > SHORT_GAP_DAYS
    usual = np.zeros(values.size)
    if long_gap.any():
        calendar_day = day_of_leap_year(series.days)
        usual = normals(values, calendar_day)[calendar_day]
    line = np.interp(days, days[~missing], values[~missing])
    anomaly = np.interp(days, days[~missing], (values - usual)[~missing])
    result[missing] = np.where(long_gap, usual + anomaly, line)[missing]
    return result
