"""Windows of one species judged on one day at a block of sites: `assess`, side by side, in arrays."""

from __future__ import annotations

import datetime as dt
from collections.abc import Sequence
from dataclasses import dataclass, replace
from functools import cached_property
from weakref import ref

import numpy as np
from numpy.typing import NDArray

from season_engine.markers.base import behind
from season_engine.phenology.date_odds import ROUNDING
from season_engine.phenology.dating import Dating, date_markers
from season_engine.pot import Pot
from season_engine.species.catalogue import Species
from season_engine.species.jobs import JOBS
from season_engine.species.schema import HazardRule, ShortSeason, Window
from season_engine.traces import CaseTraces
from season_engine.traces.block import BlockView, Calendar
from season_engine.tree import POTS
from season_engine.windows.assess import LOOK_AHEAD_DAYS, STALE_DAYS
from season_engine.windows.assessment import AT_HAND, IN_WINDOW, NOWHERE, Quantiles, Standing, Today, Verdict
from season_engine.windows.choice import DEFAULT_SIZE
from season_engine.windows.hazard import Hazard
from season_engine.windows.hazards import (
    HARDLY_EVER,
    WEEKS_AHEAD,
    chance_good,
    event_of,
    hazard_odds,
    seldom_well,
    well_when_too_late,
)
from season_engine.windows.opening import Ends, ends_of
from season_engine.windows.today import advise
from season_engine.windows.verdict import (
    may_be_last,
    may_be_next,
    mostly_given,
    odds_tried,
    season_shift,
    stands,
    too_even,
    verdict_on,
)
from season_engine.windows.why_today import Stale

FloatArray = NDArray[np.float64]
BoolArray = NDArray[np.bool_]

WEEK = dt.timedelta(weeks=1)
SHELTERED = False  # no tree is meant, so that none is said to go under cover
SPARED = True  # yet where cover would do, the place is none that seldom lets the job go well


@dataclass(frozen=True, slots=True)
class Judged:
    """What `assess` says of a window at one site, as far as a table of many sites tells it."""

    season: str
    verdict: Verdict
    today: Today
    floor: float
    chance_open: float
    chance_given: float
    opens: Quantiles
    closes: Quantiles
    usual_opens: dt.date | None
    usual_closes: dt.date | None
    good: tuple[float, ...]  # that it goes well today and in one to four weeks; empty where that is far
    earliest_safe_monday: dt.date | None  # from today on, by the job's floor


class KindAtSites:
    """One species at a block of sites: the markers behind some of its windows, dated once for all of them.

    Another season's are dated for those windows alone that may be judged in it somewhere.
    """

    def __init__(
        self,
        view: BlockView,
        species: Species,
        windows: Sequence[Window],
        pot: Pot = POTS[DEFAULT_SIZE].usual,
    ) -> None:
        self.view = view
        self.windows = [WindowAtSites(self, window) for window in windows]
        self._species = species
        self._pot = pot
        self._datings: dict[int, Dating[CaseTraces]] = {}

    def dating(self, shift: int) -> Dating[CaseTraces]:
        """Markers in the season of the view's day, or so many seasons later."""
        if shift not in self._datings:
            asked = [one for one in self.windows if not shift or one.may_be_of(shift)]
            self._datings[shift] = self._dated(self.view.season(shift), asked)
        return self._datings[shift]

    @cached_property
    def past(self) -> Dating[CaseTraces]:
        """Markers in whole past seasons."""
        return self._dated(self.view.past, self.windows)

    def _dated(self, traces: CaseTraces, windows: Sequence[WindowAtSites]) -> Dating[CaseTraces]:
        every = self._species.markers
        needed = behind((name for one in windows for name in one.window.markers), every)
        markers = {name: marker for name, marker in every.items() if name in needed}
        return date_markers(replace(self._species, markers=markers), traces, self._pot)


class WindowAtSites:
    """One window of a species at a block of sites, judged on the view's day; its species has to be kept."""

    def __init__(self, kind: KindAtSites, window: Window) -> None:
        self._kind, self.window = ref(kind), window
        self.on = kind.view.on
        self.floor = JOBS[window.job].floor_for(sheltered=SHELTERED)
        self._ends: dict[int, Ends] = {}

    @property
    def kind(self) -> KindAtSites:
        """Its species, by a weak reference: two that hold each other would keep their arrays for long."""
        there = self._kind()
        assert there is not None
        return there

    def judged(self, ages_days: Sequence[int]) -> list[Judged]:
        """The window at each site, whose readings end so many days before the view's day."""
        shifts, standings = self._judged_seasons()
        found: dict[int, Judged] = {}
        for shift in sorted(set(shifts)):
            places = [place for place, one in enumerate(shifts) if one == shift]
            of_season = _OfSeason(self, shift, standings, np.isin(np.arange(len(shifts)), places))
            found |= {place: of_season.judged(place, ages_days[place]) for place in places}
        return [found[place] for place in range(len(shifts))]

    def may_be_of(self, shift: int) -> bool:
        """Whether last season's window (-1), or the next one's (1), may be the one to judge at any site."""
        may_be = may_be_last if shift < 0 else may_be_next
        return any(may_be(self.on, one, self.kind.view.this_season) for one in self._now)

    def ends(self, shift: int) -> Ends:
        """When it opens and closes in a season."""
        if shift not in self._ends:
            self._ends[shift] = ends_of(self.kind.dating(shift), self.window.opens, self.window.closes)
        return self._ends[shift]

    @cached_property
    def usual(self) -> tuple[FloatArray, FloatArray]:
        """Columns by which it has opened and closed in half of all past seasons, each of shape (sites,)."""
        past = ends_of(self.kind.past, self.window.opens, self.window.closes)
        return past.opens_odds.by(0.5), past.closes_odds.by(0.5)

    def _judged_seasons(self) -> tuple[list[int], list[Standing]]:
        """Each site's season whose window is judged, and how it stands; `judged` of `assess`."""
        now = self._now
        nowhere = [NOWHERE] * len(now)
        before, after = (self._standings(shift) if self.may_be_of(shift) else nowhere for shift in (-1, 1))
        three = list(zip(before, now, after, strict=True))
        shifts = [season_shift(self.on, *one) for one in three]
        return shifts, [one[shift + 1] for one, shift in zip(three, shifts, strict=True)]

    @cached_property
    def _now(self) -> list[Standing]:
        return self._standings(0)

    def _standings(self, shift: int) -> list[Standing]:
        ends, calendar = self.ends(shift), self.kind.view.calendar(shift)
        odds = odds_tried(self.floor)
        opens = [calendar.dates_of(columns) for columns in ends.opens_odds.by(odds)]
        closes = [calendar.dates_of(columns) for columns in ends.closes_odds.by([1 - one for one in odds])]
        both = zip(zip(*opens, strict=True), zip(*closes, strict=True), strict=True)
        return [
            stands(list(zip(*one, strict=True))) if mostly_given(chance) else NOWHERE
            for one, chance in zip(both, ends.given.tolist(), strict=True)
        ]


class _OfSeason:
    """A window in one season at the sites where that is the one to judge; others' numbers mean nothing."""

    def __init__(
        self, window: WindowAtSites, shift: int, standings: Sequence[Standing], here: BoolArray
    ) -> None:
        self._window, self._kind = window.window, window.kind
        self._on, self._floor = window.on, window.floor
        self._shift, self._here = shift, here
        self._standings = standings
        self._verdicts = [verdict_on(self._on, one) for one in standings]
        self._calendar = self._kind.view.calendar(shift)
        self._dating, self._ends = self._kind.dating(shift), window.ends(shift)
        self._past_usual = window.usual

    def judged(self, place: int, age_days: int) -> Judged:
        """The window at one site."""
        verdict = self._verdicts[place]
        today, _ = advise(
            verdict,
            unsure=too_even(float(self._chance_open[place]), self._floor),
            stale=Stale(age_days) if age_days > STALE_DAYS else None,
            hazards=self._hazards(place) if verdict in IN_WINDOW else (),
            shelter=None,
            seldom_well=None if np.isnan(self._seldom[place]) else float(self._seldom[place]),
        )
        opens, closes = (Quantiles(end[0][place], end[1][place], end[2][place]) for end in self._quantiles)
        usual_opens, usual_closes = (dates[place] for dates in self._usual)
        return Judged(
            season=self._calendar.season.label,
            verdict=verdict,
            today=today,
            floor=self._floor,
            chance_open=float(self._chance_open[place]),
            chance_given=float(self._ends.given[place]),
            opens=opens,
            closes=closes,
            usual_opens=usual_opens,
            usual_closes=usual_closes,
            good=tuple(self._good[:, place].tolist()) if verdict in AT_HAND else (),
            earliest_safe_monday=self._mondays[place],
        )

    @cached_property
    def _chance_open(self) -> FloatArray:
        return self._ends.open_on(self._columns([self._on] * self._here.size, self._calendar))

    @cached_property
    def _quantiles(self) -> list[list[list[dt.date | None]]]:
        """Of each end the dates by 10, 50 and 90 in 100 at the sites."""
        both = self._ends.opens_odds, self._ends.closes_odds
        return [[self._calendar.dates_of(part) for part in odds.by((0.1, 0.5, 0.9))] for odds in both]

    @cached_property
    def _usual(self) -> list[list[dt.date | None]]:
        return [self._calendar.dates_of(columns) for columns in self._past_usual]

    @cached_property
    def _good(self) -> FloatArray:
        """Chance that it goes well today and in one to four weeks, shape (5, sites)."""
        days = [self._on + week * WEEK for week in range(WEEKS_AHEAD + 1)]
        return np.array([self._chance_good(np.full(self._here.size, self._calendar.column(d))) for d in days])

    def _chance_good(self, columns: NDArray[np.int64]) -> FloatArray:
        return chance_good(self._window.hazard, self._dating, self._ends, columns, sheltered=SHELTERED)

    def _hazards(self, place: int) -> list[tuple[HazardRule, Hazard]]:
        return [(rule, replace(hazard, chance=float(odds[place]))) for rule, hazard, odds in self._of_today]

    @cached_property
    def _of_today(self) -> list[tuple[HazardRule, Hazard, FloatArray]]:
        """Each of the rules with the chance of its event after a job done today."""
        covered = self._calendar.covers(self._on, days=LOOK_AHEAD_DAYS)
        shift = self._shift if covered else 0
        dating, column = self._kind.dating(shift), self._kind.view.calendar(shift).column(self._on)
        return [
            (rule, _event(rule), hazard_odds(rule, dating, np.full(self._here.size, column)))
            for rule in self._window.hazard
        ]

    @cached_property
    def _seldom(self) -> FloatArray:
        """The best chance that it goes well, where no day is one to invite to it; else NaN."""
        opens = self._columns([one.opens for one in self._standings], self._calendar)
        asked = self._here & (opens >= 0)
        at_first = well_when_too_late(
            self._window.hazard, self._dating, np.maximum(opens, 0), sheltered=SPARED
        )
        near = [verdict in AT_HAND for verdict in self._verdicts]
        soonest = np.where(near, self._good.max(axis=0), 0.0) if any(near) else np.zeros(asked.shape)
        left = asked & np.isnan(at_first) & (soonest < HARDLY_EVER)
        usual = (np.where(left, columns, np.nan) for columns in self._past_usual)
        best = np.maximum(
            seldom_well(self._window.hazard, self._kind.past, *usual, sheltered=SPARED), soonest
        )
        return np.where(asked, np.where(np.isnan(at_first), best, at_first), np.nan)

    @cached_property
    def _mondays(self) -> list[dt.date | None]:
        """The first Monday on which the job goes well with the odds it wants, while the window is open.

        None later than the last whose aftercare the traces reach to the end.
        """
        days = [
            self._first_monday(one) if there else None
            for one, there in zip(self._standings, self._here, strict=True)
        ]
        found: list[dt.date | None] = [None] * len(days)
        last = self._calendar.days.size - 1 - _aftercare_days(self._window)
        while any(days):
            columns = self._columns(days, self._calendar)
            well = self._chance_good(np.maximum(columns, 0)) >= self._floor - ROUNDING
            for place, day in enumerate(days):
                if day is None:
                    continue
                closes = self._standings[place].closes
                if columns[place] > last or closes is None or day > closes:
                    days[place] = None
                elif well[place]:
                    found[place], days[place] = day, None
                else:
                    days[place] = day + WEEK
        return found

    def _first_monday(self, standing: Standing) -> dt.date | None:
        if standing.opens is None or standing.unsure:
            return None
        day = max(self._on, standing.opens)
        return day + dt.timedelta(days=-day.weekday() % 7)

    def _columns(self, days: Sequence[dt.date | None], calendar: Calendar) -> NDArray[np.int64]:
        """Column of each site's day, shape (sites,); -1 where there is none."""
        return np.array([-1 if day is None else calendar.column(day) for day in days])


def _event(rule: HazardRule) -> Hazard:
    if isinstance(rule, ShortSeason):
        return Hazard(rule.name, 0.0, 0, None)
    return Hazard(rule.name, 0.0, rule.days, event_of(rule))


def _aftercare_days(window: Window) -> int:
    return max((rule.days for rule in window.hazard if not isinstance(rule, ShortSeason)), default=0)
