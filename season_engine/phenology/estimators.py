"""The marker models as scikit-learn estimators, for fitting and validation.

X has one row a station-season: latitude, then Tmin [degC] by day, then Tmax by day, from the season's first
day (1 October north, 1 April south) for 365 days, 29 February left out. y is the day of the season on which
the event came. `season_rows` lays a record out so.

A missing temperature is NaN. What comes after it in its season isn't known: in `fit` a season with a gap
before its event is left out, and `predict` gives NaN where a gap comes before the marker. A whole season that
never gets there is infinite, "not reached". Neither is ever a number, so scikit-learn's measures of error,
which accept finite predictions only, stop at one; `score` knows what to do with it.
"""

from __future__ import annotations

from collections.abc import Iterator, Mapping
from itertools import product
from typing import Any, Self

import numpy as np
from numpy.typing import ArrayLike, NDArray
from sklearn.base import BaseEstimator, RegressorMixin
from sklearn.utils.validation import check_is_fitted, validate_data

from season_engine.phenology.marker_models import (
    NEVER,
    alternating_level,
    day_reached,
    level_on,
    sequential_level,
    softened_level,
    thermal_level,
)
from season_engine.phenology.season_rows import DAYS
from season_engine.phenology.season_table import DAYS_BELOW, SeasonTable

FloatArray = NDArray[np.float64]
Numbers = Mapping[str, float]


# What is searched where a parameter is None: multiples of the middle chill (or heat) on the day of the event.
CHILL_SHARES = tuple(place / 20 for place in range(25))
SOFTENINGS = tuple(place / 10 for place in range(31))
FALLS = (0.5, 1.0, 1.5, 2.0, 3.0, 4.0)
MORES = (0.0, 0.25, 0.5, 1.0, 2.0, 4.0, 8.0, 16.0)


class _Marker(RegressorMixin, BaseEstimator):  # type: ignore[misc]  # scikit-learn ships no types
    """What the estimators share: the table, the search, "not reached"."""

    def fit(self, X: ArrayLike, y: ArrayLike) -> Self:
        """Learn from seasons whose event came on day `y`, shapes (seasons, 731) and (seasons,).

        Raises ValueError where no season is whole up to its event, or the need comes out as nothing because
        most of the events came before counting starts.
        """
        table, days = validate_data(
            self, X, y, dtype=np.float64, ensure_all_finite="allow-nan", y_numeric=True
        )
        self._learn(self._seasons(table), self._days_of_season(days))
        return self

    def predict(self, X: ArrayLike) -> FloatArray:
        """Day of the marker, shape (seasons,): infinite if not reached, NaN if a gap comes before it."""
        check_is_fitted(self)
        table = validate_data(self, X, dtype=np.float64, ensure_all_finite="allow-nan", reset=False)
        return self._dated(self._seasons(table))

    def score(self, X: ArrayLike, y: ArrayLike) -> float:
        """Mean absolute error in days with a minus, so that more is better.

        A season not reached counts as dated on the last day; one with a gap before the marker is left out.
        """
        days, came = self.predict(X), np.asarray(y, np.float64)
        known = ~np.isnan(days)
        return -_mean_error(days[known], came[known]) if known.any() else float("nan")

    def __sklearn_tags__(self) -> Any:
        tags = super().__sklearn_tags__()
        tags.input_tags.allow_nan = True
        tags.regressor_tags.poor_score = True  # of numbers that are no weather
        return tags

    def _seasons(self, table: FloatArray) -> SeasonTable:
        return SeasonTable(table)

    def _days_of_season(self, y: FloatArray) -> FloatArray:
        if not ((y >= 0) & (y <= DAYS)).all():
            raise ValueError(f"y holds days of the season, from 0 to {DAYS}")
        return np.asarray(y, np.float64)

    def _learn(self, seasons: SeasonTable, days: FloatArray) -> None:
        raise NotImplementedError

    def _dated(self, seasons: SeasonTable) -> FloatArray:
        raise NotImplementedError


class MeanDateMarker(_Marker):
    """The mean date, whatever the weather: what every other model has to beat."""

    mean_day_: float

    def _learn(self, seasons: SeasonTable, days: FloatArray) -> None:
        self.mean_day_ = float(days.mean())

    def _dated(self, seasons: SeasonTable) -> FloatArray:
        return np.full(len(seasons), self.mean_day_)


class _DrivenMarker(_Marker):
    """A level that rises with the weather reaches a need, `need_`: the middle level on the days it came."""

    heat_model: str
    base_c: float
    steepness_per_c: float
    middle_c: float
    activation_kcal: float
    need_: float

    def _learn(self, seasons: SeasonTable, days: FloatArray) -> None:
        rates = self._rates(seasons)
        level, known_days = self._known(self._level(rates, self._first_guess()))
        used = np.maximum(np.ceil(days), 1) <= known_days
        if not used.any():
            raise ValueError("no season has temperatures without a gap from its first day to its event")
        rates, came, last = rates[:, used], days[used], known_days[used]
        best: tuple[float, float, Numbers] | None = None
        for numbers in self._candidates(rates, came):
            level = self._level(rates, numbers)
            need = float(np.median(level_on(level, came)))
            error = _mean_error(day_reached(level, need), came, last)
            possible = need > 0 and need >= numbers.get("more", 0.0)  # what is left is the least, not below 0
            if possible and (best is None or error < best[0]):
                best = error, need, numbers
        if best is None:
            raise ValueError("most events came before counting starts: choose an earlier start")
        self.need_ = best[1]
        for name, value in best[2].items():
            setattr(self, f"{name}_", value)

    def _dated(self, seasons: SeasonTable) -> FloatArray:
        fitted = {name: float(getattr(self, f"{name}_")) for name in self._first_guess()}
        level, known_days = self._known(self._level(self._rates(seasons), fitted))
        days = day_reached(level, self.need_)
        unknown = (known_days < DAYS) & ~(days <= known_days)
        return np.where(unknown, np.nan, days)

    def _known(self, level: FloatArray) -> tuple[FloatArray, FloatArray]:
        """The level without NaN, and on how many days from the first it is known."""
        missing = np.isnan(level)
        known_days = np.where(missing.any(axis=1), missing.argmax(axis=1), DAYS).astype(np.float64)
        return np.where(missing, -NEVER, level), known_days

    def _heat(self, seasons: SeasonTable) -> FloatArray:
        """Forcing of each day by the heat model, shape (seasons, days)."""
        return seasons.heat(
            self.heat_model,
            base_c=self.base_c,
            steepness_per_c=self.steepness_per_c,
            middle_c=self.middle_c,
            activation_kcal=self.activation_kcal,
        )

    def _rates(self, seasons: SeasonTable) -> FloatArray:
        """Heat, and chill where the model has it, of each day; shape (1 or 2, seasons, days)."""
        return self._heat(seasons)[None]

    def _first_guess(self) -> Numbers:
        """The searched parameters, each with a value that the level can be worked out for."""
        return {}

    def _candidates(self, rates: FloatArray, days: FloatArray) -> Iterator[Numbers]:
        """What is searched, the plainest first: of equals the first is kept."""
        yield {}

    def _level(self, rates: FloatArray, numbers: Numbers) -> FloatArray:
        raise NotImplementedError


class ThermalTimeMarker(_DrivenMarker):
    """Heat counted from a day of the season on reaches a need.

    Parameters
    ----------
    heat_model : "degree_days" above `base_c` [degC]; "sigmoid" of each hour, with `steepness_per_c` and
        `middle_c` [degC]; or "standard_days", days at 25 degC by the Arrhenius law with `activation_kcal`.
    start : day of the season that heat is counted from; 92 is 1 January north, 2 July south.

    Attributes
    ----------
    need_ : in the unit of the heat model.
    """

    def __init__(
        self,
        heat_model: str = "degree_days",
        start: int = 92,
        base_c: float = 5.0,
        steepness_per_c: float = 0.3,
        middle_c: float = 14.0,
        activation_kcal: float = 17.0,
    ) -> None:
        self.heat_model = heat_model
        self.start = start
        self.base_c = base_c
        self.steepness_per_c = steepness_per_c
        self.middle_c = middle_c
        self.activation_kcal = activation_kcal

    def _level(self, rates: FloatArray, numbers: Numbers) -> FloatArray:
        return thermal_level(rates[0], start=self.start)


class _ChilledMarker(_DrivenMarker):
    """One that chill has a part in."""

    chill_model: str
    chill_below_c: float

    def _rates(self, seasons: SeasonTable) -> FloatArray:
        return np.array([self._heat(seasons), seasons.chill(self.chill_model, self.chill_below_c)])


class ChillThenHeatMarker(_ChilledMarker):
    """Heat counts once a chill need is met, strictly in sequence; breaks down where winters are mild.

    Parameters
    ----------
    heat_model, base_c, steepness_per_c, middle_c, activation_kcal : as for ThermalTimeMarker.
    chill_model : a key of CHILL_MODELS, or "days_below" with `chill_below_c`; counted from the first day.
    chill_need : in the unit of the chill model; None: searched up to 1.2 times the middle chill at the event.

    Attributes
    ----------
    need_, chill_need_ : in the units of the two models.
    """

    chill_need_: float

    def __init__(
        self,
        heat_model: str = "degree_days",
        chill_model: str = "fishman_1987",
        chill_need: float | None = None,
        base_c: float = 5.0,
        steepness_per_c: float = 0.3,
        middle_c: float = 14.0,
        activation_kcal: float = 17.0,
        chill_below_c: float = 5.0,
    ) -> None:
        self.heat_model = heat_model
        self.chill_model = chill_model
        self.chill_need = chill_need
        self.base_c = base_c
        self.steepness_per_c = steepness_per_c
        self.middle_c = middle_c
        self.activation_kcal = activation_kcal
        self.chill_below_c = chill_below_c

    def _first_guess(self) -> Numbers:
        return {"chill_need": 0.0}

    def _candidates(self, rates: FloatArray, days: FloatArray) -> Iterator[Numbers]:
        usual = _usual(rates[1], days)
        tried = [share * usual for share in CHILL_SHARES] if self.chill_need is None else [self.chill_need]
        yield from ({"chill_need": float(need)} for need in tried)

    def _level(self, rates: FloatArray, numbers: Numbers) -> FloatArray:
        return sequential_level(*rates, chill_need=numbers["chill_need"])


class SoftenedHeatMarker(_ChilledMarker):
    """Heat reaches a need that falls as chill rises, ``need * exp(-softening * chill)``.

    Parameters
    ----------
    heat_model, start, base_c, steepness_per_c, middle_c, activation_kcal : as for ThermalTimeMarker.
    chill_model, chill_below_c : as for ChillThenHeatMarker.
    softening : per unit of chill; None: searched from 0 to 3 over the middle chill at the event.

    Attributes
    ----------
    need_ : in the unit of the heat model, as if there had been no chill.
    softening_ : per unit of chill.
    """

    softening_: float

    def __init__(
        self,
        heat_model: str = "sigmoid",
        chill_model: str = "fishman_1987",
        start: int = 92,
        softening: float | None = None,
        base_c: float = 5.0,
        steepness_per_c: float = 0.3,
        middle_c: float = 14.0,
        activation_kcal: float = 17.0,
        chill_below_c: float = 5.0,
    ) -> None:
        self.heat_model = heat_model
        self.chill_model = chill_model
        self.start = start
        self.softening = softening
        self.base_c = base_c
        self.steepness_per_c = steepness_per_c
        self.middle_c = middle_c
        self.activation_kcal = activation_kcal
        self.chill_below_c = chill_below_c

    def _first_guess(self) -> Numbers:
        return {"softening": 0.0}

    def _candidates(self, rates: FloatArray, days: FloatArray) -> Iterator[Numbers]:
        usual = _usual(rates[1], days)
        tried = [step / usual for step in SOFTENINGS] if self.softening is None else [self.softening]
        yield from ({"softening": float(softening)} for softening in tried)

    def _level(self, rates: FloatArray, numbers: Numbers) -> FloatArray:
        return softened_level(*rates, start=self.start, softening=numbers["softening"])


class AlternatingMarker(_ChilledMarker):
    """Heat reaches ``least + more * exp(-fall * chill)``: even full chill leaves the least.

    Parameters
    ----------
    heat_model, start, base_c, steepness_per_c, middle_c, activation_kcal : as for ThermalTimeMarker.
    chill_model, chill_below_c : as for ChillThenHeatMarker; days below 5 degC are the authors' (from memory).
    more : heat wanted on top without any chill; None: searched up to 16 times the middle heat at the event.
    fall : per unit of chill; None: searched from 0.5 to 4 over the middle chill at the event.

    Attributes
    ----------
    least_, more_, fall_ : the three; `need_` is the sum of the first two.

    References
    ----------
    Cannell, M. G. R. and Smith, R. I. (1983), Thermal time, chill days and prediction of budburst in Picea
    sitchensis, Journal of Applied Ecology 20, 951-963 (form read in a secondary copy).
    """

    more_: float
    fall_: float

    def __init__(
        self,
        heat_model: str = "degree_days",
        chill_model: str = DAYS_BELOW,
        start: int = 92,
        more: float | None = None,
        fall: float | None = None,
        base_c: float = 5.0,
        steepness_per_c: float = 0.3,
        middle_c: float = 14.0,
        activation_kcal: float = 17.0,
        chill_below_c: float = 5.0,
    ) -> None:
        self.heat_model = heat_model
        self.chill_model = chill_model
        self.start = start
        self.more = more
        self.fall = fall
        self.base_c = base_c
        self.steepness_per_c = steepness_per_c
        self.middle_c = middle_c
        self.activation_kcal = activation_kcal
        self.chill_below_c = chill_below_c

    @property
    def least_(self) -> float:
        """Heat that even full chill leaves."""
        check_is_fitted(self)
        return self.need_ - self.more_

    def _first_guess(self) -> Numbers:
        return {"more": 0.0, "fall": 0.0}

    def _candidates(self, rates: FloatArray, days: FloatArray) -> Iterator[Numbers]:
        heat = float(np.median(level_on(thermal_level(rates[0], start=self.start), days)))
        chill = _usual(rates[1], days)
        mores = [share * heat for share in MORES] if self.more is None else [self.more]
        falls = [step / chill for step in FALLS] if self.fall is None else [self.fall]
        yield from ({"more": float(more), "fall": float(fall)} for more, fall in product(mores, falls))

    def _level(self, rates: FloatArray, numbers: Numbers) -> FloatArray:
        return alternating_level(*rates, start=self.start, more=numbers["more"], fall=numbers["fall"])


def _usual(chill: FloatArray, days: FloatArray) -> float:
    """Middle chill on the day of the event; 1 where there is none, or less."""
    usual = float(np.median(level_on(np.cumsum(chill, axis=1), days)))
    return usual if usual > 0 else 1.0


def _mean_error(days: FloatArray, came: FloatArray, last: ArrayLike = DAYS) -> float:
    """Mean absolute error, "not reached" taken as the last day known."""
    return float(np.mean(np.abs(np.minimum(days, last) - came)))
