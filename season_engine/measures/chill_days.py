"""Cold that breaks winter rest, by the day: triangles on the daily mean, and chill days from the extremes."""

from __future__ import annotations

from typing import NamedTuple

import numpy as np
from numpy.typing import ArrayLike, NDArray

from season_engine.measures.degree_days import area_above

FloatArray = NDArray[np.float64]


def triangle(mean_c: ArrayLike, low_c: float, best_c: float, high_c: float) -> FloatArray:
    """Chill units of each day: 0 up to `low_c`, rising straight to 1 at `best_c`, back to 0 at `high_c`.

    The response of the sequential and parallel models of budburst (read in the R package phenor).
    """
    mean = np.asarray(mean_c, np.float64)
    rising, falling = (mean - low_c) / (best_c - low_c), (high_c - mean) / (high_c - best_c)
    return np.maximum(np.minimum(rising, falling), 0.0)


def haenninen_units(mean_c: ArrayLike) -> FloatArray:
    """Chill units of each day by its mean: nought at -3.4 and 10.4 degC, best (1.06) at 3.5.

    The printed lines, ``0.159 T + 0.506`` and ``-0.159 T + 1.621``, do not quite meet at the ends: 3.5 degC
    belongs to the rising one, and a day beyond -3.4 or 10.4 counts nothing.

    References
    ----------
    Hänninen, H. (1990), Modelling bud dormancy release in trees from cool and temperate regions, Acta
    Forestalia Fennica 213, 1-47 (read in a secondary copy, the R package dormancyR).
    """
    mean = np.asarray(mean_c, np.float64)
    height = np.where(mean <= 3.5, 0.159 * mean + 0.506, -0.159 * mean + 1.621)
    within = ((mean > -3.4) & (mean <= 10.4)) | np.isnan(mean)
    # The falling line ends at -0.03 just below 10.4 degC: no day takes chill away here.
    return np.where(within, np.maximum(height, 0.0), 0.0)


def legave_units(mean_c: ArrayLike, best_c: float = 1.0, reach_c: float = 24.0) -> FloatArray:
    """Chill units of each day by its mean: 1 at `best_c`, falling straight to 0 at `reach_c` either side.

    References
    ----------
    Legave, J. M. et al. (2008), Selecting models of apple flowering time and understanding how global warming
    has had an impact on this trait, Journal of Horticultural Science and Biotechnology 83, 76-84 (read in a
    secondary copy, the R package dormancyR).
    """
    return triangle(mean_c, best_c - reach_c, best_c, best_c + reach_c)


class ChillDays(NamedTuple):
    """Chill and heat of each day in one unit, degC d."""

    chill: FloatArray  # nought or less
    anti_chill: FloatArray  # nought or more: the heat that brings buds on once rest is broken


def cesaraccio_chill_days(tmin_c: ArrayLike, tmax_c: ArrayLike, threshold_c: float = 7.15) -> ChillDays:
    """Chill days: how far the day's triangle lies under a threshold, counted down to 0 degC and no further.

    Chill is added up, from harvest or leaf fall, to ``-required``; from then on anti-chill days are added
    until the sum is back at nought, which is budburst. A day that stays at or below 0 degC, or without a
    swing, gives no chill.

    Parameters
    ----------
    tmin_c, tmax_c : degC, shape (..., days).
    threshold_c : fitted to each species; 6.8 to 7.9 over the twelve published, 7.15 their mean.

    References
    ----------
    Cesaraccio, C., Spano, D., Snyder, R. L. & Duce, P. (2004), Chilling and forcing model to predict
    bud-burst of crop and forest species, Agricultural and Forest Meteorology 126, 1-13 (read in secondary
    copies; some of them lose the squares). The paper's five cases are written here as differences of areas.
    """
    tmin, tmax = np.broadcast_arrays(np.asarray(tmin_c, np.float64), np.asarray(tmax_c, np.float64))
    floor = np.minimum(np.maximum(tmin, 0.0), threshold_c)
    anti_chill = area_above(threshold_c, tmin, tmax, "triangle")
    chill = anti_chill - area_above(floor, tmin, tmax, "triangle")
    freezing = tmax <= 0.0
    return ChillDays(
        np.where(freezing & ~np.isnan(tmin), 0.0, np.minimum(chill, 0.0)), np.maximum(anti_chill, 0.0)
    )
