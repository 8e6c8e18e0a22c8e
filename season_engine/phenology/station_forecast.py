"""Forecasts of an event at one station, from its seasons so far, its past years and its own notes."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from copy import copy
from functools import cached_property

import numpy as np
from numpy.typing import NDArray

from season_engine.phenology.forecast import Forecast
from season_engine.phenology.marker_models import day_reached
from season_engine.phenology.season_rows import DAYS, OFFSETS_C, SeasonRows
from season_engine.phenology.softened_fit import SoftenedModel, dated, log_shift, log_weights
from season_engine.phenology.spread import OWN_YEARS, Spread, needed_scale
from season_engine.phenology.weather_memory import MEMORY_DAYS, trend_c_per_year

FloatArray = NDArray[np.float64]

PAST_YEARS = 25
NOTES_FOR_USUAL = 15
FEWEST_NOTES = 5
LEAST_CASES = 5  # of a forecast that are still to come
HALF_DAY = 0.5  # notes are whole days, each taking the odds of half a day either side of it


class StationForecaster:
    """What was learnt of an event, at one station; `forecast` uses nothing dated after the day of issue."""

    def __init__(
        self, rows: SeasonRows, models: Sequence[SoftenedModel], spread: Spread, persistence: FloatArray
    ) -> None:
        self.rows = rows
        self.observed = rows.observed
        self.models = models
        self.spread = spread
        self.persistence = np.concatenate([[1.0], persistence, np.zeros(DAYS)])  # by days ahead
        self._ratios: dict[tuple[int, int], float | None] = {}

    def with_notes(self, noted: Mapping[int, float]) -> StationForecaster:
        """The same station with other notes, by the season's first year; what hangs on weather is shared."""
        shared = {name: getattr(self, name) for name in ("_forcing", "_chill", "_dated")}
        other = copy(self)
        other.__dict__.update(shared)
        for name in ("_residuals", "_weights"):
            other.__dict__.pop(name, None)
        other.observed = np.array([noted.get(year, np.nan) for year in self.rows.years.tolist()])
        other._ratios = {}
        return other

    def forecast(self, season_year: int, issued_day: int, *, looked: bool = True) -> Forecast:
        """As seen from the end of a day of the season, given that the event has not come by then.

        Where nobody `looked`, days up to then stay in.
        """
        own = self._own_ratios(season_year, issued_day)
        scale = needed_scale(self.spread.ratios, own)
        return self._issued(season_year, issued_day, scale, looked=looked)

    def whole_season(self, season_year: int) -> Forecast:
        """With the season's own weather to its end, and the log of earlier seasons."""
        row = self._row(season_year)
        day = self._dated[row]
        if np.isnan(day):
            return Forecast(np.zeros(0), np.zeros(0), 1.0)
        days = np.sort(day + self._shift(season_year, DAYS) + self.spread.errors)
        return Forecast(days, np.full(days.size, 1 / days.size))

    def ratio(self, season_year: int, lead_days: int) -> float | None:
        """How far off the forecast of a past season was, in half-widths; None where there was none."""
        key = (season_year, lead_days)
        if key not in self._ratios:
            self._ratios[key] = self._missed_by(season_year, lead_days)
        return self._ratios[key]

    def usual_day(self, season_year: int) -> float:
        """Mean day of the last noted seasons before a year; NaN where there are too few."""
        noted = self.observed[(self.rows.years < season_year) & ~np.isnan(self.observed)]
        return float(noted[-NOTES_FOR_USUAL:].mean()) if noted.size >= FEWEST_NOTES else float("nan")

    def _missed_by(self, season_year: int, lead_days: int) -> float | None:
        usual = self.usual_day(season_year)
        found = np.flatnonzero(self.rows.years == season_year)
        if np.isnan(usual) or not found.size:
            return None
        came, issued = self.observed[found[0]], round(usual) - lead_days
        if np.isnan(came) or came <= issued or issued < MEMORY_DAYS:
            return None
        if np.isnan(self.rows.tmax_c[found[0], : issued + 1]).any():  # dated, but the record ends before
            return None
        made = self._issued(season_year, issued, 1.0)
        low, middle, high = (made.quantile(odds) for odds in (0.1, 0.5, 0.9))
        half = high - middle if came > middle else middle - low
        return float(abs(came - middle) / max(half, 0.5)) if np.isfinite(half) else None

    def _own_ratios(self, season_year: int, issued_day: int) -> FloatArray:
        """Misses of the station's own last seasons, issued as long before their usual day."""
        usual = self.usual_day(season_year)
        if np.isnan(usual) or self.spread.ratios.size == 0:
            return np.zeros(0)
        lead = round(usual) - issued_day
        years = range(season_year - OWN_YEARS, season_year)
        known = (self.ratio(year, lead) for year in years)
        return np.array([ratio for ratio in known if ratio is not None])

    def _issued(self, season_year: int, issued_day: int, scale: float, *, looked: bool = True) -> Forecast:
        row = self._row(season_year)
        days = self._days(row, season_year, issued_day)
        reached = np.isfinite(days)
        never = float(1 - reached.mean()) if days.size else 1.0
        if not reached.any():
            return Forecast(np.zeros(0), np.zeros(0), 1.0)
        dates = days[reached] + self._shift(season_year, issued_day)
        middle = float(np.median(dates))
        spread = np.sort((middle + scale * (dates[:, None] - middle + self.spread.errors)).ravel())
        left = still_to_come(spread, issued_day) if looked else spread
        return Forecast(left, np.full(left.size, (1 - never) / left.size), never)

    def _days(self, row: int, season_year: int, issued_day: int) -> FloatArray:
        """Day of the event in each past year's weather from here on, three times over; mean of the models."""
        past = np.flatnonzero(self.rows.whole() & (self.rows.years < season_year))[-PAST_YEARS:]
        if not past.size:
            return np.zeros(0)
        warmer = self._readings(row, past, issued_day)
        past = np.tile(past, len(warmer) // past.size)
        dates = [
            self._model_day(model, table, row, past, issued_day, warmer)
            for model, table in zip(self.models, self._forcing, strict=True)
        ]
        return np.asarray(np.mean(dates, axis=0))

    def _readings(self, row: int, past: NDArray[np.int64], issued_day: int) -> FloatArray:
        """How much warmer past years are taken to be from here on, shape (3 * years, days ahead).

        As they were; with the station's trend; and with the trend and going on as the last weeks ran.
        """
        years = self.rows.years
        trend = trend_c_per_year(self.rows, int(years[row])) * (years[row] - years[past])[:, None]
        last = slice(max(issued_day - MEMORY_DAYS + 1, 0), issued_day + 1)
        usual = self.rows.mean_c[past][:, last].mean(axis=1) + trend[:, 0]
        ours = float(self.rows.mean_c[row, last].mean() - usual.mean())
        theirs = (usual - usual.mean())[:, None]
        ahead = DAYS - 1 - issued_day
        still = np.ones((past.size, ahead))
        going_on = self.persistence[1 : ahead + 1] * (ours - theirs)
        return np.concatenate([0 * still, trend * still, trend + going_on])

    def _model_day(
        self,
        model: SoftenedModel,
        table: FloatArray,
        row: int,
        past: NDArray[np.int64],
        issued_day: int,
        warmer: FloatArray,
    ) -> FloatArray:
        """One model's day in each reading; where it was reached before the issue, on that day."""
        known = table[OFFSETS_C.index(0.0), row, : issued_day + 1].copy()
        known[-1] = self.rows.last_day_forcing(row, issued_day, model.steepness_per_c, model.middle_c)
        known[: model.start] = 0.0
        chill = np.concatenate([[0.0], np.cumsum(self._chill[row, :issued_day])])  # at the start of each day
        so_far = np.cumsum(known)
        level = np.concatenate([[0.0], so_far[:-1]]) * np.exp(model.softening * chill)
        ahead = slice(issued_day + 1, DAYS)
        forcing = _read_between(table[:, past, ahead], warmer)
        forcing[:, : max(model.start - issued_day - 1, 0)] = 0.0
        more_chill = chill[-1] + np.cumsum(self._chill[past, issued_day:], axis=1)
        rising = so_far[-1] + np.concatenate([np.zeros((past.size, 1)), np.cumsum(forcing, axis=1)], axis=1)
        later = issued_day + day_reached(rising * np.exp(model.softening * more_chill), model.need)
        already = day_reached(level[None], model.need)[0] - 1
        return np.full(past.size, already) if np.isfinite(already) else later

    def _row(self, season_year: int) -> int:
        found = np.flatnonzero(self.rows.years == season_year)
        if not found.size:
            raise ValueError(f"the record has no season that begins in {season_year}")
        return int(found[0])

    def _shift(self, season_year: int, issued_day: int) -> float:
        """The station's own log: notes of earlier seasons, all dated before the day of issue."""
        row = self._row(season_year)
        return float(log_shift(self._residuals, self._weights)[row]) if issued_day >= 0 else 0.0

    @cached_property
    def _forcing(self) -> list[FloatArray]:
        """Forcing of each model in weather so much warmer, shape (offsets, seasons, days); NaN days are 0."""
        return [
            np.nan_to_num([self.rows.forcing(m.steepness_per_c, m.middle_c, offset) for offset in OFFSETS_C])
            for m in self.models
        ]

    @cached_property
    def _chill(self) -> FloatArray:
        return np.nan_to_num(self.rows.chill)

    @cached_property
    def _dated(self) -> FloatArray:
        return dated(self.rows, self.models)

    @cached_property
    def _residuals(self) -> FloatArray:
        return self.observed - self._dated

    @cached_property
    def _weights(self) -> FloatArray:
        noted = ~np.isnan(self._residuals)
        return log_weights(noted, self.rows.years, np.zeros_like(self.rows.years))


def _read_between(table: FloatArray, warmer: FloatArray) -> FloatArray:
    """Forcing in weather `warmer` by so much, between the offsets it is kept for; shape of `warmer`."""
    place = np.clip(warmer - OFFSETS_C[0], 0.0, len(OFFSETS_C) - 1.001)
    below = place.astype(np.int64)
    share = place - below
    low = np.take_along_axis(table, below[None], axis=0)[0]
    high = np.take_along_axis(table, below[None] + 1, axis=0)[0]
    return np.asarray(low + share * (high - low))


def still_to_come(days: FloatArray, issued_day: int) -> FloatArray:
    """Cut between the day of issue and the next, since it has not come yet; the next is whole."""
    left = days[days > issued_day + HALF_DAY]
    if left.size < LEAST_CASES:
        return issued_day + 1 + np.arange(LEAST_CASES, dtype=np.float64)
    return left
