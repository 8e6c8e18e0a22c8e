"""Reading the file of a grower's own temperature logger, daily or sub-daily.

Nothing is guessed in silence: a file is read whole and right, or refused with the lines that are wrong.
"""

from __future__ import annotations

from dataclasses import replace
from pathlib import Path

import numpy as np
from numpy.typing import NDArray

from season_engine.errors import GrowerError, WeatherError
from season_engine.files.foreign_values import decimal_number
from season_engine.files.problems import Problems
from season_engine.files.text import shortened
from season_engine.weather.logger.stamps import DAY_SECONDS, Clock, parse_stamps
from season_engine.weather.logger.table import LoggerTable, decoded, read_table
from season_engine.weather.series import BoolArray, DailySeries, FloatArray

# What loggers and station files write where there is no reading, in lower case.
MISSING_WORDS = {
    *("", "-", "--", "---", "*", "?", "x", "m", "na", "n/a", "#n/a", "nan", "null", "none", "missing"),
}
MISSING_CODES = {
    -127.0,
    -9999.9,
    -9999,
    -999.99,
    -999.9,
    -999,
    -99.99,
    -99.9,
    999,
    999.9,
    999.99,
    9999,
    9999.9,
}

COLDEST_C, HOTTEST_C = -90.0, 60.0  # nothing colder or hotter was ever measured in the open
LONGEST_STEP_SECONDS = 3600
HOURS_NEEDED = 20  # of 24: with under 80 in 100 of its readings a day may have missed its extremes
CLOCK_CHANGE_HOURS = 4  # clocks are put back an hour in the small hours, once a year

IntArray = NDArray[np.int64]


def read_logger(
    path: Path,
    *,
    units: str = "degC",
    date_format: str | None = None,
    longitude_deg: float | None = None,
) -> DailySeries:
    """Daily extremes [degC] from a logger file; NaN on days without a reading.

    Daily files have columns for date, tmin and tmax; sub-daily ones for time and temp, an hour apart or less.
    `units` ("degC" or "degF") are those of the file; `date_format` is a `strptime` format for dates that
    can be read in two ways. With `longitude_deg` (east positive) times that name their zone are taken to the
    yard's solar time, so that its days are its own. Raises GrowerError, or InputErrors naming each line;
    WeatherError if no file is there.
    """
    return parse_logger(
        read_content(path),
        file=str(path),
        units=units,
        date_format=date_format,
        longitude_deg=longitude_deg,
    )


def read_content(path: Path) -> bytes:
    """The bytes of a logger file; WeatherError where they can't be had."""
    try:
        return path.read_bytes()
    except FileNotFoundError:
        raise WeatherError("this logger file does not exist.", file=path) from None
    except (OSError, ValueError) as error:
        reason = getattr(error, "strerror", None) or str(error)
        raise WeatherError(f"this logger file can't be read: {reason}.", file=path) from None


def parse_logger(
    content: bytes,
    *,
    file: str,
    units: str,
    date_format: str | None,
    longitude_deg: float | None = None,
) -> DailySeries:
    """As `read_logger`, from the bytes of a file; `file` is the name that errors give."""
    check_units(units)
    table = read_table(decoded(content, file), file, units)
    clock = Clock(date_format, table.zone, longitude_deg)
    return table_series(table, file=file, units=units, clock=clock)


def check_units(units: str) -> None:
    """Raise GrowerError for a unit of temperature that isn't read."""
    if units not in ("degC", "degF"):
        raise GrowerError(f'"{units}" is not a unit of temperature.', hint="Use degC or degF.")


def table_series(table: LoggerTable, *, file: str, units: str, clock: Clock) -> DailySeries:
    """As `read_logger`, from a table of text; `clock` says how its times are to be read."""
    problems = Problems(file)
    if "tmin" in table.texts:
        return _read_daily(table, problems, units, replace(clock, zone=None, dates_only=True))
    return _read_readings(table, problems, units, clock)


def _read_daily(table: LoggerTable, problems: Problems, units: str, clock: Clock) -> DailySeries:
    tmin_c, tmax_c = (_temperatures_c(table, role, units, problems) for role in ("tmin", "tmax"))
    _check_extremes(table, tmin_c, tmax_c, problems)
    stamps = _Stamps(table, clock, problems)
    days = stamps.seconds // DAY_SECONDS
    stamps.check_order(days, np.diff(days) > 0, problems)
    problems.raise_if_any()
    return _laid_on_days(days, tmin_c, tmax_c)


def _read_readings(table: LoggerTable, problems: Problems, units: str, clock: Clock) -> DailySeries:
    temp_c = _temperatures_c(table, "temp", units, problems)
    stamps = _Stamps(table, clock, problems)
    stamps.check_order(stamps.seconds, _goes_on(stamps.seconds), problems)
    problems.raise_if_any()
    _check_step(stamps.seconds, problems.file)
    return daily_extremes(stamps.seconds, temp_c)


class _Stamps:
    """When each row was read: text, line, header, and seconds on the logger's clock."""

    def __init__(self, table: LoggerTable, clock: Clock, problems: Problems) -> None:
        roles = [role for role in ("date", "time") if role in table.texts]
        self.columns = [table.texts[role] for role in roles]
        self.lines = table.lines
        self.header = " and ".join(table.headers[role] for role in roles)
        self.seconds = parse_stamps(self.columns, self.lines, self.header, clock, problems)

    def text(self, row: int) -> str:
        """A stamp as it is written."""
        return " ".join(column[row] for column in self.columns).strip()

    def check_order(self, when: IntArray, goes_on: BoolArray, problems: Problems) -> None:
        """Each row must go on from the one before; where it doesn't, both lines are named."""
        if when.size > 2 and (np.diff(when) < 0).all():
            problems.add(self.lines[1], self.header, "the newest line comes first.", "Sort it, oldest first.")
            return
        bad = np.flatnonzero(~goes_on) + 1
        if not bad.size:
            return
        _, first_row, which = np.unique(when, return_index=True, return_inverse=True)
        for row in bad.tolist():
            text, line, twin = self.text(row), self.lines[row], int(first_row[which[row]])
            if twin < row:
                problem = f'"{text}" is there twice, first on line {self.lines[twin]}.'
            else:
                before = f'"{self.text(row - 1)}" on line {self.lines[row - 1]}'
                problem = f'"{text}" comes after {before}, out of order.'
            problems.add(line, self.header, problem)


def _temperatures_c(table: LoggerTable, role: str, units: str, problems: Problems) -> FloatArray:
    """One column in degC, shape (rows,). Each different text is read once: even a million rows have few."""
    texts = table.texts[role]
    values: dict[str, float] = {}
    wrong: dict[str, str] = {}
    for text in set(texts):
        try:
            values[text] = _temperature_c(text, units)
        except ValueError as error:
            wrong[text], values[text] = str(error), np.nan
    if wrong:
        for line, text in zip(table.lines, texts, strict=True):
            if text in wrong:
                problems.add(line, table.headers[role], wrong[text])
    return np.array([values[text] for text in texts])


def _temperature_c(text: str, units: str) -> float:
    plain = text.strip()
    if plain.casefold() in MISSING_WORDS:
        return float("nan")
    value = decimal_number(plain)
    if value is None:
        raise ValueError(f'"{shortened(plain)}" is not a number.')
    if value in MISSING_CODES:
        return float("nan")
    value_c = (value - 32.0) * 5.0 / 9.0 if units == "degF" else value
    if not COLDEST_C <= value_c <= HOTTEST_C:
        raise ValueError(f"{shortened(plain)} {units} is not possible out of doors.")
    return value_c


def _check_extremes(table: LoggerTable, tmin_c: FloatArray, tmax_c: FloatArray, problems: Problems) -> None:
    for row in np.flatnonzero(tmin_c > tmax_c).tolist():
        low, high = (shortened(table.texts[role][row]) for role in ("tmin", "tmax"))
        problem = f"the lowest temperature, {low}, is above the highest, {high}."
        problems.add(table.lines[row], table.headers["tmin"], problem)


def _goes_on(seconds: IntArray) -> BoolArray:
    """Whether each reading but the first is later than the one before, or an hour back as clocks change."""
    step, after = np.diff(seconds), seconds[1:]
    put_back = (step <= 0) & (step >= -3600) & (after % DAY_SECONDS < CLOCK_CHANGE_HOURS * 3600)
    year = after.astype("datetime64[s]").astype("datetime64[Y]")
    years, times = np.unique(year[put_back], return_counts=True)
    result: BoolArray = (step > 0) | (put_back & np.isin(year, years[times == 1]))
    return result


def _laid_on_days(days: IntArray, tmin_c: FloatArray, tmax_c: FloatArray) -> DailySeries:
    """Put values of ascending day numbers (since 1970) on a calendar without holes."""
    low, high = (np.full(int(days[-1] - days[0]) + 1, np.nan) for _ in range(2))
    low[days - days[0]], high[days - days[0]] = tmin_c, tmax_c
    return DailySeries(np.datetime64(int(days[0]), "D").item(), low, high)


def _check_step(seconds: IntArray, file: str) -> None:
    step = float(np.median(np.diff(seconds))) if seconds.size > 1 else 0.0
    if step > LONGEST_STEP_SECONDS:
        problem = f"the readings are {step / 3600:g} hours apart; an hour is the most."
        raise GrowerError(problem, hint="Daily files need the columns date, tmin and tmax.", file=file)


def daily_extremes(seconds: IntArray, temp_c: FloatArray) -> DailySeries:
    """Lowest and highest reading of each calendar day that has readings in enough of its hours.

    `seconds` (since 1970, on the clock days go by) and `temp_c` have shape (readings,) and are not empty.
    """
    days = seconds // DAY_SECONDS
    first_day, count = int(days.min()), int(days.max() - days.min()) + 1
    read = ~np.isnan(temp_c)
    day, temp_c, hour = (days - first_day)[read], temp_c[read], (seconds[read] % DAY_SECONDS) // 3600
    low, high = np.full(count, np.inf), np.full(count, -np.inf)
    np.minimum.at(low, day, temp_c)
    np.maximum.at(high, day, temp_c)
    hours_read = np.zeros((count, 24), dtype=bool)
    hours_read[day, hour] = True
    enough = hours_read.sum(axis=1) >= HOURS_NEEDED
    low[~enough] = high[~enough] = np.nan
    return DailySeries(np.datetime64(first_day, "D").item(), low, high)
