"""The heat models there are beside growing degree days and hours, by author and year."""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import dataclass

from numpy.typing import ArrayLike

from season_engine.measures.chill_days import FloatArray, cesaraccio_chill_days
from season_engine.measures.chill_models import CHILL_MODELS, Needs, column_name
from season_engine.measures.heat import days_at_standard_temperature, sigmoid_forcing


@dataclass(frozen=True)
class HeatModel:
    """One way to count the warmth that brings growth on; units of different models can't be converted."""

    key: str  # author and year
    year: int
    unit: str
    needs: Needs
    meant_for: str  # trees it was made on
    source: str
    increments: Callable[..., FloatArray]  # temperatures in, units of each step out

    @property
    def column(self) -> str:
        """What a table calls it: author, year and unit."""
        return column_name(self.key, self.unit)


def _forcing_of_an_hour(hourly_c: ArrayLike) -> FloatArray:
    return sigmoid_forcing(hourly_c) / 24.0


def _anti_chill(tmin_c: ArrayLike, tmax_c: ArrayLike) -> FloatArray:
    return cesaraccio_chill_days(tmin_c, tmax_c).anti_chill


_MODELS = (
    HeatModel(
        "haenninen_1990",
        1990,
        "forcing units",
        "hours",
        "trees of cool and temperate forests",
        f"{CHILL_MODELS['haenninen_1990'].source}; its two constants from memory",
        _forcing_of_an_hour,
    ),
    HeatModel(
        "ono_konno_1999",
        1999,
        "days at 25 degC",
        "daily means",
        "fruit trees; here with the activation energy that fits flowering cherry",
        "Ono, S. & Konno, T. (1999), Estimation of flowering date and temperature characteristics of fruit "
        "trees by DTS method, Japan Agricultural Research Quarterly 33, 105-108; its formula from memory",
        days_at_standard_temperature,
    ),
    HeatModel(
        "cesaraccio_2004",
        2004,
        "anti-chill days",
        "daily extremes",
        CHILL_MODELS["cesaraccio_2004"].meant_for,
        CHILL_MODELS["cesaraccio_2004"].source,
        _anti_chill,
    ),
)

HEAT_MODELS = {model.key: model for model in _MODELS}
