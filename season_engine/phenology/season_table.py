"""Weather of seasons as the rows of one table, as the estimators are given it, and its daily rates."""

from __future__ import annotations

from functools import cached_property

import numpy as np
from numpy.typing import NDArray

from season_engine.measures.chill_models import CHILL_MODELS
from season_engine.measures.heat import days_at_standard_temperature, growing_degree_days, sigmoid_forcing
from season_engine.measures.hourly import hourly_temperatures_c
from season_engine.phenology.season_rows import DAYS, season_day_lengths

FloatArray = NDArray[np.float64]

HEAT_MODELS = ("degree_days", "sigmoid", "standard_days")
COLUMNS = 1 + 2 * DAYS
DAYS_BELOW = "days_below"  # beside the keys of CHILL_MODELS: days whose mean is below `below_c`


class SeasonTable:
    """Rows of latitude, Tmin by day and Tmax by day [degC], shape (seasons, 731); NaN where missing."""

    def __init__(self, table: FloatArray) -> None:
        if table.shape[1] != COLUMNS:
            raise ValueError(
                f"a row holds the latitude, then Tmin and then Tmax of {DAYS} days: {COLUMNS} columns; "
                f"got {table.shape[1]}"
            )
        latitude = table[:, 0]
        if not (np.abs(latitude) <= 90).all():
            raise ValueError("the first column is the latitude, from -90 to 90 degrees in every row")
        self.tmin_c, self.tmax_c = table[:, 1 : 1 + DAYS], table[:, 1 + DAYS :]
        places, place = np.unique(latitude, return_inverse=True)
        self.day_length_h = np.array([season_day_lengths(one) for one in places.tolist()])[place]

    def __len__(self) -> int:
        return int(self.tmin_c.shape[0])

    @cached_property
    def mean_c(self) -> FloatArray:
        """Mean of the day's two extremes, shape (seasons, days)."""
        return (self.tmin_c + self.tmax_c) / 2

    @cached_property
    def hourly_c(self) -> FloatArray:
        """Hourly temperature, shape (seasons, days, 24)."""
        return hourly_temperatures_c(self.tmin_c, self.tmax_c, self.day_length_h)

    def heat(
        self, model: str, *, base_c: float, steepness_per_c: float, middle_c: float, activation_kcal: float
    ) -> FloatArray:
        """Forcing of each day by one of HEAT_MODELS, shape (seasons, days)."""
        if model == "degree_days":
            return growing_degree_days(self.tmin_c, self.tmax_c, base_c=base_c)
        if model == "sigmoid":
            return np.asarray(sigmoid_forcing(self.hourly_c, steepness_per_c, middle_c).mean(axis=2))
        if model == "standard_days":
            return days_at_standard_temperature(self.mean_c, activation_kcal)
        raise ValueError(f"heat_model {model!r} is not one of {', '.join(HEAT_MODELS)}")

    def chill(self, key: str, below_c: float) -> FloatArray:
        """Chill of each day by a model of that key, shape (seasons, days)."""
        if key == DAYS_BELOW:
            return np.where(np.isnan(self.mean_c), np.nan, self.mean_c < below_c)
        if key not in CHILL_MODELS:
            raise ValueError(f"chill_model {key!r} is not one of {', '.join((DAYS_BELOW, *CHILL_MODELS))}")
        model = CHILL_MODELS[key]
        if model.needs == "daily extremes":
            return np.abs(model.increments(self.tmin_c, self.tmax_c))
        if model.needs == "daily means":
            return np.where(np.isnan(self.mean_c), np.nan, model.increments(self.mean_c))
        hours = self.hourly_c.reshape(len(self), -1)
        return np.asarray(model.increments(hours).reshape(self.hourly_c.shape).sum(axis=2))
