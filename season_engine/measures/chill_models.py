"""The chill models there are, by the key that a catalogue refers to them by."""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import dataclass
from typing import Literal

from numpy.typing import ArrayLike

from season_engine.measures import chill
from season_engine.measures.chill_days import (
    FloatArray,
    cesaraccio_chill_days,
    haenninen_units,
    legave_units,
)

Needs = Literal["hours", "daily means", "daily extremes"]
"""What a model counts from."""


@dataclass(frozen=True)
class ChillModel:
    """One way to count chill. Units of different models can't be converted into one another."""

    key: str  # author and year
    year: int
    unit: str
    needs: Needs
    chills_between_c: tuple[float, float]  # valid range: outside, under a hundredth of the best
    meant_for: str  # trees and winters it was made on
    source: str
    increments: Callable[..., FloatArray]  # temperatures in, units of each step out

    @property
    def column(self) -> str:
        """What a table calls it: author, year and unit."""
        return column_name(self.key, self.unit)


def column_name(key: str, unit: str) -> str:
    """A key with its unit behind it, in small letters and underscores."""
    return f"{key}_{unit}".lower().replace(" ", "_").replace("-", "_")


def _cesaraccio(tmin_c: ArrayLike, tmax_c: ArrayLike) -> FloatArray:
    return cesaraccio_chill_days(tmin_c, tmax_c).chill


_MODELS = (
    ChillModel(
        "weinberger_1950",
        1950,
        "chilling hours",
        "hours",
        (0.0, 7.2),
        "peach; cool winters only: hours below freezing or warm spells don't show",
        "Weinberger, J. H. (1950), Chilling requirements of peach varieties, Proceedings of the American "
        "Society for Horticultural Science 56, 122-128",
        chill.chilling_hours,
    ),
    ChillModel(
        "richardson_1974",
        1974,
        "Utah chill units",
        "hours",
        (1.4, 12.4),
        "peach; cold and cool winters: sums turn negative in mild ones",
        "Richardson, E. A., Seeley, S. D. & Walker, D. R. (1974), A model for estimating the completion of "
        "rest for 'Redhaven' and 'Elberta' peach trees, HortScience 9, 331-332",
        chill.utah_units,
    ),
    ChillModel(
        "gilreath_buchanan_1981",
        1981,
        "low-chill units",
        "hours",
        (1.0, 13.9),
        "low-chill nectarine; mild winters",
        "Gilreath, P. R. & Buchanan, D. W. (1981), Rest prediction model for low-chilling 'Sungold' "
        "nectarine, Journal of the American Society for Horticultural Science 106, 426-429",
        chill.low_chill_units,
    ),
    ChillModel(
        "shaltout_unrath_1983",
        1983,
        "North Carolina chill units",
        "hours",
        (-1.1, 13.0),
        "apple; winters with warm spells",
        "Shaltout, A. D. & Unrath, C. R. (1983), Rest completion prediction model for 'Starkrimson "
        "Delicious' apples, Journal of the American Society for Horticultural Science 108, 957-961",
        chill.north_carolina_units,
    ),
    ChillModel(
        "fishman_1987",
        1987,
        "chill portions",
        "hours",
        (-2.0, 12.9),
        "peach; mild and cool winters alike: the one to compare places by",
        "Fishman, S., Erez, A. & Couvillon, G. A. (1987), The temperature dependence of dormancy breaking "
        "in plants, Journal of Theoretical Biology 124, 473-483",
        chill.chill_portions,
    ),
    ChillModel(
        "haenninen_1990",
        1990,
        "chill units",
        "daily means",
        (-3.4, 10.4),
        "trees of cool and temperate forests",
        "Hänninen, H. (1990), Modelling bud dormancy release in trees from cool and temperate regions, Acta "
        "Forestalia Fennica 213, 1-47",
        haenninen_units,
    ),
    ChillModel(
        "linvill_1990",
        1990,
        "smooth Utah chill units",
        "hours",
        (0.0, 14.0),
        "peach; cold and cool winters, as the Utah units",
        "Linvill, D. E. (1990), Calculating chilling hours and chill units from daily maximum and minimum "
        "temperature observations, HortScience 25, 14-16",
        chill.smooth_utah_units,
    ),
    ChillModel(
        "linsley_noakes_1994",
        1994,
        "positive Utah chill units",
        "hours",
        (1.4, 12.4),
        "peach; mild winters",
        "Linsley-Noakes, G. C. & Allan, P. (1994), Comparison of two models for the prediction of rest "
        "completion in peaches, Scientia Horticulturae 59, 107-113",
        chill.positive_utah_units,
    ),
    ChillModel(
        "cesaraccio_2004",
        2004,
        "chill days",
        "daily extremes",
        (0.0, 7.15),
        "crop and forest trees of the Mediterranean",
        "Cesaraccio, C., Spano, D., Snyder, R. L. & Duce, P. (2004), Chilling and forcing model to predict "
        "bud-burst of crop and forest species, Agricultural and Forest Meteorology 126, 1-13",
        _cesaraccio,
    ),
    ChillModel(
        "legave_2008",
        2008,
        "chill units",
        "daily means",
        (-23.0, 25.0),
        "apple in western Europe",
        "Legave, J. M. et al. (2008), Selecting models of apple flowering time and understanding how global "
        "warming has had an impact on this trait, Journal of Horticultural Science and Biotechnology 83, "
        "76-84",
        legave_units,
    ),
)

CHILL_MODELS = {model.key: model for model in _MODELS}
