"""Models of a dated event: from daily forcing and chill of a season to the day it comes.

Arrays have one row a station-season and one column a day from the season's first. A day is a number with a
fraction: 12.5 is the middle of the thirteenth day. A season that never gets there is `NEVER`, not a number.
"""

from __future__ import annotations

import numpy as np
from numpy.typing import ArrayLike, NDArray

FloatArray = NDArray[np.float64]
NEVER = np.inf


def day_reached(level: FloatArray, need: ArrayLike) -> FloatArray:
    """Day on which a rising level reaches a need, between its values at the ends of two days.

    Parameters
    ----------
    level : at the end of each day, shape (seasons, days).
    need : shape () or (seasons,).
    """
    needed = np.broadcast_to(np.asarray(need, np.float64), level.shape[:1])
    at = level >= needed[:, None]
    day = at.argmax(axis=1)
    row = np.arange(level.shape[0])
    before = np.where(day > 0, level[row, np.maximum(day - 1, 0)], 0.0)
    rise = np.maximum(level[row, day] - before, 1e-12)
    return np.where(at[row, day], day + np.clip((needed - before) / rise, 0.0, 1.0), NEVER)


def level_on(level: FloatArray, days: FloatArray) -> FloatArray:
    """Level of each row on a day with its fraction, the inverse of `day_reached`; days within the level's."""
    day = np.clip(np.floor(days).astype(np.int64), 0, level.shape[1] - 1)
    row = np.arange(days.size)
    before = np.where(day > 0, level[row, np.maximum(day - 1, 0)], 0.0)
    return np.where(days > day, before + (days - day) * (level[row, day] - before), before)


def thermal_time(forcing: FloatArray, *, start: int, need: ArrayLike) -> FloatArray:
    """Forcing counted from a day on reaches a need."""
    return day_reached(thermal_level(forcing, start=start), need)


def thermal_level(forcing: FloatArray, *, start: int) -> FloatArray:
    """Forcing so far, nothing before the start."""
    counted = np.arange(forcing.shape[1]) >= start
    return np.cumsum(np.where(counted, forcing, 0.0), axis=1)


def softened_heat(
    forcing: FloatArray, chill: FloatArray, *, start: int, need: ArrayLike, softening: float
) -> FloatArray:
    """Forcing reaches a need that falls as chill rises, ``need * exp(-softening * chill so far)``."""
    return day_reached(softened_level(forcing, chill, start=start, softening=softening), need)


def softened_level(forcing: FloatArray, chill: FloatArray, *, start: int, softening: float) -> FloatArray:
    """What `softened_heat` holds against its need: forcing so far, worth more after more chill."""
    return thermal_level(forcing, start=start) * worth_after_chill(chill, softening)


def worth_after_chill(chill: FloatArray, softening: float) -> FloatArray:
    """How many times more than without chill a day's forcing so far is worth, 1 and up."""
    return np.exp(softening * np.cumsum(chill, axis=1))


def chill_then_heat(
    forcing: FloatArray, chill: FloatArray, *, chill_need: float, need: ArrayLike
) -> FloatArray:
    """Forcing counts only once the chill need is met, strictly in sequence."""
    return day_reached(sequential_level(forcing, chill, chill_need=chill_need), need)


def sequential_level(forcing: FloatArray, chill: FloatArray, *, chill_need: float) -> FloatArray:
    """Forcing from the first day on whose chill meets the need; chill units undone later undo nothing."""
    most = np.maximum.accumulate(np.cumsum(chill, axis=1), axis=1)  # NaN from the first missing day on
    return np.cumsum(np.where(most < chill_need, 0.0, forcing + 0.0 * most), axis=1)


def alternating(
    forcing: FloatArray, chill_days: FloatArray, *, start: int, least: float, more: float, fall: float
) -> FloatArray:
    """Forcing reaches ``least + more * exp(-fall * chill days so far)``.

    References
    ----------
    Cannell, M. G. R. and Smith, R. I. (1983), Thermal time, chill days and prediction of budburst in Picea
    sitchensis, Journal of Applied Ecology 20, 951-963 (form read in a secondary copy).
    """
    return day_reached(
        alternating_level(forcing, chill_days, start=start, more=more, fall=fall), least + more
    )


def alternating_level(
    forcing: FloatArray, chill_days: FloatArray, *, start: int, more: float, fall: float
) -> FloatArray:
    """What `alternating` holds against ``least + more``: forcing so far, and what chill has taken off."""
    taken_off = more * -np.expm1(-fall * np.cumsum(chill_days, axis=1))
    return thermal_level(forcing, start=start) + taken_off
