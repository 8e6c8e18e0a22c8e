"""What trees feel outdoors: nights, days and the middle of pots, of past seasons and of this one."""

from __future__ import annotations

import datetime as dt
from collections.abc import Callable
from functools import cached_property
from typing import Literal

import numpy as np
from numpy.typing import NDArray

from season_engine.measures.root_zone_extremes import RootZone, root_zone_extremes
from season_engine.measures.runs import mean_of_last
from season_engine.pot import Pot
from season_engine.traces import SeasonView, TraceSet
from season_engine.traces.trace_set import day_of_year

FloatArray = NDArray[np.float64]
BoolArray = NDArray[np.bool_]

Felt = Literal["night", "day", "mean", "coldest roots", "mean roots", "hottest roots"]
YEAR_DAYS = 365
HARDENED_C, HARDENED_DAYS = 7.0, 28  # so long together below that, and a tree is hard: common practice
CLEAR_RANGE_C = 12.0  # between a day's extremes, from where on its night is taken for clear: from memory


class Outdoors:
    """A yard's weather as its trees feel it, in columns of one calendar, that of `season`.

    `past` are whole seasons as they were, shape (traces, days); `season` is this one, of which the days
    observed and those forecast are read, shape (days,).
    """

    def __init__(self, view: SeasonView) -> None:
        self.on = view.on
        self.season: TraceSet = view.season()
        self.past: TraceSet = view.past
        self.today = self.season.column(view.on)
        self._roots_now: dict[Pot, RootZone] = {}

    @property
    def known(self) -> int:
        """Columns observed or forecast."""
        return self.season.observed_days + self.season.forecast_days

    def date_of(self, column: int) -> dt.date:
        """Date of a column of the calendar, or of one after its last."""
        season = self.season.season
        return season.date_of(season.day_of(season.first_trace_day) + column)

    @cached_property
    def extremes_now_c(self) -> tuple[FloatArray, FloatArray]:
        """Lows and highs of the days observed and of those forecast, shape (known,)."""
        seen, s = self.season.observed_days, self.season
        low = np.concatenate([s.tmin_c[0, :seen], s.forecast_tmin_c])
        return low, np.concatenate([s.tmax_c[0, :seen], s.forecast_tmax_c])

    def now_c(self, felt: Felt, pot: Pot) -> FloatArray:
        """What is felt on the days observed and forecast, shape (known,); NaN where a day isn't."""
        low, high = self.extremes_now_c
        return self._felt_c(felt, low, high, lambda: self._roots_of_now(pot))

    def of_traces_c(self, felt: Felt, pot: Pot, traces: TraceSet) -> FloatArray:
        """What is felt in each trace, shape (traces, days)."""

        def roots() -> RootZone:
            return traces.root_zone(pot, on_bench=felt != "hottest roots")

        return self._felt_c(felt, traces.tmin_c, traces.tmax_c, roots)

    def _felt_c(
        self, felt: Felt, low_c: FloatArray, high_c: FloatArray, roots: Callable[[], RootZone]
    ) -> FloatArray:
        match felt:
            case "night":
                return np.asarray(low_c - self.season.bench_frost_allowance_c)
            case "day":
                return high_c
            case "mean":
                return np.asarray((low_c + high_c) / 2)
            case "coldest roots":
                return np.asarray(roots().min_c)
            case "mean roots":
                return np.asarray(roots().mean_c)
            case "hottest roots":
                return np.asarray(roots().max_c)

    def _roots_of_now(self, pot: Pot) -> RootZone:
        if pot not in self._roots_now:
            low, high = self.extremes_now_c
            self._roots_now[pot] = root_zone_extremes(
                low - self.season.bench_frost_allowance_c,
                high,
                latitude_deg=self.season.site.latitude,
                day_of_year=day_of_year(self.season.days[: low.size]),
                pot=self.season.site.standing(pot),
            )
        return self._roots_now[pot]

    @cached_property
    def clear_now(self) -> BoolArray:
        """Which of the nights observed and forecast are clear, shape (known,)."""
        low, high = self.extremes_now_c
        return np.asarray(high - low >= CLEAR_RANGE_C)

    @cached_property
    def hardened(self) -> int | None:
        """Column by which, with even odds, it has been cold so long that trees are hard; None: never."""
        mean, start = self.season.mean_c, self.season.season_start
        if not mean.shape[0]:
            return None
        day = np.arange(mean.shape[1])
        cold = (mean_of_last(HARDENED_DAYS, mean) < HARDENED_C) & (day >= start) & (day < start + YEAR_DAYS)
        middle = float(np.median(np.where(cold.any(axis=1), cold.argmax(axis=1), np.inf)))
        return int(middle) if np.isfinite(middle) else None
