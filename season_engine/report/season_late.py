"""By how many days a season runs late."""

from __future__ import annotations

import datetime as dt
from statistics import median

from season_engine.report.contents import SiteReport
from season_engine.report.season_sums import SeasonSum

NEAR_DAYS = 60  # windows that open or opened within so many days tell of the season now


FEWEST_WINDOWS = 3


LEAST_HEAT = 25.0  # degree days above 5 degC; with less the sum says little


def windows_late_days(site: SiteReport, as_of: dt.date) -> int | None:
    """The middle of how much later windows about now open than usual; None where there are too few.

    Those that open on one day each year tell nothing of it.
    """
    late = [
        (a.opens.p50 - a.usual.opens_p50).days
        for a in site.windows
        if a.opens.p50 and a.usual.opens_p50 and abs((a.opens.p50 - as_of).days) <= NEAR_DAYS
        if not a.opens.calendar and a.opens.p10 != a.opens.p90
    ]
    return round(median(late)) if len(late) >= FEWEST_WINDOWS else None


def heat_late_days(sums: tuple[SeasonSum, ...]) -> int | None:
    """Days since the middle past season had as much heat as this one; less than 0: it is still to come."""
    heat = next((one for one in sums if one.name == "heat"), None)
    if heat is None or not heat.so_far or heat.so_far[-1] < LEAST_HEAT:
        return None
    reached = next((day for day, sum_ in enumerate(heat.p50) if sum_ >= heat.so_far[-1]), None)
    return None if reached is None else len(heat.so_far) - 1 - reached
