"""Half a year and a hemisphere away, the same weather gives the same windows."""

from __future__ import annotations

import datetime as dt
from dataclasses import replace

import numpy as np
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from season_engine.site import Site
from season_engine.species.catalogue import Species, load_catalogue
from season_engine.species.schema import Window
from season_engine.weather.series import DailySeries
from season_engine.windows.assess import Prospect, assess
from tests.yards import KAGOSHIMA, NAGANO, readings, view_on

# 1 April to 1 October; the other half has a day less, two in all but leap years
HALF_YEAR = dt.timedelta(days=183)
LEAP_DAYS = 2
# The sun is not quite even-handed: the autumn equinox falls 8 days before 1 October and 12 before 1 April, so
# what waits for a day length comes up to this many days sooner in the south (own arithmetic on the dates). So
# does what counts the few warm hours of winter days, whose number goes by the day's length.
EQUINOX_DAYS = 5
OF_THE_SUN = (
    *("day_length_above", "day_length_below", "shortest_day_near"),
    *("softened_forcing", "softened_forcings", "spring_warmth"),
)

# Of a hundred chances so many keep to the law. The others stand on an edge: a closing marker that comes a day
# before the opening instead of with it no longer counts, and the next one closes the window weeks later.
KEPT = 0.8
ONE_IN = 48  # species looked at on a day, or the test would take minutes


def mirrored(site: Site) -> Site:
    return replace(site, name=f"{site.name} mirrored", latitude=-site.latitude)


def prospects(site: Site, series: DailySeries, on: dt.date, first: int) -> list[Prospect]:
    view = view_on(site, series, on)
    return [Prospect(view, species) for species in list(load_catalogue().species.values())[first::ONE_IN]]


def waits_for_day_length(species: Species, window: Window) -> bool:
    waiting, seen = [*window.opens, *window.closes], set()
    while waiting:
        name = waiting.pop()
        if name not in seen:
            seen.add(name)
            marker = species.markers[name]
            if marker.kind in OF_THE_SUN:
                return True
            waiting += marker.depends_on
    return False


@pytest.mark.parametrize("site", [NAGANO, KAGOSHIMA], ids=lambda site: site.name)
@settings(max_examples=2)
@given(on=st.dates(dt.date(2016, 1, 1), dt.date(2025, 6, 1)), first=st.integers(0, ONE_IN - 1))
def test_windows_move_by_half_a_year_and_verdicts_stay(site: Site, on: dt.date, first: int) -> None:
    north = readings(site)
    south = replace(north, first_day=north.first_day + HALF_YEAR)
    there_on = on + HALF_YEAR
    pairs = zip(
        prospects(site, north, on, first), prospects(mirrored(site), south, there_on, first), strict=True
    )
    for here, there in pairs:
        for window in here.species.windows:
            slack = EQUINOX_DAYS if waits_for_day_length(here.species, window) else LEAP_DAYS
            assert_same_days_of_the_season(here, there, window, slack)
            mine, yours = assess(here, window).verdict, assess(there, window).verdict
            if mine != yours:
                days = sorted(range(-slack, slack + 1), key=abs)
                nearby = (judged_again(site, here, window, on + dt.timedelta(days=n)) for n in days)
                assert any(verdict == yours for verdict in nearby), (here.species.name, window.job)


def assert_same_days_of_the_season(here: Prospect, there: Prospect, window: Window, slack: int) -> None:
    mine, yours = here.opening(window, 0), there.opening(window, 0)
    for ends in ("opens", "closes"):
        first, second = (getattr(one, ends) - one.traces.season_start for one in (mine, yours))
        with np.errstate(invalid="ignore"):
            alike = (np.abs(second - first) <= slack) | (np.isinf(first) & np.isinf(second))
        kept = float(mine.weights[alike].sum())
        assert kept >= KEPT, (here.species.name, window.job, window.name, ends, kept)


def judged_again(site: Site, here: Prospect, window: Window, on: dt.date) -> str:
    return assess(Prospect(view_on(site, readings(site), on), here.species), window).verdict
