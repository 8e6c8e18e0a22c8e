"""Finding what is wrong with daily temperatures, and mending what can be mended."""

from __future__ import annotations

import datetime as dt
from collections.abc import Iterable, Iterator

import numpy as np

from season_engine.errors import TooLittleWeatherError
from season_engine.weather.faults import EXTREMES, Done, Dropped, Fault, Missing
from season_engine.weather.filling import filled
from season_engine.weather.notices import TooFewCommonDays
from season_engine.weather.quality.examine import Flag, examine
from season_engine.weather.quality.readings import both_read, runs
from season_engine.weather.second.yard_terms import FEWEST_COMMON_DAYS, in_yard_terms, laid_on
from season_engine.weather.series import BoolArray, DailySeries, Weather
from season_engine.weather.sources.origins import Origin

Span = tuple[dt.date, dt.date]  # first and last day


def check_and_fill(
    raw: DailySeries,
    *,
    source: Origin,
    invented: bool = False,
    second: DailySeries | None = None,
    keep: Iterable[Span] = (),
    drop: Iterable[Span] = (),
) -> Weather:
    """Leave out false readings, fill what is missing, and say so.

    Parameters
    ----------
    raw : readings, which must have been cut at the day that counts as today: nothing else is looked at.
    source : where the readings come from.
    second : a second source's, cut at the same day. They stand in, in this yard's terms, where readings are
        missing: before the first and after the last too.
    keep, drop : first and last days of readings the grower says are right, or wrong, whatever checks find.

    The result starts and ends on a day read here or there. Raises TooLittleWeatherError if there is no
    reading at all.
    """
    frame, beside = _on_common_days(raw, second)
    dropped = _marked(frame, drop) & (~np.isnan(frame.tmin_c) | ~np.isnan(frame.tmax_c))
    believed = DailySeries(frame.first_day, *np.where(dropped, np.nan, [frame.tmin_c, frame.tmax_c]))
    likely = None if beside is None else in_yard_terms(examine(beside)[0], believed)
    good, flags = examine(believed, second=likely, keep=_marked(frame, keep))
    observed = _read(good)
    covered = observed if likely is None else observed | _read(likely)
    if not observed.any():
        raise TooLittleWeatherError(
            f"{source.name}: there is no usable reading.", hint="Check the file, or the day asked for."
        )
    first, last = (int(day) for day in np.flatnonzero(covered)[[0, -1]])
    kept = slice(first, last + 1)
    faults = [
        *_dropped_faults(frame, dropped, covered),
        *(_flag_fault(frame, flag, covered) for flag in flags),
        *_gap_faults(frame, observed, covered),
    ]
    faults.sort(key=lambda fault: (fault.first_day, fault.kind))
    return Weather(
        filled(_part(good, kept), None if likely is None else _part(likely, kept)),
        observed[kept],
        source,
        invented,
        tuple(faults),
        (TooFewCommonDays(FEWEST_COMMON_DAYS),) if beside is not None and likely is None else (),
        adjusted=None if likely is None else (covered & ~observed)[kept],
    )


def _on_common_days(raw: DailySeries, second: DailySeries | None) -> tuple[DailySeries, DailySeries | None]:
    """Both on the days of either."""
    if second is None or not len(second) or not len(raw):
        return raw, None
    first_day = min(raw.first_day, second.first_day)
    days = (max(raw.last_day, second.last_day) - first_day).days + 1
    return laid_on(raw, first_day, days), laid_on(second, first_day, days)


def _read(series: DailySeries) -> BoolArray:
    return both_read(np.array([series.tmin_c, series.tmax_c]))


def _part(series: DailySeries, days: slice) -> DailySeries:
    first_day = series.first_day + dt.timedelta(days=days.start)
    return DailySeries(first_day, series.tmin_c[days], series.tmax_c[days])


def _marked(series: DailySeries, spans: Iterable[Span]) -> BoolArray:
    """Days inside any of the spans, shape (days,)."""
    marked = np.zeros(len(series), dtype=bool)
    for first, last in spans:
        marked |= (series.days >= np.datetime64(first, "D")) & (series.days <= np.datetime64(last, "D"))
    return marked


def _days(series: DailySeries, first: int, last: int) -> tuple[dt.date, dt.date]:
    return series.first_day + dt.timedelta(days=first), series.first_day + dt.timedelta(days=last)


def _flag_fault(series: DailySeries, flag: Flag, covered: BoolArray) -> Fault:
    found = flag.finding
    done: Done = "kept" if flag.kept else "told"
    if flag.leaves_out:
        done = _replaced(found.first, found.last, covered)
    extremes = tuple(EXTREMES[row] for row in found.rows)
    return Fault(flag.check.kind, *_days(series, found.first, found.last), extremes, found.what, done)


def _replaced(first: int, last: int, covered: BoolArray) -> Done:
    """What became of days left out; those past the last good day are dropped, not filled."""
    if covered[first : last + 1].all():
        return "from second source"
    return "filled" if covered[last:].any() else "not replaced"


def _dropped_faults(series: DailySeries, dropped: BoolArray, covered: BoolArray) -> Iterator[Fault]:
    for first, last in runs(dropped):
        done = _replaced(first, last, covered)
        yield Fault("dropped", *_days(series, first, last), EXTREMES, Dropped(), done)


def _gap_faults(series: DailySeries, observed: BoolArray, covered: BoolArray) -> Iterator[Fault]:
    """Runs of days from the first reading on that came without a reading, or with one of the two."""
    first_read, last_read = (int(day) for day in np.flatnonzero(observed)[[0, -1]])
    last_covered = int(np.flatnonzero(covered)[-1])
    day = np.arange(len(series))
    missing = np.isnan([series.tmin_c, series.tmax_c])
    empty = missing.any(axis=0) & (day > first_read) & (day <= last_covered)
    for second in (False, True):
        for first, last in runs(empty & (covered == second)):
            lacking = np.flatnonzero(missing[:, first : last + 1].any(axis=1))
            extremes = tuple(EXTREMES[row] for row in lacking)
            found = Missing(last - first + 1, since_last=first > last_read)
            done: Done = "from second source" if second else "filled"
            yield Fault("gap", *_days(series, first, last), extremes, found, done)
