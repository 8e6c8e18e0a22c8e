"""Cases of forecasts held against what came, and the rows of means over them."""

from __future__ import annotations

from collections.abc import Iterable, Sequence
from dataclasses import dataclass

import numpy as np

from season_engine.site import Season
from season_engine.verify.scores import Scored, Summary, summary
from season_engine.verify.station_files import Event


@dataclass(frozen=True, slots=True, order=True)
class WindowOpening:
    """The opening of a species' window for a job."""

    species: str
    common_name: str
    job: str
    window: str


Subject = Event | WindowOpening

DRAWS = 2000  # of years, for the interval of a skill
SEED = 1
TAILS = (0.025, 0.975)


@dataclass(frozen=True, slots=True)
class Case:
    """One forecast, what came, and what the calendar said; days of the season."""

    subject: Subject
    site: str
    season: Season
    lead_weeks: float | None  # None: with the season's whole weather
    issued_day: int | None
    day: float
    scored: Scored
    calendar_day: float
    calendar_crps: float
    by_calendar: bool = False  # no weather sets it: it is one day, without width
    # the same without the forecast of the days ahead that it was made with; None: it was made with none
    without_forecast: Scored | None = None


@dataclass(frozen=True, slots=True)
class SetByCalendar:
    """Forecasts of one subject that no weather sets, so that nothing is foreseen."""

    subject: Subject
    n: int
    on_the_day: int  # of them, how many came on that very day


@dataclass(frozen=True, slots=True)
class ForecastGain:
    """Mean CRPS [days] of the cases that had a forecast of the days ahead, with it and without."""

    n: int
    crps: float
    crps_without: float


def forecast_gain(cases: Iterable[Case]) -> ForecastGain | None:
    """What kept forecasts of the days ahead brought; None where no case had one."""
    both = [
        (case.scored.crps, case.without_forecast.crps)
        for case in cases
        if case.without_forecast and not case.by_calendar
    ]
    if not both:
        return None
    with_it, without = np.mean(both, axis=0).tolist()
    return ForecastGain(len(both), with_it, without)


@dataclass(frozen=True, slots=True)
class Row:
    """Means over all cases of one subject and lead."""

    subject: Subject
    lead_weeks: float | None
    summary: Summary
    mae_calendar: float
    crps_calendar: float
    crps_skill_between: tuple[float, float] | None = None  # 95 in 100, by the years; None of one year

    @property
    def crps_skill(self) -> float:
        """Share of the calendar's CRPS that the forecast takes away."""
        return 1.0 - self.summary.crps / self.crps_calendar

    @property
    def skill(self) -> float | None:
        """Share of the calendar's mean error that the forecast takes away; None where it had none."""
        return 1.0 - self.summary.mae / self.mae_calendar if self.mae_calendar > 0 else None


def rows(cases: Iterable[Case]) -> list[Row]:
    """One row a subject and lead that has cases: subjects in order, leads from far to near.

    What the calendar sets is in none.
    """
    groups: dict[tuple[Subject, float | None], list[Case]] = {}
    for case in foreseen(cases):
        groups.setdefault((case.subject, case.lead_weeks), []).append(case)
    return [_row(*key, groups[key]) for key in sorted(groups, key=_order)]


def foreseen(cases: Iterable[Case]) -> list[Case]:
    """Those that the calendar doesn't set."""
    return [case for case in cases if not case.by_calendar]


def set_by_calendar(cases: Iterable[Case]) -> list[SetByCalendar]:
    """The others, by subject in order."""
    groups: dict[Subject, list[Case]] = {}
    for case in cases:
        if case.by_calendar:
            groups.setdefault(case.subject, []).append(case)
    return [
        SetByCalendar(subject, len(group), sum(case.scored.p50 == case.day for case in group))
        for subject, group in sorted(groups.items())
    ]


def _order(key: tuple[Subject, float | None]) -> tuple[Subject, float]:
    subject, lead = key
    return subject, np.inf if lead is None else -lead


def _row(subject: Subject, lead: float | None, cases: Sequence[Case]) -> Row:
    days = [case.day for case in cases]
    return Row(
        subject,
        lead,
        summary([case.scored for case in cases], days),
        mae_calendar=float(np.mean([abs(case.calendar_day - case.day) for case in cases])),
        crps_calendar=float(np.mean([case.calendar_crps for case in cases])),
        crps_skill_between=_skill_between(cases),
    )


def _skill_between(cases: Sequence[Case]) -> tuple[float, float] | None:
    """Range of the CRPS skill over years drawn anew, whole ones, since sites share a year's weather."""
    years, place = np.unique([case.season.year for case in cases], return_inverse=True)
    if years.size < 2:
        return None
    scored = np.array([(case.scored.crps, case.calendar_crps) for case in cases])
    by_year = np.array([np.bincount(place, column) for column in scored.T])
    drawn = np.random.default_rng(SEED).multinomial(years.size, np.full(years.size, 1 / years.size), DRAWS)
    forecast, calendar = by_year @ drawn.T
    low, high = np.quantile(1.0 - forecast / calendar, TAILS).tolist()
    return low, high
