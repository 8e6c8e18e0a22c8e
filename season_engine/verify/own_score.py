"""What past reports foresaw, held against what came: the grower's own notes, else the season's weather."""

from __future__ import annotations

import datetime as dt
import math
from collections.abc import Callable, Iterable, Iterator, Mapping, Sequence
from dataclasses import dataclass
from functools import cache
from typing import Literal

import numpy as np
from numpy.typing import NDArray

from season_engine.phenology.dating import SeasonDating, date_markers
from season_engine.species.catalogue import Catalogue, Species
from season_engine.species.schema import Window
from season_engine.tree import Size
from season_engine.verify.cases import WindowOpening
from season_engine.verify.forecast_score import ForecastScore
from season_engine.verify.own_record import Said, Statement
from season_engine.windows.assess import Prospect

FloatArray = NDArray[np.float64]
CameBy = Literal["notes", "weather"]
ProspectOf = Callable[[str, Size | None], Prospect]  # by a species' name and a window's size

BANDS = ((0, 1), (2, 3), (4, 6))  # weeks from the report to the date it gave
AHEAD = (2, 6)  # what the weekly report tells of
FEWEST_TOLD = 5
SAME_DAYS = 0.5  # dates of two traces so little apart are one
OPEN_END_DAYS = 60  # a range without an end is waited for so long after its middle


@dataclass(frozen=True, slots=True)
class Outcome:
    """One opening as a report foresaw it, and the date that came."""

    subject: WindowOpening
    site: str
    season: str
    as_of: dt.date
    said: Said
    foreseen: dt.date  # the middle date it gave
    came: dt.date
    came_by: CameBy

    @property
    def weeks_ahead(self) -> int:
        """From the report to the date it gave, which nothing that came later can change."""
        return weeks_between(self.as_of, self.foreseen)

    @property
    def error_days(self) -> int:
        """Above 0: the date given was too late."""
        return (self.foreseen - self.came).days

    @property
    def usual_error_days(self) -> int | None:
        """The same for the middle of past seasons, as that report had it."""
        return None if self.said.usual is None else (self.said.usual - self.came).days

    @property
    def width_days(self) -> int | None:
        """Of the range given 8 chances in 10; None where it had no end."""
        low, high = self.said.opens.p10, self.said.opens.p90
        return None if low is None or high is None else (high - low).days

    @property
    def inside(self) -> bool:
        """Whether that range held the date; its ends count, and without an end it holds any later date."""
        low, high = self.said.opens.p10, self.said.opens.p90
        return low is not None and low <= self.came and (high is None or self.came <= high)


@dataclass(frozen=True, slots=True)
class OwnSummary:
    """Means over outcomes, at least one; days, shares 0..1."""

    n: int
    mae: float
    bias: float  # above 0: too late
    rmse: float
    coverage80: float
    width80: float | None
    mae_usual: float | None
    not_reached: float

    @property
    def skill(self) -> float | None:
        """Share of the usual dates' mean error that the reports take away; None where it had none."""
        return 1.0 - self.mae / self.mae_usual if self.mae_usual else None


@dataclass(frozen=True, slots=True)
class OwnScore:
    """What the weekly report tells of its own record at one site."""

    n: int  # openings foreseen two to six weeks ahead
    mae: float
    inside: int
    by_notes: int


def outcomes(
    statements: Sequence[Statement], catalogue: Catalogue, prospect_of: ProspectOf, on: dt.date
) -> list[Outcome]:
    """Every opening that one site's reports foresaw and that is past on `on`, in order of the reports.

    Only reports written on their own day may come in. An opening counts from the end of the range given for
    it, so that early ones aren't counted while late ones are still waited for. `prospect_of` looks at the
    site from `on`, and knows nothing later.
    """

    @cache
    def season_of(species: str, size: Size | None, year: int) -> PastSeason:
        return past_season(prospect_of(species, size), year)

    found = []
    for statement in statements:
        for said in statement.said:
            window, foreseen = _window(catalogue, said), said.opens.p50
            if window is None or foreseen is None or not _to_be_scored(said, foreseen, statement.as_of, on):
                continue
            season = season_of(said.species, window.size, int(said.season.partition("/")[0]))
            if (came := season.opened(window)) is not None:
                kind = season.species
                subject = WindowOpening(kind.name, kind.common[0], said.job, said.window)
                found.append(
                    Outcome(subject, statement.site, said.season, statement.as_of, said, foreseen, *came)
                )
    return found


@dataclass(frozen=True)
class PastSeason:
    """The markers of one species in a season, as its weather gave them and as the grower saw them."""

    species: Species
    dating: SeasonDating
    noted: Mapping[str, int]  # marker -> column of the day it was first seen

    def opened(self, window: Window) -> tuple[dt.date, CameBy] | None:
        """The day a window opened, and how that is known; None where it has not, or not surely.

        It is the latest of the opening markers: each on the day the grower noted it, else on the day the rule
        gives with the weather as it was, the middle of the rule's error. Known by notes is what a noted
        marker decided.
        """
        days: dict[str, float] = {}
        for name in window.opens:
            if name in self.noted:
                days[name] = float(self.noted[name])
            elif self._settled(name):
                days[name] = float(self.dating.plain[name][0])
            else:
                return None
        last = max(days, key=lambda name: days[name])
        date = self.dating.traces.date_of(math.ceil(days[last]))
        return None if date is None else (date, "notes" if last in self.noted else "weather")

    def _settled(self, name: str) -> bool:
        """Past in every trace, and the same: heat that is counted back hangs on weather still to come.

        So do days counted back, even from odds, which are the same in every trace till the day itself.
        """
        marker, dates = self.species.markers[name], self.dating.plain[name]
        if marker.counted_back and not all(self._settled(other) for other in marker.depends_on):
            return False
        past = dates.size and dates.max() < self.dating.traces.observed_days
        return bool(past and np.ptp(dates) < SAME_DAYS)


def past_season(prospect: Prospect, year: int) -> PastSeason:
    """The season that began in a year; what notes taught of the yard in general counts."""
    view = prospect.view
    shift = year - view.site.season_on(view.on).year
    general = prospect.learnt(0).in_general()
    dating = date_markers(prospect.species, view.season(shift), prospect.pot, general)
    return PastSeason(prospect.species, dating, prospect.learnt(shift).seen)


def weeks_between(first: dt.date, last: dt.date) -> int:
    """Whole weeks, rounded."""
    return math.floor((last - first).days / 7 + 0.5)


def first_in(band: tuple[int, int], found: Iterable[Outcome]) -> list[Outcome]:
    """Each opening once: as the earliest report within so many weeks ahead foresaw it."""
    first: dict[tuple[WindowOpening, str, str], Outcome] = {}
    for one in found:
        if band[0] <= one.weeks_ahead <= band[1]:
            first.setdefault((one.subject, one.site, one.season), one)
    return list(first.values())


def bands(found: Sequence[Outcome]) -> Iterator[tuple[CameBy, tuple[int, int], list[Outcome]]]:
    """Outcomes by what they were held against and by weeks ahead, far to near; none that is empty."""
    kinds: tuple[CameBy, ...] = ("notes", "weather")
    for kind in kinds:
        of_kind = [one for one in found if one.came_by == kind]
        for band in reversed(BANDS):
            if some := first_in(band, of_kind):
                yield kind, band, some


def own_summary(found: Sequence[Outcome]) -> OwnSummary:
    """Scores of the middle dates and ranges."""
    errors = np.array([one.error_days for one in found], np.float64)
    widths = [one.width_days for one in found if one.width_days is not None]
    usual = [abs(one.usual_error_days) for one in found if one.usual_error_days is not None]
    return OwnSummary(
        n=len(found),
        mae=float(np.abs(errors).mean()),
        bias=float(errors.mean()),
        rmse=float(np.sqrt((errors**2).mean())),
        coverage80=float(np.mean([one.inside for one in found])),
        width80=float(np.mean(widths)) if widths else None,
        mae_usual=float(np.mean(usual)) if len(usual) == len(found) else None,
        not_reached=float(np.mean([1.0 - one.said.chance_given for one in found])),
    )


def own_score(found: Sequence[Outcome]) -> OwnScore | None:
    """For the weekly report; None where too few openings can be told of."""
    told = first_in(AHEAD, found)
    if len(told) < FEWEST_TOLD:
        return None
    return OwnScore(
        n=len(told),
        mae=own_summary(told).mae,
        inside=sum(one.inside for one in told),
        by_notes=sum(one.came_by == "notes" for one in told),
    )


def _to_be_scored(said: Said, foreseen: dt.date, as_of: dt.date, on: dt.date) -> bool:
    """Whether a species' opening was still ahead, within the weeks scored, and its range is past by now.

    A range of one day is left out: day length gives such dates for every year alike, which is no foresight.
    """
    due = said.opens.p90 or foreseen + dt.timedelta(days=OPEN_END_DAYS)
    near = as_of <= foreseen and weeks_between(as_of, foreseen) <= BANDS[-1][1]
    sure = said.opens.p10 == said.opens.p90
    return said.tree is None and near and not sure and due < on


def _window(catalogue: Catalogue, said: Said) -> Window | None:
    """The window it was about; None where the catalogue has it no longer."""
    kind = catalogue.get(said.species)
    for window in kind.windows if kind else ():
        if (window.job, window.name) == (said.job, said.window):
            return window
    return None


@dataclass(frozen=True, slots=True)
class OwnReports:
    """The reports that were read, and every opening of theirs that can be scored."""

    days: tuple[dt.date, ...]  # that the fair ones are about
    written_later: int  # about a past day, made after it: left out
    torn: int  # lines of the record that can't be read
    outcomes: tuple[Outcome, ...]
    forecasts: tuple[ForecastScore, ...] = ()  # of the days ahead, one a site that kept some
