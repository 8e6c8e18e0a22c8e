"""How well a yard's windows were foreseen: their opening as forecast, and as the whole season gave it."""

from __future__ import annotations

import datetime as dt
from collections.abc import Iterable, Iterator, Sequence
from dataclasses import dataclass
from itertools import repeat

import numpy as np

from season_engine.phenology.date_odds import DateOdds
from season_engine.site import Season
from season_engine.species.catalogue import Catalogue, Species
from season_engine.species.schema import Window
from season_engine.traces import SeasonView
from season_engine.tree import Size, Tree
from season_engine.verify.calendar import Calendar
from season_engine.verify.cases import Case, WindowOpening
from season_engine.verify.scores import SEASON_DAYS, crps, score
from season_engine.windows.assess import Prospect
from season_engine.windows.choice import DEFAULT_SIZE, species_kept, windows_told
from season_engine.windows.opening import Opening, open_window

SEASONS = 10  # the last whole ones are forecast
FEWEST_EARLIER = 5  # seasons with the window that make a calendar


@dataclass(frozen=True)
class Question:
    """One forecast of a window's opening to be made; days of the season."""

    species: Species
    window: Window
    size: Size
    season: Season
    lead_weeks: float
    issued_day: int
    day: float  # of the opening, as the whole season's weather gave it
    calendar: Calendar

    @property
    def issued(self) -> dt.date:
        """The day the forecast is made from."""
        return self.season.date_of(self.issued_day)


def questions(
    prospect: Prospect, window: Window, size: Size, lead_weeks: Sequence[float]
) -> Iterator[Question]:
    """Forecasts of the last ten whole seasons, so many weeks before the usual opening.

    What came is the middle opening date over the rule's error, with the season's whole weather; the calendar
    is made of the same of earlier seasons. What is past at issue is no case.
    """
    past = open_window(prospect.past, window.opens, window.closes)
    log: list[float] = []
    for place, (year, day) in enumerate(zip(past.traces.labels.tolist(), _middle_days(past), strict=True)):
        if day >= SEASON_DAYS:  # none, or after the season, where scores end
            continue
        if len(log) >= FEWEST_EARLIER and place >= len(past.traces) - SEASONS:
            calendar, season = Calendar.of(log), Season(year, past.traces.season.hemisphere)
            for lead in lead_weeks:
                issued = calendar.issue_day(lead)
                if issued < day:
                    yield Question(prospect.species, window, size, season, lead, issued, day, calendar)
        log.append(day)


def answers(view: SeasonView, asked: Iterable[Question]) -> Iterator[Case]:
    """The forecasts as made on the view's day, cut there as the calendar is, and scored.

    Of the odds only the weather's share is taken: what came is a middle date over the rule's error, so that
    error is on neither side. Where the view has a forecast of the days ahead, each is scored without it too.
    """
    asked = list(asked)
    ahead = view.weather.forecast.status == "used"
    without = _foreseen(view.earlier(view.on), asked) if ahead else repeat(None)
    for one, forecast, bare in zip(asked, _foreseen(view, asked), without, strict=False):
        yield Case(
            subject=WindowOpening(one.species.name, one.species.common[0], one.window.job, one.window.name),
            site=view.site.name,
            season=one.season,
            lead_weeks=one.lead_weeks,
            issued_day=one.issued_day,
            day=one.day,
            scored=score(forecast, one.day),
            calendar_day=one.calendar.day(one.issued_day),
            calendar_crps=float(crps(one.calendar.forecast(one.issued_day), one.day)),
            without_forecast=None if bare is None else score(bare, one.day),
        )


def _foreseen(view: SeasonView, asked: Iterable[Question]) -> Iterator[DateOdds]:
    """Odds of each opening as they are on the view's day."""
    prospects: dict[tuple[str, Size], Prospect] = {}
    for one in asked:
        key = (one.species.name, one.size)
        prospect = prospects.setdefault(key, Prospect(view, one.species, one.size))
        shift = one.season.year - view.site.season_on(view.on).year
        yield _after(prospect.opening(one.window, shift), one.issued_day)


def questions_by_day(
    view: SeasonView, catalogue: Catalogue, trees: Sequence[Tree], lead_weeks: Sequence[float]
) -> dict[dt.date, list[Question]]:
    """What is to be forecast at a site of its trees' windows, by the day it is forecast from."""
    asked: dict[dt.date, list[Question]] = {}
    for kind in species_kept(trees, catalogue):
        for window in windows_told(kind, trees, catalogue):
            size = window.size or DEFAULT_SIZE
            for question in questions(Prospect(view, kind, size), window, size, lead_weeks):
                asked.setdefault(question.issued, []).append(question)
    return dict(sorted(asked.items()))


def _middle_days(opening: Opening) -> list[float]:
    """Day of the season of each trace's opening, the middle over the rule's error; infinite: none."""
    shares = opening.weights / opening.weights.sum(axis=1, keepdims=True)
    days: list[float] = (DateOdds(opening.opens, shares).by(0.5) - opening.traces.season_start).tolist()
    return days


def _after(opening: Opening, issued_day: int) -> DateOdds:
    """Odds of the opening day, given that it has not come by the day of issue."""
    return DateOdds(np.array(_middle_days(opening)), opening.weights.sum(axis=1)).after(issued_day)
