"""Finding what is wrong with daily temperatures, and mending what can be mended."""

from __future__ import annotations

import datetime as dt
from collections.abc import Iterable, Iterator

import numpy as np

from season_engine.errors import WeatherError
from season_engine.facts import Day
from season_engine.messages import Message
from season_engine.weather.filling import filled
from season_engine.weather.quality.examine import Flag, examine
from season_engine.weather.quality.readings import both_read, runs
from season_engine.weather.second_source import FEWEST_COMMON_DAYS, in_yard_terms, laid_on
from season_engine.weather.series import BoolArray, DailySeries, Fault, Weather

Span = tuple[dt.date, dt.date]  # first and last day

TOO_FEW_COMMON = Message(
    "the second source shares fewer than {n} days with these readings and is not used", n=FEWEST_COMMON_DAYS
)


_READINGS_OR_DAYS = {  # both extremes? more than a day?
    (False, False): Message("it is left out{mended}"),
    (False, True): Message("those readings are left out{mended}"),
    (True, False): Message("that day is left out{mended}"),
    (True, True): Message("those days are left out{mended}"),
}


def check_and_fill(
    raw: DailySeries,
    *,
    source: str,
    invented: bool = False,
    neighbour: DailySeries | None = None,
    keep: Iterable[Span] = (),
    drop: Iterable[Span] = (),
) -> Weather:
    """Leave out false readings, fill what is missing, and say so.

    Parameters
    ----------
    raw : readings, which must have been cut at the day that counts as today: nothing else is looked at.
    source : as it is printed.
    neighbour : a second source, cut at the same day. It stands in, in this yard's terms, where readings are
        missing: before the first and after the last too.
    keep, drop : first and last days of readings the grower says are right, or wrong, whatever checks find.

    The result starts and ends on a day read here or there. Raises WeatherError if there is no reading at all.
    """
    frame, second = _on_common_days(raw, neighbour)
    dropped = _marked(frame, drop) & (~np.isnan(frame.tmin_c) | ~np.isnan(frame.tmax_c))
    believed = DailySeries(frame.first_day, *np.where(dropped, np.nan, [frame.tmin_c, frame.tmax_c]))
    likely = None if second is None else in_yard_terms(examine(second)[0], believed)
    good, flags = examine(believed, neighbour=likely, keep=_marked(frame, keep))
    observed = _read(good)
    covered = observed if likely is None else observed | _read(likely)
    if not observed.any():
        raise WeatherError(
            f"{source}: there is no usable reading.", hint="Check the file, or the day asked for."
        )
    first, last = (int(day) for day in np.flatnonzero(covered)[[0, -1]])
    kept = slice(first, last + 1)
    faults = [
        *_dropped_faults(frame, dropped, covered),
        *(_flag_fault(frame, flag, covered) for flag in flags),
        *_gap_faults(frame, ~_read(frame), observed, covered),
    ]
    faults.sort(key=lambda fault: (fault.first_day, fault.kind))
    return Weather(
        filled(_part(good, kept), None if likely is None else _part(likely, kept)),
        observed[kept],
        source,
        invented,
        tuple(faults),
        (TOO_FEW_COMMON,) if second is not None and likely is None else (),
        adjusted=None if likely is None else (covered & ~observed)[kept],
    )


def _on_common_days(
    raw: DailySeries, neighbour: DailySeries | None
) -> tuple[DailySeries, DailySeries | None]:
    """Both on the days of either."""
    if neighbour is None or not len(neighbour) or not len(raw):
        return raw, None
    first_day = min(raw.first_day, neighbour.first_day)
    days = (max(raw.last_day, neighbour.last_day) - first_day).days + 1
    return laid_on(raw, first_day, days), laid_on(neighbour, first_day, days)


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


def _fault(kind: str, series: DailySeries, first: int, last: int, what: Message) -> Fault:
    days = [series.first_day + dt.timedelta(days=day) for day in (first, last)]
    text = Message("{days}: {what}", days=_span(days[0], days[1]), what=what)
    return Fault(kind, days[0], days[1], text)


def _span(first: dt.date, last: dt.date) -> Message:
    """Days as a grower writes them: "14-22 Mar 2019"."""
    end = Day(last, year=True)
    if first == last:
        return Message("{date}", date=end)
    if (first.year, first.month) == (last.year, last.month):
        return Message("{day}-{last}", day=first.day, last=end)
    return Message("{first} - {last}", first=Day(first, year=first.year != last.year), last=end)


def _flag_fault(series: DailySeries, flag: Flag, covered: BoolArray) -> Fault:
    found = flag.finding
    if flag.kept:
        done = Message("kept, as season.toml says")
    elif not flag.leaves_out:
        done = Message("if the sensor was moved, drop the days before, or compare the years with care")
    else:
        what = _READINGS_OR_DAYS[len(found.rows) > 1, found.first != found.last]
        done = Message(what, mended=_and_mended(found.first, found.last, covered))
    text = Message("{reason}; {done}.", reason=found.reason, done=done)
    return _fault(flag.check.kind, series, found.first, found.last, text)


def _and_mended(first: int, last: int, covered: BoolArray) -> Message:
    """What became of days left out; those past the last good day are dropped, not filled."""
    if covered[first : last + 1].all():
        return Message(" and taken from the second source")
    return Message(" and filled") if covered[last:].any() else Message("")


def _dropped_faults(series: DailySeries, dropped: BoolArray, covered: BoolArray) -> Iterator[Fault]:
    for first, last in runs(dropped):
        left_out = Message("left out{mended}, as season.toml says.")
        text = Message(left_out, mended=_and_mended(first, last, covered))
        yield _fault("dropped", series, first, last, text)


def _gap_faults(
    series: DailySeries, empty: BoolArray, observed: BoolArray, covered: BoolArray
) -> Iterator[Fault]:
    """Runs of days from the first reading on that came without a reading, or with one of the two."""
    first_read, last_read = (int(day) for day in np.flatnonzero(observed)[[0, -1]])
    last_covered = int(np.flatnonzero(covered)[-1])
    day = np.arange(len(series))
    inside = (day > first_read) & (day <= last_covered)
    for second in (False, True):
        for first, last in runs(empty & inside & (covered == second)):
            done = (
                Message("taken from the second source, adjusted to this yard")
                if second
                else Message("filled")
            )
            yield _fault(
                "gap", series, first, last, _missing(last - first + 1, done, since=first > last_read)
            )


def _missing(days: int, done: Message, *, since: bool) -> Message:
    if since:
        return Message.of_count(
            "readings are missing since the last one for a day; {done}.",
            "readings are missing since the last one for {n} days; {done}.",
            days,
            done=done,
        )
    return Message.of_count(
        "readings are missing for a day; {done}.",
        "readings are missing for {n} days; {done}.",
        days,
        done=done,
    )
