"""The daily weather of seasons in many traces."""

from __future__ import annotations

import datetime as dt
from abc import abstractmethod
from collections.abc import Callable, Hashable, Iterable
from dataclasses import dataclass, field
from functools import cached_property
from types import EllipsisType
from typing import Any, ClassVar, TypeVar

import numpy as np
from numpy.typing import NDArray

from season_engine.measures.chill import continued_chill_portions
from season_engine.measures.day_length import day_length_h
from season_engine.measures.first_days import IN_ARRAYS, Days, FirstDays
from season_engine.measures.heat import sigmoid_forcing
from season_engine.measures.hourly import hourly_temperatures_c
from season_engine.measures.root_zone_extremes import RootZone, root_zone_extremes
from season_engine.measures.runs import mean_of_last
from season_engine.pot import Pot
from season_engine.site import Season, Site, day_number

FloatArray = NDArray[np.float64]
Found = TypeVar("Found")

CHILL_DAYS = 274  # chill is counted for nine months from the start of the season


class Traces:
    """Daily weather in arrays [..., trace, day]; leading axes, where there are any, are cases.

    A case is a season of one site as it looks from one day. Columns are days, 29 February left out, and the
    season begins in the same one in every case. The first `observed_days` columns of a case are the same in
    all of its traces.
    """

    tmin_c: FloatArray  # shape (..., traces, days)
    tmax_c: FloatArray
    weights: FloatArray  # shape (..., traces), sum 1
    observed: NDArray[np.int64]  # columns observed in each case, shape (...)
    day_length_h: FloatArray  # shape (..., days)
    season_start: int  # column of the season's first day
    bench_frost_allowance_c: FloatArray  # how much colder a clear night is at the pots, shape (...)
    first_days: ClassVar[FirstDays] = IN_ARRAYS
    usual: Traces | None  # whole past seasons as they were; None: these are they
    _worked_out: dict[Hashable, Any]

    def once(self, key: Hashable, work_out: Callable[[], Found]) -> Found:
        """What `work_out` makes of these traces, worked out once for all species that ask by that key."""
        if key not in self._worked_out:
            self._worked_out[key] = work_out()
        found: Found = self._worked_out[key]
        return found

    @property
    def told_on(self) -> NDArray[np.int64] | None:
        """Columns observed in each case, if anybody asks how far its markers are by then."""
        return self.observed

    @cached_property
    def mean_c(self) -> FloatArray:
        """Mean of the day's two extremes, shape (..., traces, days)."""
        return (self.tmin_c + self.tmax_c) / 2

    def by_day(self, rate: Callable[[FloatArray], FloatArray]) -> FloatArray:
        """Sum over each day's hours of an hourly rate, shape (..., traces, days)."""
        alike, apart = (rate(hours).sum(axis=-1) for hours in self._hourly_c)
        return _joined(alike, apart)

    def forcing(self, steepness_per_c: float, middle_c: float) -> Days:
        """Mean sigmoid forcing of each day's hours, 0 to 1, shape (..., traces, days)."""
        return self.by_day(lambda hours: sigmoid_forcing(hours, steepness_per_c, middle_c)) / 24

    @cached_property
    def chill_portions(self) -> FloatArray:
        """Chill portions gained each day from the season's start, shape (..., traces, days)."""
        first, last = self.season_start, self.season_start + CHILL_DAYS
        known = self._alike
        hours_alike, hours_apart = self._hourly_c
        so_far, store = self._chill_so_far(hours_alike[..., first:last, :])
        if store is not None:
            store = np.repeat(store, self.tmin_c.shape[-2], axis=-1)
        rest, _ = _portions(hours_apart[..., max(first - known, 0) : max(last - known, 0), :], store)
        gained = np.zeros_like(self.tmin_c)
        gained[..., first:last] = _joined(so_far, rest)
        return gained

    def root_zone(self, pot: Pot, *, on_bench: bool = False) -> RootZone:
        """Temperatures of each day in the middle of a pot that stands at the site, shape (..., traces, days).

        `on_bench`: after nights as cold as they are at the pots, which matters for frost.
        """
        colder_c = self.bench_frost_allowance_c[..., None, None] * on_bench
        return self.once(("root zone", pot, bool(colder_c.any())), lambda: self._root_zone(pot, colder_c))

    def root_zone_running_mean_c(self, pot: Pot, days: int) -> Days:
        """Mean of the last so many days in the middle of a pot, shape (..., traces, days)."""
        return mean_of_last(days, self.root_zone(pot).mean_c)

    def root_zone_extreme_c(
        self,
        pot: Pot,
        columns: NDArray[np.int64],  # noqa: ARG002 - of many sites those alone are worked out
        *,
        lowest: bool,
        on_bench: bool = False,
    ) -> FloatArray:
        """The coldest or the warmest hour of each day there, likewise; here of others than `columns` too."""
        found = self.root_zone(pot, on_bench=on_bench)
        return found.min_c if lowest else found.max_c

    def _root_zone(self, pot: Pot, colder_c: FloatArray) -> RootZone:
        found = RootZone(*(np.empty_like(self.tmin_c) for _ in RootZone._fields))
        low_c = self.tmin_c - colder_c
        for site, cases, days in self._places:
            here = root_zone_extremes(
                low_c[cases],
                self.tmax_c[cases],
                latitude_deg=site.latitude,
                day_of_year=days,
                pot=site.standing(pot),
            )
            for all_of_them, some in zip(found, here, strict=True):
                all_of_them[cases] = some
        return found

    @property
    @abstractmethod
    def _places(self) -> Iterable[tuple[Site, Any, FloatArray]]:
        """Each site once, with the places of its cases and the days of its year, shape (days,)."""

    def _chill_so_far(self, hours: FloatArray) -> tuple[FloatArray, FloatArray | None]:
        """Portions of the days alike, from their hours, (..., 1, days), and the store they leave."""
        return _portions(hours, None)

    @property
    def _alike(self) -> int:
        """Days whose hours are the same in all traces of each case.

        The evening of the last observed day leads to a night that no longer is.
        """
        return max(int(np.min(self.observed)) - 1, 0)

    @cached_property
    def _hourly_c(self) -> tuple[FloatArray, FloatArray]:
        """Hourly air temperature of the days alike, (..., 1, days, 24), and of the rest, of all traces."""
        known, length = self._alike, self.day_length_h[..., None, :]
        alike = hourly_temperatures_c(
            self.tmin_c[..., :1, : known + 1], self.tmax_c[..., :1, : known + 1], length[..., : known + 1]
        )[..., :known, :]
        before = max(known - 1, 0)
        apart = hourly_temperatures_c(
            self.tmin_c[..., before:], self.tmax_c[..., before:], length[..., before:]
        )[..., known - before :, :]
        return alike, apart


@dataclass(frozen=True)
class CaseTraces(Traces):
    """Many cases side by side; one with fewer traces than others has the rest of them without weight."""

    tmin_c: FloatArray  # shape (cases, traces, days)
    tmax_c: FloatArray
    weights: FloatArray  # shape (cases, traces)
    observed: NDArray[np.int64]  # shape (cases,)
    day_length_h: FloatArray  # shape (cases, days)
    season_start: int = 0
    bench_frost_allowance_c: FloatArray = field(default_factory=lambda: np.zeros(1))
    sites: tuple[Site, ...] = ()  # of each case
    day_of_year: FloatArray = field(default_factory=lambda: np.zeros((0, 0)))  # shape (cases, days)
    past: Callable[[], CaseTraces] | None = None  # whole past seasons as they were, made when asked for
    # portions and store of each day observed and of later ones, of which none is used; made when asked for
    chill_observed: Callable[[], tuple[FloatArray, FloatArray]] | None = None

    _worked_out: dict[Hashable, Any] = field(default_factory=dict, init=False, repr=False, compare=False)

    @cached_property
    def usual(self) -> CaseTraces | None:  # type: ignore[override]
        """Whole past seasons of each case."""
        return self.past() if self.past else None

    @property
    def _places(self) -> Iterable[tuple[Site, list[int], FloatArray]]:
        for site in dict.fromkeys(self.sites):
            cases = [place for place, one in enumerate(self.sites) if one == site]
            yield site, cases, self.day_of_year[cases[0]]

    def _chill_so_far(self, hours: FloatArray) -> tuple[FloatArray, FloatArray | None]:
        known = hours.shape[-2]
        if self.chill_observed is None or not known:
            return super()._chill_so_far(hours)
        portions, store = self.chill_observed()
        return portions[:, None, :known], store[:, None, known - 1]


class OnCalendar:
    """Columns that are days, 29 February left out."""

    days: NDArray[np.datetime64]  # shape (days,)

    def column(self, on: dt.date) -> int:
        """Column of a date (29 February counts as 28 February); may lie outside."""
        return day_number(on) - day_number(self.days[0].item())

    def covers(self, on: dt.date, *, days: int) -> bool:
        """Whether a date and so many days after it lie inside."""
        return 0 <= self.column(on) and self.column(on) + days < self.days.size


@dataclass(frozen=True)
class TraceSet(OnCalendar, Traces):
    """One case with its calendar: one season of one site, one row a trace.

    `labels` are the years the unobserved remainder comes from. The `forecast_days` after the observed ones
    hold a forecast by its share, and none of them is an observation.
    """

    site: Site
    season: Season
    days: NDArray[np.datetime64]  # shape (days,)
    labels: NDArray[np.int64]  # shape (traces,)
    weights: FloatArray  # shape (traces,), sum 1
    tmin_c: FloatArray  # shape (traces, days)
    tmax_c: FloatArray  # shape (traces, days)
    observed_days: int
    # as forecast, from the first day that isn't observed, shape (forecast_days,); NaN where a day isn't
    forecast_tmin_c: FloatArray = field(default_factory=lambda: np.empty(0))
    forecast_tmax_c: FloatArray = field(default_factory=lambda: np.empty(0))
    usual: TraceSet | None = None  # whole past seasons as they were; None: these are they

    _worked_out: dict[Hashable, Any] = field(default_factory=dict, init=False, repr=False, compare=False)

    def __len__(self) -> int:
        return int(self.labels.size)

    @property
    def forecast_days(self) -> int:
        """Columns after the observed ones up to the last that is forecast."""
        return int(self.forecast_tmin_c.size)

    @property
    def season_start(self) -> int:  # type: ignore[override]
        """Column of the season's first day."""
        return self.column(self.season.start)

    def date_of(self, column: float) -> dt.date | None:
        """Date of a column, None for one that is never reached or lies outside the trace."""
        if not np.isfinite(column) or not 0 <= round(column) < self.days.size:
            return None
        found: dt.date = self.days[round(column)].item()
        return found

    @cached_property
    def observed(self) -> NDArray[np.int64]:  # type: ignore[override]
        """Columns observed, shape ()."""
        return np.array(self.observed_days)

    @cached_property
    def day_length_h(self) -> FloatArray:  # type: ignore[override]
        """Hours of daylight, shape (days,)."""
        return day_length_h(self.site.latitude, day_of_year(self.days))

    @property
    def _places(self) -> Iterable[tuple[Site, EllipsisType, FloatArray]]:
        return ((self.site, ..., day_of_year(self.days)),)

    @property
    def bench_frost_allowance_c(self) -> FloatArray:  # type: ignore[override]
        """How much colder a clear night is at the pots than at the sensor, shape ()."""
        return np.array(self.site.bench_frost_allowance_c)


def _joined(alike: FloatArray, apart: FloatArray) -> FloatArray:
    """Days alike in all traces, shape (..., 1, days), and then the rest, shape (..., traces, days)."""
    once = np.broadcast_to(alike, (*apart.shape[:-1], alike.shape[-1]))
    return np.concatenate([once, apart], axis=-1)


def _portions(hourly_c: FloatArray, store: FloatArray | None) -> tuple[FloatArray, FloatArray | None]:
    """Portions gained each day, shape of the days, and the store they leave for the hours that follow."""
    if not hourly_c.shape[-2]:
        return hourly_c.sum(axis=-1), store
    hours = hourly_c.reshape(*hourly_c.shape[:-2], -1)
    portions, store = continued_chill_portions(hours, store)
    return portions.reshape(hourly_c.shape).sum(axis=-1), store


def day_of_year(days: NDArray[np.datetime64]) -> FloatArray:
    """Day of the calendar year, 1 to 366, shape of `days`."""
    new_year = days.astype("datetime64[Y]").astype("datetime64[D]")
    place: FloatArray = (days - new_year).astype(np.float64) + 1
    return place


def is_leap_day(days: NDArray[np.datetime64]) -> NDArray[np.bool_]:
    """Whether a day is a 29 February, shape of `days`."""
    months = days.astype("datetime64[M]")
    february = months.astype(np.int64) % 12 == 1
    found: NDArray[np.bool_] = february & ((days - months).astype(np.int64) == 28)
    return found
