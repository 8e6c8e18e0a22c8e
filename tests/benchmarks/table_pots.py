"""Root zones of pots in a typical year: ``python -m tests.benchmarks.table_pots`` prints the table.

At the demo's two yards and at a cold station of the Japanese record, 1995 to 2024, for pots from 1 to 60
litres in sun and shade, beside the air itself.
"""

from __future__ import annotations

import datetime as dt
import sys
from collections.abc import Iterator
from typing import NamedTuple

import numpy as np
from numpy.lib.stride_tricks import sliding_window_view

from season_engine.measures.day_length import day_length_h
from season_engine.measures.hourly import hourly_temperatures_c
from season_engine.measures.pot import SUN_SHARES, WINDS, Pot
from season_engine.measures.root_zone_extremes import root_zone_hours_c
from season_engine.site import Site
from season_engine.traces.trace_set import day_of_year
from season_engine.weather.checks import check_and_fill
from season_engine.weather.sources.origins import GivenOrigin
from tests.benchmarks.backtest_japan import markdown_row
from tests.yards import NORTH, SOUTH, TAKAYAMA, readings

PLACES = {"lower-yard (invented)": NORTH, "dune-yard (invented)": SOUTH, "Takayama": TAKAYAMA}
LITRES = (1, 3, 10, 30, 60)
FIRST, LAST = 1995, 2024
FROST_C, HEAT_C = -5.0, 38.0
HEAD = (
    *("Coldest week, degC", "Hottest week, degC", "Hours below -5 degC", "Hours above 38 degC"),
    "The same, windy to still",
)


class TypicalYear(NamedTuple):
    """Middles over the years, and means of hours a year."""

    coldest_week_c: float  # mean of its daily lowest
    hottest_week_c: float  # mean of its daily highest
    hours_of_frost: float
    hours_of_heat: float

    def cells(self) -> tuple[str, ...]:
        return (
            *(f"{one:.1f}" for one in (self.coldest_week_c, self.hottest_week_c)),
            *(f"{one:.0f}" for one in (self.hours_of_frost, self.hours_of_heat)),
        )


def typical_year(days: np.ndarray, hours_c: np.ndarray) -> TypicalYear:
    """Of hourly temperatures, shape (days, 24); a week belongs to the year it ends in."""
    year = days.astype("datetime64[Y]").astype(int) + 1970
    lowest, highest = (
        sliding_window_view(by_day, 7).mean(axis=1) for by_day in (hours_c.min(axis=1), hours_c.max(axis=1))
    )
    years = range(FIRST, LAST + 1)
    coldest = [lowest[year[6:] == one].min() for one in years]
    hottest = [highest[year[6:] == one].max() for one in years]
    hours = hours_c[year >= FIRST]
    beyond = ((hours < FROST_C).sum() / len(years), (hours > HEAT_C).sum() / len(years))
    return TypicalYear(float(np.median(coldest)), float(np.median(hottest)), *map(float, beyond))


def rows(place: str, site: Site) -> Iterator[tuple[str, ...]]:
    series = readings(site).cut(dt.date(LAST, 12, 31))
    series = check_and_fill(series, source=GivenOrigin("test")).series
    tmin, tmax, day = series.tmin_c, series.tmax_c, day_of_year(series.days)
    air = hourly_temperatures_c(tmin, tmax, day_length_h(site.latitude, day))
    yield (place, "the air", "", *typical_year(series.days, air).cells(), "")
    for litres in LITRES:
        for exposure, share in SUN_SHARES.items():
            found = {}
            for wind, metres_a_second in WINDS.items():
                pot = Pot.of_litres(litres, sun_share=share, wind_m_s=metres_a_second)
                hours = root_zone_hours_c(tmin, tmax, latitude_deg=site.latitude, day_of_year=day, pot=pot)
                found[wind] = typical_year(series.days, hours)
            of_heat = f"{found['windy'].hours_of_heat:.0f} to {found['still'].hours_of_heat:.0f}"
            yield (place, f"{litres} l", exposure, *found["moving"].cells(), of_heat)


def main() -> None:
    lines = [("Place", "Pot", "In", *HEAD), ("---",) * (3 + len(HEAD))]
    lines += [row for place, site in PLACES.items() for row in rows(place, site)]
    sys.stdout.writelines(f"{markdown_row(line)}\n" for line in lines)


if __name__ == "__main__":
    main()
