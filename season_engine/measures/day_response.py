"""What the air of a day makes of the middle of a pot, on that day and later on."""

from __future__ import annotations

from functools import lru_cache
from typing import NamedTuple

import numpy as np
from numpy.typing import NDArray

from season_engine.measures.conduction import lags_of_middle
from season_engine.pot import Pot

FloatArray = NDArray[np.float64]

FORGOTTEN = 0.01  # share of a past day's warmth that is as good as none
BLOCK = 400  # days multiplied at once: few enough for one thread, since two that wait for each other are slow


class DayResponse(NamedTuple):
    """What the air of a day makes of the middle of a pot on that day, on the next and later on."""

    today: FloatArray  # hours of the day from its own 24, shape (24, 24)
    yesterday: FloatArray  # and from those of the day before
    left: FloatArray  # what a day leaves in each slow lag for the days after, shape (lags, 24)
    kept: FloatArray  # share of that still there a day later, shape (lags,)
    carried: FloatArray  # hours of the day from what the days up to two before have left, shape (24, lags)

    @property
    def memory_days(self) -> int:
        """Days until what a day has left is forgotten."""
        slowest = min(float(self.kept.max(initial=0.0)), 1.0 - 1e-9)
        return 1 if slowest <= FORGOTTEN else int(np.ceil(np.log(FORGOTTEN) / np.log(slowest)))


@lru_cache(maxsize=64)
def day_response(pot: Pot) -> DayResponse:
    """The lags of a pot's middle, worked out for a day of 24 hours with straight lines between them."""
    share, rate = lags_of_middle(pot)
    stays = np.exp(-rate)
    mean_of_hour = np.where(np.isinf(rate), 0.0, -np.expm1(-rate) / rate)
    # An hour's air rises from the hour before it and falls to the one after.
    at_once, hour_later = 1.0 - mean_of_hour, mean_of_hour - stays + (1.0 - mean_of_hour) * stays
    later = share * hour_later @ stays[:, None] ** np.arange(47)
    after = np.concatenate([np.zeros(23), [share @ at_once], later])  # from 23 hours before to 47 after
    since = 23 + np.arange(24)[:, None] - np.arange(24)
    slow = (stays**24 > 1e-6) | (rate == rate.min())
    stays, hour_later = stays[slow, None], hour_later[slow, None]
    left = hour_later * stays ** np.arange(22, -2, -1)
    carried = (share[slow, None] * stays ** np.arange(25, 49)).T
    matrices = (after[since], after[since + 24], left, stays[:, 0] ** 24, carried)
    return DayResponse(*(np.where(np.abs(one) < 1e-12, 0.0, one) for one in matrices))


def followed(response: DayResponse, air_c: FloatArray) -> FloatArray:
    """What the middle makes of the air of each day and of those before it.

    Parameters
    ----------
    air_c : degC, shape (..., days, 24).

    Returns
    -------
    degC, shape (24, ..., days); NaN where an hour of that day or of the days it remembers is.
    """
    by_hour, shape = air_c.reshape(-1, 24).T, air_c.shape[:-1]
    missing = np.asarray(np.isnan(air_c).any(axis=-1))
    lags = response.kept.size
    left = np.where(missing, 0.0, _times(response.left, by_hour).reshape(lags, *shape))
    before = two_days_before(left, response.kept, missing)
    hours = _times(response.today, by_hour).reshape(24, *shape)
    yesterday = _times(response.yesterday, by_hour).reshape(24, *shape)
    hours[..., 1:] += yesterday[..., :-1]
    hours[..., :1] += yesterday[..., :1]
    hours += _times(response.carried, before.reshape(lags, missing.size)).reshape(24, *shape)
    hours[:, remembered(missing, response.memory_days)] = np.nan
    return hours


def _times(matrix: FloatArray, columns: FloatArray) -> FloatArray:
    """The matrix times columns, some at a time."""
    product = np.empty((matrix.shape[0], columns.shape[1]))
    for start in range(0, columns.shape[1], BLOCK):
        some = slice(start, start + BLOCK)
        np.matmul(matrix, columns[:, some], out=product[:, some])
    return product


def two_days_before(left: FloatArray, kept: FloatArray, missing: NDArray[np.bool_]) -> FloatArray:
    """What the days up to two before each day have left in each slow lag, shape (lags, ..., days).

    Before the first day, and where one is missing, it is what many days like the next one would have left.
    """
    kept = kept.reshape(-1, *[1] * missing.ndim)
    as_many = left / (1.0 - kept)
    before = np.empty_like(left)
    before[..., :2] = as_many[..., :1]
    added = np.where(missing[..., :-2], as_many[..., 1:-1], left[..., :-2])
    stays = np.where(missing[..., :-2], 0.0, kept)
    for day in range(left.shape[-1] - 2):
        before[..., day + 2] = stays[..., day] * before[..., day + 1] + added[..., day]
    return before


def remembered(missing: NDArray[np.bool_], days: int) -> NDArray[np.bool_]:
    """Days that are missing or follow a missing one by so many days at most."""
    found = missing.copy()
    for later in range(1, min(days, missing.shape[-1] - 1) + 1):
        found[..., later:] |= missing[..., :-later]
    return found
