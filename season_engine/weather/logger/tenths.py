"""Whole numbers that are too far apart between day and night to be degrees: tenths of them."""

from __future__ import annotations

from collections.abc import Sequence

import numpy as np

from season_engine.errors import GrowerError
from season_engine.weather.logger.dates import DAY_SECONDS
from season_engine.weather.logger.how import ReadAs
from season_engine.weather.logger.logger_table import LoggerTable
from season_engine.weather.logger.order import IntArray
from season_engine.weather.logger.stamp_rows import UNREAD
from season_engine.weather.logger.values import Values
from season_engine.weather.series import FloatArray

_FEWEST_DIFFERENT = 20
_WIDEST = 50.0  # degrees of either unit between day and night, as the middle of many days


def refuse_tenths(table: LoggerTable, columns: Sequence[Values], seconds: IntArray, how: ReadAs) -> None:
    """Raise GrowerError where nothing says that a table is in tenths, and its whole numbers seem to be.

    `seconds` is of shape (rows,), UNREAD where a row has no time.
    """
    different = {number for one in columns for number in one.numbers.values()}
    told = table.head.scale(next(iter(table.plan.temps.values()))) > 1
    if how.tenths is not None or told or len(different) < _FEWEST_DIFFERENT:
        return
    if any(number != int(number) for number in different):
        return
    ranges = _day_ranges(table, columns, seconds)
    if ranges.size and (usual := float(np.median(ranges))) > _WIDEST:
        problem = (
            f"whole numbers that differ by {usual:.0f} between night and day look like tenths of a degree."
        )
        hint = "Write tenths = true under [site.weather], or tenths = false if they are degrees."
        if usual > 10 * _WIDEST:
            problem = (
                f"whole numbers that differ by {usual:.0f} between night and day are no degrees, nor tenths."
            )
            hint = "Export it in degrees."
        role = next(iter(table.plan.temps))
        raise GrowerError(problem, hint=hint, file=table.file, line=table.head.line, field=table.name(role))


def _day_ranges(table: LoggerTable, columns: Sequence[Values], seconds: IntArray) -> FloatArray:
    """The numbers' range of each day, shape (days,); codes for no reading aside."""
    texts = [table.texts[role] for role in table.plan.temps]
    numbers = [
        np.array([one.numbers.get(text, np.nan) for text in column])
        for one, column in zip(columns, texts, strict=True)
    ]
    for one, column in zip(columns, numbers, strict=True):
        column[list(one.words)] = np.nan
    if len(numbers) == 2:
        both = np.abs(numbers[1] - numbers[0])
        return np.asarray(both[~np.isnan(both)])
    read = (seconds != UNREAD) & ~np.isnan(numbers[0])
    days = seconds[read] // DAY_SECONDS
    first, place = np.unique(days, return_inverse=True)
    low, high = np.full(first.size, np.inf), np.full(first.size, -np.inf)
    np.minimum.at(low, place, numbers[0][read])
    np.maximum.at(high, place, numbers[0][read])
    return np.asarray(high - low)
