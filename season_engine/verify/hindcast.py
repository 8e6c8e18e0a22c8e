"""How well a yard's windows were foreseen: their opening as forecast, and a day drawn from what came.

Nobody noted when they opened. So what came is a day by the season's whole weather and one draw of the rule's
own error, the same for all of a species' windows and leads in a season, as that error is shared by its
markers; and the odds keep their whole error. A rule that errs in a way it doesn't know of can't show here.
"""

from __future__ import annotations

import datetime as dt
from collections.abc import Iterable, Iterator, Sequence
from dataclasses import dataclass
from itertools import repeat
from zlib import crc32

import numpy as np

from season_engine.phenology.date_odds import DateOdds
from season_engine.phenology.dating import DRAWS
from season_engine.site import Season, Site
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
    day: float  # of the opening, drawn
    calendar: Calendar
    one_day: bool  # in past seasons it opened on the same day in nearly all chances

    @property
    def issued(self) -> dt.date:
        """The day the forecast is made from."""
        return self.season.date_of(self.issued_day)


def questions(
    prospect: Prospect, window: Window, size: Size, lead_weeks: Sequence[float]
) -> Iterator[Question]:
    """Forecasts of the last ten whole seasons, so many weeks before the usual opening.

    What came is drawn (`drawn_days`); the calendar is made of the same of earlier seasons. What is past at
    issue is no case.
    """
    past = open_window(prospect.past, window.opens, window.closes)
    drawn, one_day = drawn_days(past, prospect.species.name), no_width(past.opens_odds)
    log: list[float] = []
    for place, (year, day) in enumerate(zip(past.traces.labels.tolist(), drawn, strict=True)):
        if day >= SEASON_DAYS:  # none, or after the season, where scores end
            continue
        if len(log) >= FEWEST_EARLIER and place >= len(past.traces) - SEASONS:
            calendar, season = Calendar.of(log), Season(year, past.traces.season.hemisphere)
            for lead in lead_weeks:
                issued = calendar.issue_day(lead)
                if issued < day:
                    yield Question(
                        prospect.species, window, size, season, lead, issued, day, calendar, one_day
                    )
        log.append(day)


def answers(view: SeasonView, asked: Iterable[Question]) -> Iterator[Case]:
    """The forecasts as made on the view's day, cut there as the calendar is, and scored.

    Where nearly all chances, before that cut or in past seasons, are one day, no weather sets the opening.
    Where the view has a forecast of the days ahead, each is scored without it too.
    """
    asked = list(asked)
    ahead = view.weather.forecast.status == "used"
    without = _foreseen(view.earlier(view.on), asked) if ahead else repeat(None)
    for one, odds, bare in zip(asked, _foreseen(view, asked), without, strict=False):
        yield Case(
            subject=WindowOpening(one.species.name, one.species.common[0], one.window.job, one.window.name),
            site=view.site.name,
            season=one.season,
            lead_weeks=one.lead_weeks,
            issued_day=one.issued_day,
            day=one.day,
            scored=score(odds.after(one.issued_day), one.day),
            calendar_day=one.calendar.day(one.issued_day),
            calendar_crps=float(crps(one.calendar.forecast(one.issued_day), one.day)),
            by_calendar=one.one_day or no_width(odds),
            without_forecast=None if bare is None else score(bare.after(one.issued_day), one.day),
        )


def _foreseen(view: SeasonView, asked: Iterable[Question]) -> Iterator[DateOdds]:
    """Odds of each opening's day of the season as they are on the view's day."""
    prospects: dict[tuple[str, Size], Prospect] = {}
    for one in asked:
        key = (one.species.name, one.size)
        prospect = prospects.setdefault(key, Prospect(view, one.species, one.size))
        shift = one.season.year - view.site.season_on(view.on).year
        yield _odds(prospect.opening(one.window, shift))


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


def drawn_days(past: Opening, species: str) -> list[float]:
    """Day of the season of each whole season's opening, at one draw of the error; infinite: none."""
    site, hemisphere = past.traces.site, past.traces.season.hemisphere
    draws = [draw_of(site, species, Season(year, hemisphere)) for year in past.traces.labels.tolist()]
    days: list[float] = (past.opens[np.arange(len(draws)), draws] - past.traces.season_start).tolist()
    return days


def no_width(odds: DateOdds) -> bool:
    """Whether 80 in 100 is one day."""
    first, last = odds.by((0.1, 0.9))
    return bool(first == last and np.isfinite(first))


def draw_of(site: Site, species: str, season: Season) -> int:
    """Which draw of the rules' error a season had: by chance, and whenever it is asked the same."""
    named = f"{site.name}/{species}/{season.year}".encode()
    return int(np.random.default_rng(crc32(named)).integers(DRAWS.size))


def _odds(opening: Opening) -> DateOdds:
    """Odds of the opening's day of the season."""
    odds = opening.opens_odds
    return DateOdds(odds.days - opening.traces.season_start, odds.weights)
