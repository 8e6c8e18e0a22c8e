"""First and last frosts and how likely they are by a date, with the years that had none counted."""

from __future__ import annotations

from dataclasses import dataclass
from statistics import NormalDist

import numpy as np
from numpy.typing import ArrayLike, NDArray

FloatArray = NDArray[np.float64]
MOST_MISSING_DAYS = 9


def first_frosts(
    tmin_c: ArrayLike, level_c: float = 0.0, most_missing_days: int = MOST_MISSING_DAYS
) -> FloatArray:
    """First day of each row on which Tmin is at or below a level: the first frost of an autumn.

    Parameters
    ----------
    tmin_c : degC, shape (..., days), each row beginning in high summer.
    level_c : 0 degC is a freeze, 2.2 (36 degF) a frost, -2.2 (28 degF) a hard freeze, in the words of the US
        National Weather Service (a local office's page, read in a stored copy).
    most_missing_days : with more days than this missing before the frost, nobody knows which was the first.

    Returns
    -------
    Day number from 0, shape (...); infinite for a row without frost, NaN for one that can't be told.

    References
    ----------
    Ten missing days void a season: Utah Climate Center, Utah Climate, 2nd edition (2007), page 55, as quoted
    in its help on freeze dates (read in a stored copy). There 24 July parts spring from autumn in the north,
    and 24 January in the south.
    """
    tmin = np.asarray(tmin_c, np.float64)
    cold = tmin <= level_c
    found = np.where(cold.any(axis=-1), cold.argmax(axis=-1), np.inf)
    before = np.arange(tmin.shape[-1]) < found[..., None]
    missing = np.count_nonzero(np.isnan(tmin) & before, axis=-1)
    return np.where(missing > most_missing_days, np.nan, found)


def last_frosts(
    tmin_c: ArrayLike, level_c: float = 0.0, most_missing_days: int = MOST_MISSING_DAYS
) -> FloatArray:
    """Last day of each row on which Tmin is at or below a level: the last frost of a spring.

    Each row ends in high summer; missing days count where they come after the frost. Else as `first_frosts`.
    """
    tmin = np.asarray(tmin_c, np.float64)
    back = first_frosts(tmin[..., ::-1], level_c, most_missing_days)
    return np.where(np.isinf(back), np.inf, tmin.shape[-1] - 1 - back)


@dataclass(frozen=True)
class FreezeNormals:
    """Odds of a frost by date: a share of years that have one at all, and a normal spread of its dates.

    References
    ----------
    "A discrete freeze or no-freeze distribution ... and a continuous one of freeze dates for the years of
    freeze occurrence": National Climatic Data Center, Last freeze/frost probability (read in a stored copy);
    the normal distribution for the dates: Thom, H. C. S. (1959), Monthly Weather Review 87, 136-144 (from
    memory). There, too, 90 per cent in spring means nine years in ten have such a cold later than the date.
    """

    years: int
    share_with_frost: float
    mean_day: float
    sd_days: float

    def day_of_last(self, chance: float) -> float:
        """Day after which there is still a frost in this share of years; -inf where fewer have one at all."""
        return self._day(self.share_with_frost - chance, -np.inf)

    def day_of_first(self, chance: float) -> float:
        """Day by which there was a frost in this share of years; inf where fewer have one at all."""
        return self._day(chance, np.inf)

    def _day(self, chance_by: float, without: float) -> float:
        if not 0.0 < chance_by < self.share_with_frost:
            return without
        if self.sd_days == 0.0:
            return self.mean_day
        return NormalDist(self.mean_day, self.sd_days).inv_cdf(chance_by / self.share_with_frost)


def freeze_normals(days: ArrayLike) -> FreezeNormals:
    """Fit the normals to first or last frosts of many years, shape (years,).

    Infinite is a year without frost and counts; NaN is one that can't be told and does not. No year at all
    is a ValueError.
    """
    known = np.asarray(days, np.float64)
    known = known[~np.isnan(known)]
    if known.size == 0:
        raise ValueError("freeze normals need at least one year that can be told")
    dates = known[np.isfinite(known)]
    return FreezeNormals(
        years=int(known.size),
        share_with_frost=dates.size / known.size,
        mean_day=float(dates.mean()) if dates.size else float("nan"),
        sd_days=float(dates.std(ddof=1)) if dates.size > 1 else 0.0,
    )
