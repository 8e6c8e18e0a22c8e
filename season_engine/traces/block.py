"""Sites side by side, their seasons as they look from one day."""

from __future__ import annotations

import datetime as dt
from collections.abc import Callable, Sequence
from functools import cached_property
from weakref import ref

import numpy as np
from numpy.typing import NDArray

from season_engine.measures.many_sites import GROWING_DEGREE_HOURS, PORTIONS, hourly_measures_of_sites
from season_engine.site import Season, Site, day_number
from season_engine.traces.day_courses import DayCourses
from season_engine.traces.record import Record, Records, Spliced, trace_days
from season_engine.traces.running_sums import CHILL, HEAT
from season_engine.traces.season_traces import SeasonTraces
from season_engine.traces.trace_set import OnCalendar, day_of_year

FloatArray = NDArray[np.float64]

SHIFTS = (-1, 0, 1)  # seasons that are looked at


def alike(sites: Sequence[Site], records: Sequence[Record], on: dt.date) -> list[list[int]]:
    """Places of sites that make one block: of one hemisphere, with as many traces in each season.

    None is padded with traces of another then, so that each gives the same bits as by itself.
    """
    groups: dict[tuple[object, ...], list[int]] = {}
    for place, (site, record) in enumerate(zip(sites, records, strict=True)):
        begins = day_number(site.season_on(on).first_trace_day)
        years = (record.last + 1 - record.first) // 365, (begins - record.first) // 365
        groups.setdefault((site.hemisphere, record.last, *years), []).append(place)
    return [*groups.values()]


class BlockView:
    """What `SeasonView` is of one site, of several at once; each season is built when first asked for.

    The sites are such as `alike` puts together, their records cut at `on`.
    """

    def __init__(self, sites: Sequence[Site], records: Sequence[Record], on: dt.date) -> None:
        self.sites = tuple(sites)
        self.on = on
        self.this_season = sites[0].season_on(on)
        self._records = Records(records)
        self._last = [record.last for record in records]
        self._seasons: dict[int, SeasonTraces] = {}
        self._calendars: dict[int, Calendar] = {}

    def season(self, shift: int = 0) -> SeasonTraces:
        """Traces of the season `on` falls into, or of the one `shift` seasons later, a case a site."""
        if shift not in self._seasons:
            calendar = self.calendar(shift)
            found = self._records.spliced(*self._asked(shift), calendar.days.size)
            self._seasons[shift] = self._laid_out(found, shift, usual=True)
        return self._seasons[shift]

    @cached_property
    def past(self) -> SeasonTraces:
        """Whole past seasons as they were, laid on the calendar of the season `on` falls into."""
        found = self._records.whole(*self._asked(0), self.calendar(0).days.size)
        return self._laid_out(found, 0, usual=False)

    @cached_property
    def _courses(self) -> DayCourses:
        latitudes = np.array([site.latitude for site in self.sites])
        return DayCourses(latitudes, [day_of_year(self.calendar(shift).days) for shift in SHIFTS])

    def sums_so_far(self) -> list[tuple[float, float]]:
        """Chill portions and growing degree hours of each site's season so far, as `running_sum` has them."""
        now, last = self.season(), int(self.season().observed.max())
        chill, heat = (
            slice(now.season_start + (part.start or 0), now.season_start + part.stop)
            for part in (CHILL, HEAT)
        )
        if last <= now.season_start:
            return [(0.0, 0.0)] * len(self.sites)
        restart = np.zeros(last, dtype=bool)
        restart[now.season_start] = True
        found = hourly_measures_of_sites(
            now.tmin_c[:, 0, :last],
            now.tmax_c[:, 0, :last],
            latitude_deg=[site.latitude for site in self.sites],
            day_of_year=now.day_of_year[0, :last],
            chill_restart=restart,
        )
        both = found[PORTIONS].value[:, chill], found[GROWING_DEGREE_HOURS].value[:, heat]
        return [*zip(*(values.sum(axis=1).tolist() for values in both), strict=True)]

    def calendar(self, shift: int) -> Calendar:
        """The days of a season's columns."""
        if shift not in self._calendars:
            self._calendars[shift] = Calendar(self.this_season.shifted(shift))
        return self._calendars[shift]

    def _asked(self, shift: int) -> tuple[range, list[int], list[int]]:
        first = day_number(self.this_season.shifted(shift).first_trace_day)
        return range(len(self.sites)), self._last, [first] * len(self.sites)

    def _laid_out(self, found: Spliced, shift: int, *, usual: bool) -> SeasonTraces:
        calendar, course = self.calendar(shift), self._courses.of_days[shift + 1]
        days = np.broadcast_to(day_of_year(calendar.days), (len(self.sites), calendar.days.size))
        return SeasonTraces(
            tmin_c=found.tmin_c,
            tmax_c=found.tmax_c,
            weights=found.weights,
            observed=found.observed,
            day_length_h=self._courses.length_h[:, course],
            season_start=calendar.column(calendar.season.start),
            bench_frost_allowance_c=np.array([site.bench_frost_allowance_c for site in self.sites]),
            sites=self.sites,
            day_of_year=days,
            courses=self._courses,
            course=course,
            past=_past_of(ref(self)) if usual else None,
        )


def _past_of(view: ref[BlockView]) -> Callable[[], SeasonTraces]:
    """Past seasons by a weak reference: a view that holds itself would keep its arrays for long."""

    def past() -> SeasonTraces:
        there = view()
        assert there is not None
        return there.past

    return past


class Calendar(OnCalendar):
    """The days of one season's traces."""

    def __init__(self, season: Season) -> None:
        self.season = season
        self.days = trace_days(season)

    def dates_of(self, columns: FloatArray) -> list[dt.date | None]:
        """Dates of columns, None for one that is never reached or lies outside."""
        whole = np.rint(np.where(np.isfinite(columns), columns, -1.0)).astype(np.int64)
        inside = (whole >= 0) & (whole < self.days.size)
        dates = self.days[np.where(inside, whole, 0)].tolist()
        return [date if there else None for date, there in zip(dates, inside.tolist(), strict=True)]
