"""The courses of days at some sites: what hangs on calendar and latitude alone, once for all years."""

from __future__ import annotations

from collections.abc import Callable, Hashable, Sequence
from functools import cached_property
from typing import Any, TypeVar

import numpy as np
from numpy.typing import NDArray

from season_engine.measures.day_length import day_length_h
from season_engine.measures.hourly import (
    AFTER_DUSK,
    BEFORE_DAWN,
    CURVELESS,
    DAYLIGHT,
    curve_shape,
    day_shapes,
    share_at_sunset,
)
from season_engine.measures.sunlight import SunCourse, sun_course

FloatArray = NDArray[np.float64]
Found = TypeVar("Found")

AIR_PARTS = 5  # of an hour: the sunset before, Tmin, Tmax, the sunset, the next Tmin


class DayCourses:
    """Courses of the days of some calendars, each once however often it comes: their `day_shapes`."""

    def __init__(self, latitude_deg: FloatArray, calendars: Sequence[FloatArray]) -> None:
        self.latitude_deg = latitude_deg  # shape (sites,)
        self.day_of_year, day_before, self.of_days = day_shapes([days.astype(np.int64) for days in calendars])
        self.length_h, before_h = (
            day_length_h(latitude_deg[:, None], days) for days in (self.day_of_year, day_before)
        )
        self.at_sunset = share_at_sunset(self.length_h)  # shape (sites, courses)
        self._worked_out: dict[Hashable, Any] = {}
        self.part, self.share = curve_shape(self.length_h, before_h)  # shape (sites, courses, 24)

    def once(self, key: Hashable, work_out: Callable[[], Found]) -> Found:
        """What `work_out` makes of these courses, worked out once for all seasons."""
        if key not in self._worked_out:
            self._worked_out[key] = work_out()
        found: Found = self._worked_out[key]
        return found

    @cached_property
    def sun(self) -> list[SunCourse]:
        """Of each site, a day a course."""
        return [sun_course(latitude, self.day_of_year) for latitude in self.latitude_deg.tolist()]

    @cached_property
    def shares_of_air(self) -> FloatArray:
        """How much of each of the `AIR_PARTS` is in each hour, shape (sites, courses, parts, 24)."""
        shares = np.zeros((*self.part.shape[:2], AIR_PARTS, 24))
        for which, start, end in ((BEFORE_DAWN, 0, 1), (DAYLIGHT, 1, 2), (AFTER_DUSK, 3, 4)):
            here = self.part == which
            shares[:, :, start] += np.where(here, 1.0 - self.share, 0.0)
            shares[:, :, end] += np.where(here, self.share, 0.0)
        curveless = np.where(self.part == CURVELESS, 0.5, 0.0)
        shares[:, :, 1] += curveless
        shares[:, :, 2] += curveless
        return shares
