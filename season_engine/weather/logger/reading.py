"""Reading the file of a grower's own temperature logger, daily or within the day, in whatever form it comes.

Nothing is guessed in silence: a file is read whole and right, or refused with the line to write.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass, replace
from pathlib import Path

import numpy as np
from numpy.typing import NDArray

from season_engine.errors import GrowerError, WeatherError
from season_engine.site import Site
from season_engine.weather.hemisphere import hemisphere_of
from season_engine.weather.logger.alphabet import alphabet_of
from season_engine.weather.logger.dates import DAY_SECONDS, Ambiguous
from season_engine.weather.logger.form import LoggerForm
from season_engine.weather.logger.full_days import full_days, usual_hours_apart
from season_engine.weather.logger.how import ReadAs
from season_engine.weather.logger.logger_table import LoggerTable
from season_engine.weather.logger.month_grids import month_grid
from season_engine.weather.logger.parts import Part, part_of
from season_engine.weather.logger.record import merged
from season_engine.weather.logger.relaid import relaid
from season_engine.weather.logger.table import read_tables
from season_engine.weather.logger.wrappings.opened import opened
from season_engine.weather.series import DailySeries, FloatArray

IntArray = NDArray[np.int64]
Named = tuple[str, bytes]  # a file's name, as errors give it, and its bytes


@dataclass(frozen=True)
class LoggerRecord:
    """What a logger's file, or files, say."""

    daily: DailySeries  # the days' extremes [degC]
    form: LoggerForm  # how it was read
    seconds: IntArray | None = (
        None  # since 1970 on the clock days go by, shape (readings,); None: a table of days
    )
    temp_c: FloatArray | None = None  # the readings in order of time, likewise


def read_logger(path: Path, how: ReadAs | None = None, site: Site | None = None) -> DailySeries:
    """Daily extremes [degC] from a logger file; NaN on days without a reading.

    Tables of days have columns for date, lowest and highest; others for time and temperature, an hour apart
    or less. `how` are the grower's settings. With a `site` times that name their zone are taken to the yard's
    solar time, and readings that can't be of its air outdoors are refused. Raises GrowerError, or InputErrors
    naming each line; WeatherError if no file is there.
    """
    return read_record([path], how, site).daily


def read_record(paths: Sequence[Path], how: ReadAs | None = None, site: Site | None = None) -> LoggerRecord:
    """All that one or several files of a logger say, as one record; raises as `read_logger`."""
    return record_of([(str(path), read_content(path)) for path in paths], how, site)


def read_content(path: Path) -> bytes:
    """The bytes of a logger file; WeatherError where they can't be had."""
    try:
        return path.read_bytes()
    except FileNotFoundError:
        raise WeatherError("this logger file does not exist.", file=path) from None
    except (OSError, ValueError) as error:
        reason = getattr(error, "strerror", None) or str(error)
        raise WeatherError(f"this logger file can't be read: {reason}.", file=path) from None


def record_of(files: Sequence[Named], how: ReadAs | None = None, site: Site | None = None) -> LoggerRecord:
    """As `read_record`, from names and bytes."""
    how = how or ReadAs()
    check_units(how.units or "degC")
    tables: list[tuple[LoggerTable, str]] = []
    for name, content in [text for file in files for text in opened(*file)]:
        alphabet, read = alphabet_of(content, name)
        read = relaid(read)
        grid = month_grid(read, name, how)
        found = [grid] if grid is not None else read_tables(read, name, how)
        tables += [(table, alphabet) for table in found]
    return record_of_tables(tables, how, site)


def record_of_tables(
    tables: Sequence[tuple[LoggerTable, str]], how: ReadAs, site: Site | None = None
) -> LoggerRecord:
    """As `record_of`, from tables of text with their alphabets."""
    parts, unclear = [], []
    for table, alphabet in tables:
        try:
            parts.append(part_of(table, alphabet, how, site))
        except Ambiguous as error:
            unclear.append((table, alphabet, error))
    orders = {part.stamps.order for part in parts}
    for table, alphabet, unsettled in unclear:  # the dates of other files of the record settle them
        if len(orders) != 1 or not orders & {"dmy", "mdy", "ymd"}:
            raise _unsettled(table, unsettled)
        try:
            parts.append(part_of(table, alphabet, how, site, order=orders.copy().pop()))
        except Ambiguous as again:
            raise _unsettled(table, again) from None
    return _recorded(parts, how, site)


def _unsettled(table: LoggerTable, error: Ambiguous) -> GrowerError:
    text, problem, hint = error.args
    role = "stamp" if "stamp" in table.texts else "date"
    row = next((row for row, one in enumerate(table.texts[role]) if text in one), 0)
    return GrowerError(problem, hint=hint, file=table.file, line=table.lines[row], field=table.name(role))


def _recorded(parts: list[Part], how: ReadAs, site: Site | None) -> LoggerRecord:
    whole = merged(parts, how, site)
    if whole.tmax_c is not None:
        daily = _laid_on_days(whole.seconds // DAY_SECONDS, whole.values_c, whole.tmax_c)
    else:
        apart = usual_hours_apart(whole.seconds)
        daily = daily_extremes(
            whole.seconds, whole.values_c, on_change=whole.form.on_change, hours_apart=apart
        )
    form = replace(whole.form, hemisphere=hemisphere_of(daily))
    return (
        LoggerRecord(daily, form)
        if whole.tmax_c is not None
        else LoggerRecord(daily, form, whole.seconds, whole.values_c)
    )


def check_units(units: str) -> None:
    """Raise GrowerError for a unit of temperature that isn't read."""
    if units not in ("degC", "degF"):
        raise GrowerError(f'"{units}" is not a unit of temperature.', hint="Use degC or degF.")


def _laid_on_days(days: IntArray, tmin_c: FloatArray, tmax_c: FloatArray) -> DailySeries:
    """Put values of ascending day numbers (since 1970) on a calendar without holes."""
    low, high = (np.full(int(days[-1] - days[0]) + 1, np.nan) for _ in range(2))
    low[days - days[0]], high[days - days[0]] = tmin_c, tmax_c
    return DailySeries(np.datetime64(int(days[0]), "D").item(), low, high)


def daily_extremes(
    seconds: IntArray, temp_c: FloatArray, *, on_change: bool = False, hours_apart: int = 1
) -> DailySeries:
    """Lowest and highest reading of each calendar day that has readings enough (`full_days`).

    `seconds` (since 1970, on the clock days go by) and `temp_c` have shape (readings,) and are not empty.
    """
    days = seconds // DAY_SECONDS
    first_day, count = int(days.min()), int(days.max() - days.min()) + 1
    read = ~np.isnan(temp_c)
    day, temp_c = (days - first_day)[read], temp_c[read]
    low, high = np.full(count, np.inf), np.full(count, -np.inf)
    np.minimum.at(low, day, temp_c)
    np.maximum.at(high, day, temp_c)
    enough = full_days(seconds[read], first_day, count, on_change=on_change, hours_apart=hours_apart)
    low[~enough] = high[~enough] = np.nan
    return DailySeries(np.datetime64(first_day, "D").item(), low, high)
