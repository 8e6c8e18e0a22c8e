"""A pot at several sites: the temperatures in its middle through all traces of a season.

What `root_zone_extremes` works out by the hour. An hour of air is a sum of a few numbers of its day and the
next (the day's extremes, its two sunsets, its beam and its sky), by shares that hang on the site's calendar
alone; so is all that a pot makes of it.
"""

from __future__ import annotations

from typing import TYPE_CHECKING

import numpy as np
from numpy.typing import NDArray

from season_engine.measures.day_response import day_response
from season_engine.measures.root_zone_extremes import sun_on_pot_c
from season_engine.measures.runs import mean_of_last
from season_engine.measures.trace_kernel import AirOfTraces, extremes_in_pot, means_in_pot
from season_engine.pot import Pot
from season_engine.traces.day_courses import DayCourses
from season_engine.traces.days_on_ask import DaysOnAsk

if TYPE_CHECKING:
    from season_engine.traces.season_traces import SeasonTraces

NOTHING = 1e-17  # share of a past day's warmth that changes no digit

FloatArray = NDArray[np.float64]
IntArray = NDArray[np.int64]


class PotAtSites:
    """The middle of a pot at each of some sites, after nights so much colder, shape (sites,)."""

    def __init__(self, traces: SeasonTraces, pot: Pot, colder_c: FloatArray) -> None:
        self.shape = shape = traces.tmin_c.shape
        self._extremes = np.full((2, *shape), np.nan)
        self._filled = np.zeros((shape[0], shape[-1]), dtype=bool)
        self._sites = [_PotAtSite(traces, place, pot, float(colder_c[place])) for place in range(shape[0])]

    def running_mean_c(self, days: int) -> DaysOnAsk:
        """Mean of the last so many days, shape (sites, traces, days)."""

        def fill(place: int, first: int, last: int, means: FloatArray) -> None:
            begins = max(first - days + 1, 0)
            of_days, _ = self._sites[place].means(begins, last)
            means[:, first:last] = mean_of_last(days, of_days)[:, first - begins :]

        return DaysOnAsk(self.shape, fill)

    def extreme_c(self, columns: IntArray, *, lowest: bool) -> FloatArray:
        """Lowest or highest of each day, shape (sites, traces, days).

        Filled in where it is asked for: on so many columns of each site, shape (sites, 1, columns).
        """
        days = self._filled.shape[-1]
        for place, (one, filled) in enumerate(zip(self._sites, self._filled, strict=True)):
            asked = np.broadcast_to(columns, (len(self._sites), *columns.shape[1:]))[place].reshape(-1)
            asked = asked[(asked >= 0) & (asked < days)]
            missing = asked[~filled[asked]]
            if missing.size:
                first, last = int(missing.min()), int(missing.max()) + 1
                one.fill_extremes(first, last, *self._extremes[:, place])
                filled[first:last] = True
        return np.asarray(self._extremes[0 if lowest else 1])


class PotCourses:
    """What the parts of a day make of a pot's middle at one site, by the course of its calendar."""

    def __init__(self, courses: DayCourses, place: int, pot: Pot) -> None:
        self.response = response = day_response(pot)
        by_sun = sun_on_pot_c(courses.sun[place], pot)
        self._shares = np.concatenate([courses.shares_of_air[place], by_sun], axis=1)
        self.left, self.today, self.yesterday = (
            self._shares @ part.T
            for part in (response.left, response.today.mean(axis=0), response.yesterday.mean(axis=0))
        )
        slowest = min(max(float(response.kept.max(initial=0.0)), 1e-9), 1.0 - 1e-9)
        self.forgotten_days = 3 + int(np.ceil(np.log(NOTHING) / np.log(slowest)))

    def hours(self, course: IntArray, course_before: IntArray) -> tuple[FloatArray, FloatArray]:
        """What parts of some days and of those before them make of their hours, (days, parts, 24) each."""
        today, yesterday = self.response.today.T, self.response.yesterday.T
        return self._shares[course] @ today, self._shares[course_before] @ yesterday


class _PotAtSite:
    """The same at one site, of some days."""

    def __init__(self, traces: SeasonTraces, place: int, pot: Pot, colder_c: float) -> None:
        standing, courses = traces.sites[place].standing(pot), traces.courses
        self._of_course = courses.once((place, standing), lambda: PotCourses(courses, place, standing))
        sun = courses.sun[place]
        self._traces = traces.tmin_c.shape[1]
        self._air = AirOfTraces(
            *(traces.tmin_c[place], traces.tmax_c[place], colder_c, traces.course),
            max(int(traces.observed[place]) - 1, 0),
            *(courses.at_sunset[place], sun.outer_mj, sun.clear_mj),
        )

    def means(self, first: int, last: int) -> tuple[FloatArray, FloatArray]:
        """Daily means, shape (traces, days), and what was left before each day in each lag."""
        made, response = self._of_course, self._of_course.response
        begins = max(first - made.forgotten_days, 0)
        mean = np.empty((self._traces, last - begins))
        before = np.empty((*mean.shape, response.kept.size))
        parts = made.left, response.kept, made.today, made.yesterday, response.carried.mean(axis=0)
        means_in_pot(self._air, *parts, begins, before, mean)
        return mean[:, first - begins :], before[:, first - begins :]

    def fill_extremes(self, first: int, last: int, low: FloatArray, high: FloatArray) -> None:
        """Fill in the coldest and the warmest hour of some days, both (traces, days)."""
        of_day, days = self._air.course, np.arange(first, last)
        today, yesterday = self._of_course.hours(of_day[days], of_day[np.maximum(days - 1, 0)])
        carried = np.ascontiguousarray(self._of_course.response.carried.T)
        _, before = self.means(first, last)
        extremes_in_pot(self._air, before, today, yesterday, carried, first, low, high)
