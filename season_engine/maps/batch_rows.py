"""One window's rows of what a batch wrote, a column an array."""

from __future__ import annotations

import datetime as dt
from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from enum import IntEnum
from functools import cached_property
from typing import Any

import numpy as np
from numpy.typing import NDArray

from season_engine.maps.dataset import CHANCES, GOOD, MONDAY, NAMES, PLACE, QUANTILES, STATE, SUMS, USUAL
from season_engine.site import Hemisphere, Season

FloatArray = NDArray[np.float64]
Dates = NDArray[np.datetime64]

DATES = (*QUANTILES, *USUAL, MONDAY)
NUMBERS = (*CHANCES, *GOOD, *SUMS)
TEXTS = (*STATE, "refusal")
COLUMNS = ("site", *PLACE, *NAMES, "school", *STATE, *NUMBERS, *DATES, "refusal")


class State(IntEnum):
    """What is known of a site."""

    DATED = 0
    NOT_HERE = 1  # its seasons seldom have this window
    REFUSED = 2  # its weather is too poor to say

    @property
    def told(self) -> str:
        """As programs write it."""
        return self.name.lower().replace("_", "-")


@dataclass(frozen=True, eq=False)
class BatchRows:
    """One window at many sites as it looks from the end of one day.

    `dates` are arrays [site] of datetime64[D], NaT for none; `numbers` of float64, NaN for none; `texts` of
    str, empty for none; each by its column's name. Latitudes and longitudes are degrees, north and east
    positive. `missing_blocks`: parts of the run that aren't written yet.
    """

    species: str
    job: str
    window: str
    on: dt.date
    sites: Sequence[str]
    latitude: FloatArray
    longitude: FloatArray
    dates: Mapping[str, Dates]
    numbers: Mapping[str, FloatArray]
    texts: Mapping[str, NDArray[Any]]
    common_name: str = ""
    missing_blocks: int = 0

    @cached_property
    def state(self) -> NDArray[np.int8]:
        """A `State` a site."""
        state = np.where(self.texts["verdict"] == "not-here", State.NOT_HERE, State.DATED)
        return np.where(self.texts["refusal"] != "", State.REFUSED, state).astype(np.int8)

    @cached_property
    def south(self) -> NDArray[np.bool_]:
        """Which sites have southern seasons, as `Site.hemisphere` has it."""
        return self.latitude < 0

    @cached_property
    def days_after_usual(self) -> FloatArray:
        """By how many days the middle opening comes later than usual; NaN where either isn't known."""
        days = self.dates["opens_p50"] - self.dates["usual_opens"]
        return np.where(np.isnat(days), np.nan, days.astype(np.float64))

    def told_season(self, hemisphere: Hemisphere) -> Season | None:
        """The season that most dated sites of a hemisphere are judged on, the later of two as frequent."""
        of_half = (self.state == State.DATED) & (self.south == (hemisphere == "south"))
        labels, counts = np.unique(self.texts["season"][of_half], return_counts=True)
        if not labels.size:
            return None
        most = max(zip(counts, labels, strict=True))[1]
        return Season(int(str(most).partition("/")[0]), hemisphere)
