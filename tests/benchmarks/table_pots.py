"""Root zones of pots in a typical year, and what they do to dates and hazards: two tables.

``python -m tests.benchmarks.table_pots`` prints them, for the demo's two yards and a cold station of the
Japanese record, 1995 to 2024, and for trees' pots from 1 to 60 litres in sun and shade.
"""

from __future__ import annotations

import datetime as dt
from collections.abc import Iterator, Mapping
from dataclasses import replace
from typing import NamedTuple

import numpy as np
from numpy.lib.stride_tricks import sliding_window_view

from season_engine.measures.day_length import day_length_h
from season_engine.measures.hourly import hourly_temperatures_c
from season_engine.measures.root_zone_extremes import root_zone_hours_c
from season_engine.pot import WINDS, Pot
from season_engine.site import Site
from season_engine.species.catalogue import load_catalogue
from season_engine.traces import SeasonView
from season_engine.traces.trace_set import day_of_year
from season_engine.weather.checks import check_and_fill
from season_engine.weather.sources.origins import GivenOrigin
from season_engine.windows.assess import Prospect
from season_engine.windows.hazards import hazard_if_done
from tests.benchmarks.markdown import markdown_table, show
from tests.yards import NORTH, SOUTH, TAKAYAMA, readings, view

PLACES = {"lower-yard (invented)": NORTH, "dune-yard (invented)": SOUTH, "Takayama": TAKAYAMA}
LITRES = (1, 3, 10, 30, 60)
STANDS: Mapping[str, Mapping[str, str]] = {
    "sun, dark": {"sun_on_pots": "sun", "pot_colour": "dark"},
    "sun": {"sun_on_pots": "sun"},
    "shade": {"sun_on_pots": "shade"},
}
FIRST, LAST = 1995, 2024
FROST_C, HEAT_C = -1.0, 38.0  # as most windows of root work have them
YEAR_HEAD = (
    *("Coldest week, degC", "Hottest week, degC", "Hours below -1 degC", "Hours above 38 degC"),
    "The same, windy to still",
)
# Early in the spring windows, and after bloom.
ROOT_WORK = {NORTH: (3, 25), SOUTH: (8, 10), TAKAYAMA: (4, 1)}
AFTER_BLOOM = {NORTH: (6, 15), SOUTH: (11, 15), TAKAYAMA: (6, 15)}
WORK_HEAD = (
    *(
        "Juniper: roots start",
        "Juniper: falls to -2 degC",
        "Maple: falls to -1 degC",
        "Pine: falls to 0 degC",
    ),
    "Azalea: reaches 38 degC",
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


def pots(site: Site) -> Iterator[tuple[str, str, Site, Pot]]:
    """Each size and place to stand, with the site that has such places and the pot as it stands there."""
    for litres in LITRES:
        for stands, told in STANDS.items():
            there = replace(site, **told)
            yield f"{litres} l", stands, there, there.standing(Pot.of_tree(litres))


def years(place: str, site: Site) -> Iterator[tuple[str, ...]]:
    series = readings(site).cut(dt.date(LAST, 12, 31))
    series = check_and_fill(series, source=GivenOrigin("test")).series
    tmin, tmax, day = series.tmin_c, series.tmax_c, day_of_year(series.days)
    air = hourly_temperatures_c(tmin, tmax, day_length_h(site.latitude, day))
    yield (place, "the air", "", *typical_year(series.days, air).cells(), "")
    for litres, stands, _, pot in pots(site):
        found = {}
        for wind, wind_m_s in WINDS.items():
            blown = replace(pot, wind_m_s=wind_m_s)
            hours = root_zone_hours_c(tmin, tmax, latitude_deg=site.latitude, day_of_year=day, pot=blown)
            found[wind] = typical_year(series.days, hours)
        of_heat = f"{found['windy'].hours_of_heat:.0f} to {found['still'].hours_of_heat:.0f}"
        yield (place, litres, stands, *found["moving"].cells(), of_heat)


def work(place: str, site: Site) -> Iterator[tuple[str, ...]]:
    """Dates and chances in 100 as they are told on the day of the work."""
    spring, summer = (view(site, dt.date(LAST, *when[site])) for when in (ROOT_WORK, AFTER_BLOOM))
    for litres, stands, there, pot in pots(site):
        in_spring, in_summer = (SeasonView(there, seen.weather, seen.on) for seen in (spring, summer))
        past = prospect("Juniperus chinensis", in_spring, pot).past
        starts = past.traces.date_of(float(past.odds("root_zone_warm").by(0.5)))
        chances = (
            chance("Juniperus chinensis", "spring", "root frost", in_spring, pot),
            chance("Acer palmatum", "spring", "root frost", in_spring, pot),
            chance("Pinus thunbergii", "spring", "root frost", in_spring, pot),
            chance("Rhododendron indicum", "after bloom", "root heat", in_summer, pot),
        )
        told = f"{starts:%-d %b}" if starts else "never"
        yield (place, litres, stands, told, *(f"{100 * one:.0f}" for one in chances))


def prospect(name: str, seen: SeasonView, pot: Pot) -> Prospect:
    return Prospect(seen, load_catalogue().find(name), pot=pot)


def chance(name: str, window: str, hazard: str, seen: SeasonView, pot: Pot) -> float:
    looked_at = prospect(name, seen, pot)
    asked = (one for one in looked_at.species.windows if (one.job, one.name) == ("repotting", window))
    rule = next(rule for one in asked for rule in one.hazard if rule.name == hazard)
    return hazard_if_done(rule, looked_at.dating(0), seen.on).chance


def main() -> None:
    for head, lines in ((YEAR_HEAD, years), (WORK_HEAD, work)):
        rows = (line for place, site in PLACES.items() for line in lines(place, site))
        show(*markdown_table(("Place", "Pot", "In", *head), rows), "")


if __name__ == "__main__":
    main()
