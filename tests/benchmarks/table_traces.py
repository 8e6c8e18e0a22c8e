"""How well markers are foreseen from traces of several makes, at the twelve Japanese stations.

`python -m tests.benchmarks.table_traces [FIRST [LAST [STEP]]]`: seasons 1993 to 2003, each STEP-th (4); the
makes were chosen on such. What came is the date in the season's own whole weather, without the rule's
error. Ten species, every marker that weather dates and that every earlier season reached: of one that may not
come at all, a case or two would weigh more than all others. One forecast every three weeks, by weeks ahead.
"""

from __future__ import annotations

import datetime as dt
import sys
from collections.abc import Iterator, Sequence
from dataclasses import replace

import numpy as np
from joblib import Parallel, delayed

from season_engine.phenology.date_odds import DateOdds
from season_engine.phenology.dating import date_markers
from season_engine.site import Season, Site
from season_engine.species.catalogue import load_catalogue
from season_engine.traces import SeasonView, TraceSet
from season_engine.traces.record import Record
from season_engine.traces.remainder import KnownDays, persistence
from season_engine.verify.scores import SEASON_DAYS, Scored, score
from season_engine.weather.series import DailySeries, Weather
from season_engine.weather.sources.origins import GivenOrigin
from tests.benchmarks.fit_remainder import sites, station_series
from tests.benchmarks.markdown import markdown_row

SPECIES = (
    *("Acer palmatum", "Larix decidua", "Pinus thunbergii", "Pinus sylvestris", "Juniperus chinensis"),
    *("Olea europaea", "Ficus microcarpa", "Prunus mume", "Prunus x yedoensis", "Wisteria floribunda"),
)
# set by the calendar, or one date for all traces
NOT_BY_WEATHER = ("season_day", "day_length_below", "day_length_above", "days_after")
ONE_DATE = ("hot_day_odds", "last_hot_day", "first_frost", "last_frost")
ISSUES = range(20, 365, 21)
BANDS = ((-4.0, 3.5), (3.5, 10.0), (10.0, 21.0), (21.0, 35.0), (35.0, 46.0))  # days ahead of the usual date
FEWEST = 5
ALIKE_C = 1.0  # similarity of two months, by a normal curve
# A make is some readings of the past, each a share of the trend and of the anomaly; then similarity weights.
MAKES: dict[str, tuple[tuple[tuple[float, float], ...], bool]] = {
    "as they were": (((0, 0),), False),
    "trend": (((1, 0),), False),
    "anomaly": (((0, 1),), False),
    "trend and anomaly": (((1, 1),), False),
    "two thirds, one third": (((2 / 3, 1 / 3),), False),
    "mixture of three": (((0, 0), (1, 0), (1, 1)), False),
    "trend, like months count more": (((1, 0),), True),
}
Dates = dict[tuple[str, str], np.ndarray]
Case = tuple[float, list[tuple[Scored, float]]]


def dates(traces: TraceSet) -> Dates:
    """Days of the season of each marker in each trace, without the rule's error."""
    found: Dates = {}
    for name in SPECIES:
        species = load_catalogue().find(name)
        plain = date_markers(species, traces).plain
        for marker, kind in ((marker, species.markers[marker].kind) for marker in plain):
            if kind not in (*NOT_BY_WEATHER, *ONE_DATE):
                found[name, marker] = plain[marker] - traces.season_start
    return found


def makes(site: Site, series: DailySeries, season: Season) -> Iterator[TraceSet]:
    """The traces seen from the end of a series, of each make."""
    record = Record(series)
    ours = record.spliced(site, season)
    back, seen = season.year - ours.labels, ours.observed_days
    days = np.array([record.tmin_c.size])
    known = KnownDays((record.tmin_c + record.tmax_c) / 2, days, days)
    (both,) = known.warmer_c(back[None], np.arange(1, ours.days.size - seen + 1)[None])
    trend = np.repeat(known.trend_c_per_year * back[:, None], both.shape[1], axis=1)
    usual = record.whole(site, season)
    for readings, by_likeness in MAKES.values():
        added = [(a - 1) * trend + (b - 1) * (both - trend) for a, b in readings]
        moved = np.concatenate([np.pad(one, ((0, 0), (seen, 0))) for one in added])
        tmin_c, tmax_c = (np.tile(part, (len(added), 1)) + moved for part in (ours.tmin_c, ours.tmax_c))
        weights = np.tile(ours.weights, len(added)) / len(added)
        if by_likeness:
            apart = (both - trend)[:, 0] / persistence(np.ones(1, np.int64))
            weights = np.exp(-((apart / ALIKE_C) ** 2) / 2) + 1e-3
            weights /= weights.sum()
        labels = np.tile(ours.labels, len(added))
        yield replace(ours, labels=labels, weights=weights, tmin_c=tmin_c, tmax_c=tmax_c, usual=usual)


def cases(site: Site, series: DailySeries, years: Sequence[int]) -> list[Case]:
    """Lead and scores by make of every marker that is still to come at an issue."""
    past = SeasonView(
        site, Weather(series, np.ones(len(series), bool), GivenOrigin("station")), series.last_day
    ).past
    came = {days.tobytes(): (key, days) for key, days in dates(past).items()}  # species share markers
    found: list[Case] = []
    for year in (year for year in years if year in past.labels):
        season, row = Season(year, site.hemisphere), int(np.flatnonzero(past.labels == year)[0])
        for issued in ISSUES:
            asked: list[tuple[tuple[str, str], float, float]] = []
            for key, days in came.values():
                known, day = days[:row], min(float(days[row]), SEASON_DAYS)
                sure = known.size >= FEWEST and bool((known < SEASON_DAYS).all())
                lead = float(known[-15:].mean() - issued) if sure else np.inf
                if BANDS[0][0] <= lead < BANDS[-1][1] and issued < day:
                    asked.append((key, day, lead))
            if asked:
                each = [
                    (dates(one), one.weights)
                    for one in makes(site, series.cut(season.date_of(issued)), season)
                ]
                for key, day, lead in asked:
                    found.append(
                        (lead, [(score(DateOdds(of[key], w).after(issued), day), day) for of, w in each])
                    )
    return found


def main(first: int = 1993, last: int = 2003, step: int = 4) -> None:
    until = dt.date(last + 2, 12, 31)
    work = [
        delayed(cases)(sites()[name], series, range(first + place % step, last + 1, step))
        for place, (name, series) in enumerate(station_series(until))
    ]
    found = [case for part in Parallel(n_jobs=-1)(work) for case in part]
    head = [f"{low:.0f} to {high:.0f}" for low, high in BANDS[:0:-1]]
    sys.stdout.write(f"{markdown_row(('Past years', *head, '0', 'All'))}\n")
    sys.stdout.write(f"{markdown_row(['---'] * (len(BANDS) + 2))}\n")
    for place, name in enumerate(MAKES):
        cells = []
        for low, high in (*BANDS[::-1], (BANDS[0][0], BANDS[-1][1])):
            scores = [each[place] for lead, each in found if low <= lead < high]
            kept = np.mean([one.p10 <= day <= one.p90 for one, day in scores])
            cells.append(f"{np.mean([one.crps for one, _ in scores]):.2f} / {kept:.0%}")
        sys.stdout.write(f"{markdown_row((name, *cells))}\n")
    sys.stdout.write(f"\n{len(found)} forecasts of {first} to {last}.\n")


if __name__ == "__main__":
    main(*(int(value) for value in sys.argv[1:]))
