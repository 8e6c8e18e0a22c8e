"""When a window opens and closes in every trace and draw, and the odds that follow."""

from __future__ import annotations

import datetime as dt
from collections.abc import Sequence
from dataclasses import dataclass, replace
from functools import cached_property
from typing import Any

import numpy as np
from numpy.typing import ArrayLike, NDArray

from season_engine.markers.base import By
from season_engine.phenology.date_odds import DateOdds
from season_engine.phenology.dating import AnyTraces, Dating, SeasonDating, chances
from season_engine.traces import TraceSet
from season_engine.windows.assessment import End, Quantiles

FloatArray = NDArray[np.float64]
ENDS: tuple[End, End] = ("opens", "closes")

# Where summers are long, what waits for their end comes only after the season it is counted in.
LAST_DAY = 365 + 92  # of the season


@dataclass(frozen=True)
class Ends:
    """Columns at which a window opens and closes, in arrays [..., trace, draw]; infinite: never."""

    opens: FloatArray
    closes: FloatArray
    weights: FloatArray

    @cached_property
    def opens_odds(self) -> DateOdds:
        """Odds of the column at which it opens."""
        return chances(self.opens, self.weights)

    @cached_property
    def closes_odds(self) -> DateOdds:
        """Odds of the column at which it closes."""
        return chances(self.closes, self.weights)

    @cached_property
    def given(self) -> FloatArray:
        """Chance that a case has this window at all, shape (...)."""
        return np.asarray(np.where(np.isfinite(self.opens), self.weights, 0.0).sum(axis=(-2, -1)))

    def mostly_after(self, columns: FloatArray) -> bool:
        """Whether it opens, where it does, mostly after those columns: what came by then can't close it."""
        late = np.isfinite(self.opens) & (columns < self.opens)
        return bool(np.where(late, self.weights, 0.0).sum() > 0.5 * self.given.sum())

    def is_open(self, column: ArrayLike) -> NDArray[np.bool_]:
        """Chances in which the window is open on a day of each case, shape (..., traces, draws)."""
        day = np.asarray(column, np.float64)[..., None, None]
        return np.asarray((self.opens <= day) & (day < self.closes))

    def open_on(self, column: ArrayLike) -> FloatArray:
        """Chance that the window is open on a day of each case, shape (...)."""
        return np.asarray(np.where(self.is_open(column), self.weights, 0.0).sum(axis=(-2, -1)))


@dataclass(frozen=True)
class Opening(Ends):
    """The same of one case, with its calendar."""

    traces: TraceSet
    calendar: frozenset[End] = frozenset()  # the ends that the calendar sets, where that was looked at

    def told_as(self, **changes: Any) -> Opening:
        """The same chances with another calendar, or other ends set by it; their odds are kept."""
        made = replace(self, **changes)
        vars(made).update(opens_odds=self.opens_odds, closes_odds=self.closes_odds)
        return made

    @property
    def chance_given(self) -> float:
        """Chance that the season has this window at all."""
        return float(self.given)

    def set_by(self, end: End) -> By:
        """What sets one end."""
        return "calendar" if end in self.calendar else "weather"

    def chance_open(self, on: dt.date) -> float:
        """Chance that the window is open on a day."""
        return float(self.open_on(self.traces.column(on)))

    def chances_open(self, on: Sequence[dt.date]) -> list[float]:
        """Chance that the window is open, on each of several days."""
        chances: list[float] = self.open_on([self.traces.column(day) for day in on]).tolist()
        return chances

    def chance_opened(self, by: dt.date) -> float:
        """Chance that the window has opened on or before a day."""
        return float(self.weights[self.opens <= self.traces.column(by)].sum())

    def opened_by(self, odds: float) -> dt.date | None:
        """First day by which the chance of having opened reaches `odds`; None: never."""
        return self.traces.date_of(float(self.opens_odds.by(odds)))

    def closed_by(self, odds: float) -> dt.date | None:
        """First day by which the chance of having closed reaches `odds`; None: never."""
        return self.traces.date_of(float(self.closes_odds.by(odds)))

    def middle(self, end: End) -> dt.date | None:
        """Middle date of one end; None: more likely never than not."""
        return self.opened_by(0.5) if end == "opens" else self.closed_by(0.5)

    @property
    def opens_quantiles(self) -> Quantiles:
        """Opening dates; unconditional, so a trace without the window counts as later than any date."""
        return self._quantiles("opens", self.opens_odds)

    @property
    def closes_quantiles(self) -> Quantiles:
        """Closing dates, unconditional as well."""
        return self._quantiles("closes", self.closes_odds)

    def _quantiles(self, end: End, odds: DateOdds) -> Quantiles:
        p10, p50, p90 = (self.traces.date_of(column) for column in odds.by((0.1, 0.5, 0.9)).tolist())
        return Quantiles(p10, p50, p90, end if end in self.calendar else None)


def open_window(dating: SeasonDating, opens: Sequence[str], closes: Sequence[str]) -> Opening:
    """The window of one case, with its calendar; see `ends_of`."""
    return Opening(**vars(ends_of(dating, opens, closes)), traces=dating.traces)


def ends_of(dating: Dating[AnyTraces], opens: Sequence[str], closes: Sequence[str]) -> Ends:
    """Open at the latest of `opens`, close at the first of `closes` at or after that, in any number of cases.

    A trace in which no closing marker follows has no window, nor has one that opens three months and
    more after its season.
    """
    opening = np.max([dating.dates[name] for name in opens], axis=0)
    closings = np.array([dating.dates[name] for name in closes])
    closing = np.where(closings >= opening, closings, np.inf).min(axis=0)
    too_late = opening >= dating.traces.season_start + LAST_DAY
    none = ~np.isfinite(opening) | ~np.isfinite(closing) | too_late
    return Ends(np.where(none, np.inf, opening), np.where(none, np.inf, closing), dating.weights)
