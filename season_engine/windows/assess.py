"""One window of one species at one site, judged on one day."""

from __future__ import annotations

import datetime as dt
from collections.abc import Callable, Iterable, Mapping, Sequence
from dataclasses import dataclass, replace
from functools import cached_property

import numpy as np
from numpy.typing import ArrayLike

from season_engine.note import Note
from season_engine.phenology.dating import SeasonDating, date_markers
from season_engine.phenology.learning import NOTHING, Learnt, learn, taught_by_kind
from season_engine.phenology.pooling import KindTaught
from season_engine.pot import Pot
from season_engine.site import Season
from season_engine.species.catalogue import Species
from season_engine.species.jobs import JOBS
from season_engine.species.schema import Window
from season_engine.traces import SeasonView
from season_engine.tree import POTS, Size
from season_engine.trees.need import TreeCase
from season_engine.windows.assessment import (
    AT_HAND,
    NOWHERE,
    Assessment,
    End,
    NextWindow,
    Standing,
    Today,
    Usual,
    Verdict,
    WeekAhead,
)
from season_engine.windows.calendar_ends import set_by_calendar
from season_engine.windows.cautions import Caution, cautions_of, cautions_of_heat
from season_engine.windows.chances import day_chances, week_chances
from season_engine.windows.hazard import Hazard
from season_engine.windows.hazards import (
    HARDLY_EVER,
    best_week,
    hazard_if_done,
    seldom_well,
    too_little_warmth,
    weeks_ahead,
    well_when_too_late,
)
from season_engine.windows.noted import learnt_summary, notes_of, stage_notes
from season_engine.windows.opening import ENDS, Opening, open_window
from season_engine.windows.reasons import reasons_of
from season_engine.windows.today import advise
from season_engine.windows.verdict import (
    may_be_last,
    may_be_next,
    season_shift,
    standing,
    too_even,
    verdict_on,
)
from season_engine.windows.why_today import Stale, WhyToday
from season_engine.windows.window_notes import window_notes

STALE_DAYS = 7
LOOK_AHEAD_DAYS = 120  # four weeks, and the longest aftercare after them


class Prospect:
    """One species at one site seen from one day: its markers, dated once for all of its windows.

    `pot`: the tree's; default: one that trees of the size stand in. `any_size`: the size is only taken so,
    since nobody said it; then a large tree's cautions are told. `tree`: the id of one that has notes of its
    own; default: the kind. `others`: what notes of the yard's other kinds came to.
    """

    def __init__(
        self,
        view: SeasonView,
        species: Species,
        size: Size = "medium",
        notes: Iterable[Note] = (),
        *,
        pot: Pot | None = None,
        any_size: bool = False,
        tree: str = "",
        others: Callable[[], Sequence[KindTaught]] = tuple,
    ) -> None:
        self.view = view
        self.species = species
        self._cautioned_as: Size = "large" if any_size else size
        self.pot_told = pot is not None
        self.pot = pot or POTS[size].usual
        self.written = notes_of(notes, species, view.site)
        self.notes = stage_notes(self.written, species, view.site)
        self._tree, self._others = tree, others
        self._learnt: dict[int, Learnt] = {}
        self._datings: dict[int, SeasonDating] = {}
        self.cases: dict[int, TreeCase] = {}  # of trees, by what they had
        self._next_opens: dict[tuple[str, str, dt.date], tuple[dt.date, dt.date] | None] = {}
        self._openings: dict[tuple[str, str, int | None], Opening] = {}

    def cautions(self, job: str, size: Size | None = None, pot: Pot | None = None) -> tuple[Caution, ...]:
        """What can hurt whoever does a job now, on a tree of another size and in another pot if need be."""
        size = size or self._cautioned_as
        pot = pot or (self.pot if self.pot_told else POTS[size].usual)
        of_job = cautions_of(job, self.species, size, pot.litres)
        return (*of_job, *cautions_of_heat(self.view.weather, self.view.on))

    def dating(self, shift: int) -> SeasonDating:
        """Markers in the season `on` falls into, or so many seasons later."""
        if shift not in self._datings:
            season = self.view.season(shift)
            self._datings[shift] = date_markers(self.species, season, self.pot, self.learnt(shift))
        return self._datings[shift]

    @cached_property
    def past(self) -> SeasonDating:
        """Markers in whole past seasons, as the notes have moved them."""
        general = self.learnt(0).in_general()
        return self.as_catalogued if general == NOTHING else self._past(general)

    def learnt(self, shift: int) -> Learnt:
        """What the notes say for the season `on` falls into, or so many seasons later."""
        if shift not in self._learnt:
            self._learnt[shift] = self._learn(shift)
        return self._learnt[shift]

    def _learn(self, shift: int) -> Learnt:
        others = self._others()
        if not self.notes and not others:
            return NOTHING
        season = self.view.site.season_on(self.view.on).shifted(shift).year
        dated = self._dated_years if self.notes else {}
        return learn(self.species, self.notes, dated, season, others=others, tree=self._tree)

    @cached_property
    def taught(self) -> KindTaught | None:
        """What its own notes of past seasons come to, for other kinds; None where they teach nothing."""
        season = self.view.site.season_on(self.view.on).year
        if all(note.season == season for note in self.notes):
            return None
        return taught_by_kind(self.species, self.notes, self._dated_years, season)

    @cached_property
    def _dated_years(self) -> Mapping[str, Mapping[int, float]]:
        """Each marker's column in past seasons' own weather, late ones included as far as they are known.

        A season that began before the readings has no column: its chill isn't known.
        """
        past = self.as_catalogued
        years = past.traces.labels.tolist()
        dated = {name: dict(zip(years, columns, strict=True)) for name, columns in past.plain.items()}
        this_year = self.view.site.season_on(self.view.on).year
        for late in {note.season for note in self.notes if note.season < this_year} - set(years):
            season = self.view.season(late - this_year)
            if season.season.start < self.view.weather.series.first_day:
                continue
            for name, columns in date_markers(self.species, season, self.pot).plain.items():
                if columns.size and columns.max() < season.observed_days:  # past in every trace
                    dated[name][late] = float(columns[0])
        return dated

    @cached_property
    def as_catalogued(self) -> SeasonDating:
        """Markers in whole past seasons, whatever was noted."""
        return self._past(NOTHING)

    def _past(self, learnt: Learnt) -> SeasonDating:
        return date_markers(self.species, self.view.past, self.pot, learnt)

    def opening(self, window: Window, shift: int) -> Opening:
        """Dates of one window in the season `on` falls into, or so many seasons later."""
        return self._opening(window, shift)

    def past_opening(self, window: Window) -> Opening:
        """Dates of one window in whole past seasons."""
        return self._opening(window, None)

    def told(self, window: Window, shift: int | None) -> Opening:
        """The same of a season, or of whole past ones (None), with the ends that the calendar sets."""
        seen = (None,) if shift is None else (shift, None)  # it does where it does so usually as well
        ends = frozenset(end for end in ENDS if all(self._set_by_calendar(window, end, one) for one in seen))
        opening = self._opening(window, shift)
        return opening.told_as(calendar=ends) if ends else opening

    def marker_date(self, name: str, shift: int) -> dt.date | None:
        """A marker's middle date in the season `on` falls into, or so many seasons later.

        Of a past season by its own weather, where the readings have it; of any other the usual date.
        """
        season = self.view.site.season_on(self.view.on).shifted(shift)
        if shift == 0:
            return _date_in(season, self.dating(0).odds(name).by(0.5))
        of_year = self._dated_years[name].get(season.year)
        return _date_in(season, self.past.odds(name).by(0.5) if of_year is None else of_year)

    def next_open(self, window: Window, by: dt.date) -> tuple[dt.date, dt.date] | None:
        """The first day from `by` on that a window is open, and when it closes; None: never.

        By this season's dates if it is this season's, else by the usual ones.
        """
        key = window.job, window.name, by
        if key not in self._next_opens:
            self._next_opens[key] = self._next_open(window, by)
        return self._next_opens[key]

    def _next_open(self, window: Window, by: dt.date) -> tuple[dt.date, dt.date] | None:
        floor = JOBS[window.job].floor
        this = self.view.site.season_on(self.view.on)
        usual = self.past_opening(window)
        for shift in (-1, 0, 1, 2):
            if shift == 0:
                now = standing(self._opening(window, 0), floor)
                opens, closes = now.opens, now.closes
            else:
                season = this.shifted(shift)
                opens = _date_in(season, usual.opens_odds.by(floor))
                closes = _date_in(season, usual.closes_odds.by(1 - floor))
            if opens is not None and closes is not None and opens < closes and closes > by:
                return max(opens, by), closes
        return None

    def _set_by_calendar(self, window: Window, end: End, shift: int | None) -> bool:
        columns = getattr(self._opening(window, shift), end)
        return set_by_calendar(getattr(window, end), self.species.markers, self._dating(shift), columns)

    def _dating(self, shift: int | None) -> SeasonDating:
        return self.past if shift is None else self.dating(shift)

    def _opening(self, window: Window, shift: int | None) -> Opening:
        key = window.job, window.name, shift
        if key not in self._openings:
            self._openings[key] = open_window(self._dating(shift), window.opens, window.closes)
        return self._openings[key]


def _date_in(season: Season, column: ArrayLike) -> dt.date | None:
    """Date of a column of a season's traces; None where it is never reached."""
    if not np.isfinite(column):
        return None
    return season.date_of(season.day_of(season.first_trace_day) + round(float(column)))  # type: ignore[arg-type]


@dataclass(frozen=True)
class _Case:
    """What was decided about a window, before it is written down."""

    shift: int
    floor: float
    opening: Opening
    verdict: Verdict
    hazards: tuple[Hazard, ...]
    ahead: tuple[WeekAhead, ...]
    today: Today
    why: WhyToday
    seldom_well: float | None


def assess(prospect: Prospect, window: Window, shelter: bool | None = None) -> Assessment:
    """Judge `window` on the view's day, for a tree that can, or can't, go under cover; None: for none."""
    on = prospect.view.on
    sheltered = shelter is True
    floor = JOBS[window.job].floor_for(sheltered=sheltered)
    shift, now = judged(prospect, window, floor)
    opening = prospect.told(window, shift)
    verdict = verdict_on(on, now)
    dating = prospect.dating(shift if opening.traces.covers(on, days=LOOK_AHEAD_DAYS) else 0)
    hazards = [(rule, hazard_if_done(rule, dating, on)) for rule in window.hazard]
    near = verdict in AT_HAND
    own = prospect.dating(shift)  # the opening's own chances, even where its traces end before the aftercare
    ahead = weeks_ahead(window.hazard, own, opening, on, sheltered=sheltered) if near else ()
    spared = shelter is not False
    seldom = _too_late_or_seldom(prospect, window, shift, now.opens, ahead, sheltered=spared)
    today, why = advise(
        verdict,
        unsure=too_even(opening.chance_open(on), floor),
        stale=_stale(prospect.view),
        hazards=hazards,
        shelter=shelter,
        seldom_well=seldom,
    )
    told = tuple(hazard for _, hazard in hazards)
    case = _Case(shift, floor, opening, verdict, told, ahead, today, why, seldom)
    worked = now.opens if now.opens is None or verdict == "closed" else max(on, now.opens)
    too_late = worked is not None and too_little_warmth(window.hazard, own, worked)
    return replace(_written(prospect, window, case), standing=now, opens_too_late=too_late)


def _written(prospect: Prospect, window: Window, case: _Case) -> Assessment:
    view, opening = prospect.view, case.opening
    past = prospect.past_opening(window).told_as(traces=opening.traces)
    return Assessment(
        site=view.site.name,
        species=prospect.species.name,
        common_name=prospect.species.common[0],
        job=window.job,
        window=window.name,
        as_of=view.on,
        data_through=view.weather.data_through,
        hemisphere=view.site.hemisphere,
        season=opening.traces.season.label,
        verdict=case.verdict,
        today=case.today,
        today_why=case.why,
        floor=case.floor,
        chance_given=opening.chance_given,
        chance_open_now=opening.chance_open(view.on),
        opens=opening.opens_quantiles,
        closes=opening.closes_quantiles,
        next=_next(prospect, window, case.shift + 1, case.floor) if case.verdict == "closed" else None,
        usual=Usual(past.opened_by(0.5), past.closed_by(0.5), len(view.past)),
        reasons=reasons_of(window, prospect.species, prospect.dating(case.shift), opening, view.on),
        hazards=case.hazards,
        weeks=week_chances(opening, past, view.on),
        days=day_chances(opening, past, view.on, case.floor) if case.verdict in ("wait", "soon") else (),
        ahead=case.ahead,
        best=best_week(case.ahead) if case.ahead and case.seldom_well is None else None,
        seldom_well=case.seldom_well,
        learnt=learnt_summary(prospect.learnt(case.shift), prospect.species, window),
        cautions=prospect.cautions(window.job),
        notes=window_notes(prospect.species, window),
        severity=window.severity,
        school=window.school,
        aftercare=window.aftercare,
        sources=view.weather.sources,
        invented_weather=view.weather.invented,
        warnings=view.weather.warnings,
    )


def _too_late_or_seldom(
    prospect: Prospect,
    window: Window,
    shift: int,
    opens: dt.date | None,
    ahead: tuple[WeekAhead, ...],
    *,
    sheltered: bool,
) -> float | None:
    """The best chance that the job goes well, where no day of the window is one to invite to it."""
    if opens is None:
        return None
    own = prospect.dating(shift)
    at_first = float(well_when_too_late(window.hazard, own, own.traces.column(opens), sheltered=sheltered))
    return _seldom_well(prospect, window, ahead, sheltered=sheltered) if np.isnan(at_first) else at_first


def _seldom_well(
    prospect: Prospect,
    window: Window,
    ahead: tuple[WeekAhead, ...],
    *,
    sheltered: bool,
) -> float | None:
    """The best chance that the job goes well, where it hardly ever does here, this season neither."""
    soonest = max((week.chance_good for week in ahead), default=0.0)
    if soonest >= HARDLY_EVER:
        return None
    past = prospect.past_opening(window)
    usual = past.opens_odds.by(0.5), past.closes_odds.by(0.5)
    best = float(seldom_well(window.hazard, prospect.past, *usual, sheltered=sheltered))
    return None if np.isnan(best) else max(best, soonest)


def judged(prospect: Prospect, window: Window, floor: float) -> tuple[int, Standing]:
    """The season whose window is judged, and how it stands; neighbours only where it matters."""
    on = prospect.view.on
    none = NOWHERE

    def stand(shift: int) -> Standing:
        return standing(prospect.opening(window, shift), floor)

    now, season = stand(0), prospect.view.site.season_on(on)
    before = stand(-1) if may_be_last(on, now, season) else none
    after = stand(1) if may_be_next(on, now, season) else none
    shift = season_shift(on, before, now, after)
    return shift, {-1: before, 0: now, 1: after}[shift]


def _next(prospect: Prospect, window: Window, shift: int, floor: float) -> NextWindow:
    opening = prospect.told(window, shift)
    return NextWindow(
        opening.traces.season.label,
        opening.opens_quantiles,
        opening.closes_quantiles,
        standing(opening, floor),
    )


def _stale(view: SeasonView) -> Stale | None:
    age = (view.on - view.weather.data_through).days
    return Stale(age) if age > STALE_DAYS else None
