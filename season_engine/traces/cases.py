"""Many cases side by side: seasons of sites, each as it looks from a day of its own."""

from __future__ import annotations

from collections.abc import Callable, Sequence
from functools import cache
from typing import NamedTuple

import numpy as np
from numpy.typing import NDArray

from season_engine.measures.chill import daily_chill_portions
from season_engine.measures.day_length import day_length_h
from season_engine.measures.hourly import hourly_temperatures_c
from season_engine.site import Season, Site, day_number
from season_engine.traces.record import Record, Records, Spliced
from season_engine.traces.remainder import YEAR_DAYS
from season_engine.traces.trace_set import CHILL_DAYS, CaseTraces, day_of_year, is_leap_day

FloatArray = NDArray[np.float64]


class Case(NamedTuple):
    """One season of one site as it looks from the end of a day."""

    site: int  # its place
    season: Season
    known: int  # number of the last day whose weather may be used


class SiteRecords:
    """Sites with their records, from which cases are made; columns begin with the season."""

    def __init__(self, sites: Sequence[Site], records: Sequence[Record]) -> None:
        self._sites = sites
        self._records = Records(records)
        self._chill: dict[tuple[int, Season], tuple[FloatArray, FloatArray]] = {}

    def traces(self, cases: Sequence[Case], days: int) -> CaseTraces:
        """Traces of so many days of all cases."""
        of, known = [case.site for case in cases], [case.known for case in cases]
        first = [day_number(case.season.start) for case in cases]

        def past() -> CaseTraces:
            return self._laid_out(cases, self._records.whole(of, known, first, YEAR_DAYS))

        # a season's view borrows from years that hold all its days to come, and so do cases
        reach = [day_number(case.season.last_trace_day) for case in cases]
        spliced = self._records.spliced(of, known, first, days, reach)
        return self._laid_out(cases, spliced, past, lambda: self._chill_of(cases))

    def _laid_out(
        self,
        cases: Sequence[Case],
        found: Spliced,
        past: Callable[[], CaseTraces] | None = None,
        chill: Callable[[], tuple[FloatArray, FloatArray]] | None = None,
    ) -> CaseTraces:
        sites = [self._sites[case.site] for case in cases]
        return CaseTraces(
            tmin_c=found.tmin_c,
            tmax_c=found.tmax_c,
            weights=found.weights,
            observed=found.observed,
            day_length_h=self._day_length_h(cases)[:, : found.tmin_c.shape[-1]],
            bench_frost_allowance_c=np.array([site.bench_frost_allowance_c for site in sites]),
            sites=tuple(sites),
            day_of_year=_days_of_years(cases)[:, : found.tmin_c.shape[-1]],
            past=past,
            chill_observed=chill,
        )

    def _day_length_h(self, cases: Sequence[Case]) -> FloatArray:
        """Hours of daylight of each day of a year from the season's first, shape (cases, 365)."""
        latitude = np.array([self._sites[case.site].latitude for case in cases])
        return day_length_h(latitude[:, None], _days_of_years(cases))

    def _chill_of(self, cases: Sequence[Case]) -> tuple[FloatArray, FloatArray]:
        """Portions won on each day of the seasons' own weather and the store it leaves, shapes (cases, days).

        Worked out once a season for all days it is looked at from: what a day wins hangs on the next morning
        and on nothing later. Days after the record repeat its last, and are nobody's.
        """
        once = {(case.site, case.season): case for case in cases}
        missing = [case for key, case in once.items() if key not in self._chill]
        if missing:
            at = self._records.place([case.site for case in missing], [case.season for case in missing])
            length_h = self._day_length_h(missing)[:, : at.shape[1]]
            hours = hourly_temperatures_c(self._records.tmin_c[at], self._records.tmax_c[at], length_h)
            both = daily_chill_portions(hours[:, :CHILL_DAYS])
            for case, *found in zip(missing, *both, strict=True):
                self._chill[case.site, case.season] = found[0], found[1]
        known = [self._chill[case.site, case.season] for case in cases]
        return np.array([portions for portions, _ in known]), np.array([store for _, store in known])


def _days_of_years(cases: Sequence[Case]) -> FloatArray:
    """Days of the calendar year from each season's first, shape (cases, 365)."""
    return np.array([_days_of_year(case.season) for case in cases]).reshape(-1, YEAR_DAYS)


@cache
def _days_of_year(season: Season) -> FloatArray:
    found = np.datetime64(season.start, "D") + np.arange(YEAR_DAYS + 1)
    return day_of_year(found[~is_leap_day(found)][:YEAR_DAYS])
