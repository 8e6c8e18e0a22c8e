"""Other ways of bringing past years to the present, beside the one that is used, at the twelve stations.

`python -m tests.benchmarks.table_remainder days`: CRPS [degC] of the mean temperature of six weeks to come,
from every twentieth day, by decade. `... flowers`: CRPS skill of first flowers against the calendar, all
notes, of seasons to 2005 by rules fitted on the years to 1985 and 1995, and of later ones by the catalogue's.
"""

from __future__ import annotations

import datetime as dt
import sys
from collections.abc import Iterator
from dataclasses import dataclass, replace
from unittest.mock import patch

import numpy as np
from joblib import Parallel, delayed
from numpy.typing import NDArray

from season_engine.phenology.date_odds import DateOdds
from season_engine.species.catalogue import load_catalogue
from season_engine.traces.record import Record
from season_engine.traces.remainder import (
    FADES_IN_DAYS,
    FEWEST_YEARS,
    PERSISTENCE,
    TREND_SPREAD_C,
    YEAR_DAYS,
    YEAR_SPREAD_C,
    YEARS_KNOWN,
    KnownDays,
)
from season_engine.verify.backtest import backtest
from season_engine.verify.cases import Case
from season_engine.verify.observations import Observations
from season_engine.verify.rules import rules_for
from season_engine.verify.scores import crps
from tests.benchmarks.backtest_japan import observations
from tests.benchmarks.fit_remainder import station_series
from tests.benchmarks.markdown import markdown_table, show
from tests.phenology.stations import LAST_TRAINED

FloatArray = NDArray[np.float64]
IntArray = NDArray[np.int64]

DECADES = ((1986, 1995), (1996, 2005), (2006, 2015), (2016, 2024))
SPRING = (31, 120)  # days of the year from which the weeks before first flowers are foreseen
AHEAD = np.arange(1, 43)
MOST_YEARS = 30
STEP = 20
LEADS = (6.0, 4.0, 2.0, 1.0)
LAST_SEASON = 9999


@dataclass(frozen=True)
class Make:
    """A trend by so many waves of the year, none: of the year alone; and what goes on of the last weeks."""

    waves: int = 0
    persistence: float = PERSISTENCE
    trend: float = 1.0  # share of it

    def warmer_c(self, known: KnownDays, back: IntArray, lead: IntArray) -> FloatArray:
        """As `KnownDays.warmer_c`."""
        slopes = self.trend * self._slopes(known)
        by_trend = np.einsum("cdk,ck->cd", self._waves(lead), slopes)[:, None] * back[..., None]
        then = (slopes @ self._waves(np.arange(-29, 1)).mean(axis=0))[:, None] * back
        ours = known._last_weeks_c(np.zeros((back.shape[0], 1), np.int64))
        theirs = known._last_weeks_c(back)
        apart = np.where(np.isnan(theirs), 0.0, ours - (theirs + then))
        left = self.persistence * np.exp(-lead / FADES_IN_DAYS)
        enough = known.size >= FEWEST_YEARS * YEAR_DAYS
        return np.where(enough[:, None, None], by_trend + apart[..., None] * left[:, None], 0.0)

    def _waves(self, day: IntArray) -> FloatArray:
        """One, and waves of the year of mean square one, so many days on, shape (..., waves)."""
        turn = 2 * np.pi * day[..., None] / YEAR_DAYS * np.arange(1, self.waves + 1)
        both = np.sqrt(2) * np.concatenate([np.cos(turn), np.sin(turn)], axis=-1)
        return np.concatenate([np.ones((*day.shape, 1)), both], axis=-1)

    def _slopes(self, known: KnownDays) -> FloatArray:
        """Of each wave's height a year, each shrunk as the year's own is, shape (cases, waves)."""
        years = known.size // YEAR_DAYS
        back = np.arange(int(years.max(initial=0)), 0, -1)
        there = (back <= years[:, None])[..., None]
        place = known.end[:, None, None] - YEAR_DAYS * back[:, None] + np.arange(YEAR_DAYS)
        heights = known.mean_c[np.maximum(place, 0)] @ self._waves(np.arange(1, YEAR_DAYS + 1)) / YEAR_DAYS
        count = np.maximum(years, 1)[:, None, None]
        time = np.where(there, (count + 1) / 2 - back[:, None], 0.0)
        heights = np.where(there, heights, 0.0)
        squares = np.maximum((time**2).sum(axis=1), 0.5)
        slope = (time * heights).sum(axis=1) / squares
        mean = heights.sum(axis=1, keepdims=True) / count
        scatter = np.where(there, heights - mean - slope[:, None] * time, 0.0)
        variance = (scatter**2).sum(axis=1) + YEARS_KNOWN * YEAR_SPREAD_C**2
        variance /= np.maximum(years - 2 + YEARS_KNOWN, 1.0)[:, None]
        return slope * TREND_SPREAD_C**2 / (TREND_SPREAD_C**2 + variance / squares)


MAKES = {
    "as they were": Make(persistence=0.0, trend=0.0),
    "trend": Make(persistence=0.0),
    "trend and anomaly (used)": Make(),
    "trend by season, and anomaly": Make(waves=1),
    "trend, and anomaly in full": Make(persistence=1.0),
    "trend by season, and anomaly in full": Make(waves=1, persistence=1.0),
}


def days() -> None:
    """The table of temperatures."""
    records = [Record(series) for _, series in station_series(dt.date(DECADES[-1][1], 12, 31))]
    lines = []
    for name, make in MAKES.items():
        cells = []
        for decade in DECADES:
            scored, spring = (
                np.concatenate(part)
                for part in zip(*(_days(one, *decade, make) for one in records), strict=True)
            )
            cells.append(f"{scored.mean():.3f} / {scored[spring].mean():.3f}")
        lines.append((name, *cells))
    head = (f"{first} to {last}" for first, last in DECADES)
    show(*markdown_table(("Past years", *head), lines))


def _days(record: Record, first: int, last: int, make: Make) -> tuple[FloatArray, NDArray[np.bool_]]:
    """CRPS of six weeks' means from days of these years, and which of the days lie in spring."""
    mean_c = (record.tmin_c + record.tmax_c) / 2
    until = min(YEAR_DAYS * (last + 1) - record.first, mean_c.size - AHEAD.size)
    today = np.arange(YEAR_DAYS * first - record.first, until, STEP)
    most = np.minimum((today + 1) // YEAR_DAYS, MOST_YEARS)[:, None]
    back = np.minimum(np.arange(1, MOST_YEARS + 1), most)
    weights = (np.arange(1, MOST_YEARS + 1) <= most) / most
    lead = np.tile(AHEAD, (today.size, 1))
    added = make.warmer_c(KnownDays(mean_c, today + 1, today + 1), back, lead)
    borrowed = mean_c[(today[:, None] + lead)[:, None] - YEAR_DAYS * back[..., None]]
    odds = DateOdds((borrowed + added).mean(axis=2), weights)
    of_year = (today + record.first) % YEAR_DAYS
    came = mean_c[today[:, None] + lead].mean(axis=1)
    return crps(odds, came), (SPRING[0] <= of_year) & (of_year < SPRING[1])


def flowers() -> None:
    """The table of first flowers."""
    sets = ((1985, 1995), (1995, 2005), (LAST_TRAINED, LAST_SEASON))
    work = [delayed(_flowers)(make, *span) for make in MAKES.values() for span in sets]
    found = iter(Parallel(n_jobs=-1)(work))
    lines = (line for name in MAKES for line in _skills(name, (next(found) + next(found), next(found))))
    head = (f"{when}, {lead:g}" for when in ("To 2005", "Later") for lead in LEADS)
    show(*markdown_table(("Past years", *head), lines))


def _flowers(make: Make, train_until: int, before: int) -> list[Case]:
    read = observations(train_until)
    rules = rules_for(read, train_until, load_catalogue())
    records = {
        event: tuple(
            replace(one, observed={year: day for year, day in one.observed.items() if year < before})
            for one in of_event
        )
        for event, of_event in read.records.items()
    }

    def warmer_c(known: KnownDays, back: IntArray, lead: IntArray) -> FloatArray:
        return make.warmer_c(known, back, lead)

    with patch.object(KnownDays, "warmer_c", warmer_c):
        done = backtest(Observations(records, ()), train_until, LEADS, rules.of_events)
    return [case for case in done.cases if case.lead_weeks is not None]


def _skills(name: str, sets: tuple[list[Case], list[Case]]) -> Iterator[tuple[str, ...]]:
    """A line a species, and one of all."""
    species = dict.fromkeys(case.subject.species for cases in sets for case in cases)
    for subject in (*species, None):
        cells = []
        for cases in sets:
            for lead in LEADS:
                some = [c for c in cases if c.lead_weeks == lead and subject in (None, c.subject.species)]
                ours = sum(case.scored.crps for case in some)
                cells.append(f"{1 - ours / sum(case.calendar_crps for case in some):.3f}")
        yield f"{name}, {subject or 'all three'}", *cells


if __name__ == "__main__":
    {"days": days, "flowers": flowers}[sys.argv[1]]()
