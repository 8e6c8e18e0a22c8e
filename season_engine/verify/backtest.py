"""The backtest: forecasts of past seasons from what was known then, against what came and the calendar.

The dates are those that growers are told: the rule of the catalogue, dated by the same calls as for `check`
and `report`, moved by the site's own earlier dates as by notes in a journal. An event that the catalogue has
no rule for gets one fitted on the training years.
"""

from __future__ import annotations

import datetime as dt
from collections.abc import Iterable, Iterator, Mapping, Sequence
from dataclasses import dataclass, replace
from functools import cache, partial
from typing import NamedTuple

import numpy as np

from season_engine.facts import Progress
from season_engine.phenology.date_odds import DateOdds
from season_engine.phenology.dating import Dating, date_markers
from season_engine.phenology.learning import LearntArrays
from season_engine.phenology.own_dates import NotedDate
from season_engine.phenology.rule import Rule, dates_of
from season_engine.phenology.seasons import DAYS, past_seasons
from season_engine.phenology.stages import AUTUMN
from season_engine.phenology.station_log import learn_log
from season_engine.phenology.station_record import StationRecord
from season_engine.site import Season, Site, day_number
from season_engine.traces import CaseTraces
from season_engine.traces import cases as traced
from season_engine.traces.record import Record
from season_engine.verify.calendar import Calendar
from season_engine.verify.cases import Case
from season_engine.verify.notes import BacktestNote
from season_engine.verify.observations import Observations
from season_engine.verify.scores import Scored, crps, scores
from season_engine.verify.station_files import Event
from season_engine.weather.fitness import FEWEST_SEASONS

FEWEST_LOGGED = 5  # earlier observed seasons of a site that make a calendar
STATIONS_TOGETHER = 4  # handled in one go by a process
TRACES_TOGETHER = 600  # in one go of the engine: more take memory and save nothing
FIRST_OF_AUTUMN = -92  # 1 July in the north: colour and fall are foretold from there on
NEAR_DAYS = (40, 80)  # after the usual date and the day of issue: most events come by then


@dataclass(frozen=True)
class Backtest:
    """All cases, and what was left out."""

    train_until: int
    cases: tuple[Case, ...]
    notes: tuple[BacktestNote, ...] = ()


@dataclass(frozen=True)
class Asked:
    """One forecast to be made: of a season, from the end of one of its days, or from its whole weather."""

    season: Season
    day: float  # on which the event came
    calendar: Calendar
    lead_weeks: float | None
    issued_day: int | None

    @property
    def last_known(self) -> int:
        """Number of the last day whose weather may be used."""
        return day_number(self.season.start) + (DAYS - 1 if self.issued_day is None else self.issued_day)


def backtest(
    observations: Observations,
    train_until: int,
    lead_weeks: Sequence[float],
    rules: Mapping[Event, Rule],
    *,
    log_years: int | None = None,
    jobs: int = 1,
    progress: Progress | None = None,
) -> Backtest:
    """Forecast every season after `train_until` by each event's rule.

    A forecast may learn from the site's own dates of the last `log_years` noted seasons before it (None:
    all); the calendar has them all. `jobs` processes share the work; `progress` is told of stations done.
    """
    from joblib import Parallel, delayed

    pieces = [
        (event, rule, part) for event, rule in rules.items() for part in _parts(observations.records[event])
    ]
    cases: list[Case] = []
    done, total = 0, sum(len(part) for _, _, part in pieces)
    with Parallel(n_jobs=jobs, return_as="generator") as parallel:
        work = (delayed(_cases)(*piece, train_until, lead_weeks, log_years) for piece in pieces)
        for (_, _, part), found in zip(pieces, parallel(work), strict=True):
            cases += found
            done += len(part)
            if progress:
                progress(done, total)
    return Backtest(train_until, tuple(cases), observations.notes)


def _parts(records: Sequence[StationRecord]) -> Iterator[Sequence[StationRecord]]:
    for start in range(0, len(records), STATIONS_TOGETHER):
        yield records[start : start + STATIONS_TOGETHER]


def _cases(
    event: Event,
    rule: Rule,
    records: Iterable[StationRecord],
    train_until: int,
    lead_weeks: Sequence[float],
    log_years: int | None,
) -> list[Case]:
    return [
        case
        for record in records
        for case in station_cases(event, rule, record, train_until, lead_weeks, log_years)
    ]


def station_cases(
    event: Event,
    rule: Rule,
    record: StationRecord,
    train_until: int,
    lead_weeks: Sequence[float],
    log_years: int | None = None,
) -> Iterator[Case]:
    """All forecasts for one station's observed seasons after the training, scored."""
    by_lead: dict[float | None, list[Asked]] = {}
    first = FIRST_OF_AUTUMN if event.bbch in AUTUMN else 0
    for one in asked(record, train_until, lead_weeks, first_day=first):
        by_lead.setdefault(one.lead_weeks, []).append(one)
    if not by_lead:
        return
    years = {one.season.year for same_lead in by_lead.values() for one in same_lead}
    forecaster = StationForecaster(rule, record, years, log_years)
    size = max(1, TRACES_TOGETHER // max(1, len(record.series) // DAYS))
    for same_lead in by_lead.values():
        for start in range(0, len(same_lead), size):
            together = same_lead[start : start + size]
            scored = scores(forecaster.odds(together), np.array([one.day for one in together]))
            for one, found in zip(together, scored, strict=True):
                yield _case(event, record.site, one, found)


def _case(event: Event, site: Site, forecast: Asked, scored: Scored) -> Case:
    calendar, issued = forecast.calendar, forecast.issued_day
    return Case(
        subject=event,
        site=site.name,
        season=forecast.season,
        lead_weeks=forecast.lead_weeks,
        issued_day=issued,
        day=forecast.day,
        scored=scored,
        calendar_day=calendar.day(issued),
        calendar_crps=float(crps(calendar.forecast(issued), forecast.day)),
    )


def asked(
    record: StationRecord,
    train_until: int,
    lead_weeks: Sequence[float],
    *,
    first_day: int = 0,
    come_too: bool = False,
) -> Iterator[Asked]:
    """What is forecast of one station.

    A season needs five logged ones and five years of temperatures before it. What is past at issue (unless
    what has `come_too` is asked for), or would be issued before the season's `first_day`, is no case.
    """
    for year, day in sorted(record.observed.items()):
        log = [noted for earlier, noted in sorted(record.observed.items()) if earlier < year]
        season = Season(year, record.site.hemisphere)
        if year < train_until or len(log) < FEWEST_LOGGED or _years_before(season, record) < FEWEST_SEASONS:
            continue
        calendar = Calendar.of(log)
        for lead in lead_weeks:
            issued = calendar.issue_day(lead)
            if (
                first_day <= issued
                and (come_too or issued < day)
                and season.date_of(issued) <= record.series.last_day
            ):
                yield Asked(season, day, calendar, lead, issued)
        if season.date_of(DAYS - 1) <= record.series.last_day:
            yield Asked(season, day, calendar, None, None)


def _years_before(season: Season, record: StationRecord) -> float:
    return (season.start - record.series.first_day).days / 365.0


class Knowing(NamedTuple):
    """What a forecaster knows beside the weather."""

    log_years: int | None = None  # of the site's own dates, those of so many last noted seasons; None: all
    looked: bool = True  # somebody looked on the day of issue and saw nothing yet


class StationForecaster:
    """One rule at one station: forecasts use nothing dated after the day of issue."""

    def __init__(
        self, rule: Rule, record: StationRecord, years: Iterable[int], log_years: int | None = None
    ) -> None:
        self._rule = rule
        self._log_years = log_years
        self._sites = traced.SiteRecords([record.site], [Record(record.series)])
        past = past_seasons([record], noted=True, sites=self._sites)
        seasons = np.array(sorted(set(years)), np.int64)
        self._place = {year: place for place, year in enumerate(seasons.tolist())}
        ruled = dates_of(rule, past)
        self._learnt = cache(
            partial(learn_log, rule.species, rule.marker, past.years, past.observed, ruled, seasons)
        )
        self._forward = not any(marker.looks_ahead for marker in rule.species.markers.values())

    def odds(self, forecasts: Sequence[Asked], *, looked: bool = True) -> DateOdds:
        """Odds of the day of the season, shape (forecasts, chances).

        Given that somebody looked on the day of issue and saw nothing yet; where nobody `looked`, days up to
        then stay in.
        """
        (odds,) = self.odds_by(forecasts, [Knowing(self._log_years, looked)])
        return odds

    def odds_by(self, forecasts: Sequence[Asked], known: Sequence[Knowing]) -> list[DateOdds]:
        """Odds of the same forecasts by what is known, from the same traces.

        Traces end some weeks after the usual date where all have the event by then: later days change no date
        of a rule that only looks back.
        """
        latest = int(max(max(one.issued_day or 0, one.calendar.mean) for one in forecasts))
        ends = (latest + days for days in NEAR_DAYS if self._forward and latest + days < DAYS)
        for end in (*ends, DAYS):
            cases = [traced.Case(0, one.season, one.last_known) for one in forecasts]
            traces = self._sites.traces(cases, end)
            found = [self._dated(forecasts, traces, one) for one in known]
            if all(np.isfinite(one.plain[self._rule.marker]).all() for one in found):
                break
        return [one.odds(self._rule.marker) for one in found]

    def _dated(self, forecasts: Sequence[Asked], traces: CaseTraces, known: Knowing) -> Dating[CaseTraces]:
        place = [self._place[one.season.year] for one in forecasts]
        issued = [np.nan if one.issued_day is None else float(one.issued_day) for one in forecasts]
        taught = self._learnt(known.log_years)
        learnt = LearntArrays(
            np.asarray(taught.shift_days)[place],
            np.asarray(taught.spread)[place],
            {
                name: NotedDate(np.asarray(own.column)[place], np.asarray(own.sd_days)[place])
                for name, own in taught.own_dates.items()
            },
            not_yet={self._rule.marker: np.array(issued)} if known.looked else {},
        )
        return date_markers(self._rule.species, traces, learnt=learnt)


def known_until(records: Iterable[StationRecord], train_until: int) -> list[StationRecord]:
    """Records as they stood on the last day of a year: seasons that had ended, temperatures up to then."""
    last_day = dt.date(train_until, 12, 31)
    cut = [
        replace(
            record,
            series=record.series.cut(last_day),
            observed={year: day for year, day in record.observed.items() if year < train_until},
        )
        for record in records
    ]
    return [record for record in cut if record.observed and len(record.series)]
