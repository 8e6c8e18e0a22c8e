"""Half a year and a hemisphere away, the same weather gives the same windows."""

from __future__ import annotations

import datetime as dt
from dataclasses import replace

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from season_engine.site import Site
from season_engine.species.catalogue import load_catalogue
from season_engine.weather.series import DailySeries
from season_engine.windows.assess import Prospect, assess
from season_engine.windows.assessment import Assessment
from tests.yards import KAGOSHIMA, NAGANO, outlook_on, readings

# 1 April to 1 October; the other half has a day less, two in all but leap years
HALF_YEAR = dt.timedelta(days=183)
LEAP_DAYS = 2
TAIL_DAYS = 2  # more, for the tenth and ninetieth of a hundred: they hang on single years
# The sun is not quite even-handed: the autumn equinox falls 8 days before 1 October and 12 before 1 April, so
# what waits for a day length comes up to this many days sooner in the south (own arithmetic on the dates).
EQUINOX_DAYS = 5


def mirrored(site: Site) -> Site:
    return replace(site, name=f"{site.name} mirrored", latitude=-site.latitude)


def judged(site: Site, series: DailySeries, on: dt.date) -> list[Assessment]:
    outlook = outlook_on(site, series, on)
    prospects = [Prospect(outlook, species) for species in load_catalogue().species.values()]
    return [assess(prospect, window) for prospect in prospects for window in prospect.species.windows]


def waits_for_day_length(assessment: Assessment) -> bool:
    species = load_catalogue().find(assessment.species)
    window = next(w for w in species.windows if (w.job, w.name) == (assessment.job, assessment.window))
    waiting, seen = [*window.opens, *window.closes], set()
    while waiting:
        name = waiting.pop()
        if name not in seen:
            seen.add(name)
            marker = species.markers[name]
            if marker.kind.startswith("day_length"):
                return True
            waiting += [n for n in (getattr(marker, "after", None), getattr(marker, "until", None)) if n]
    return False


@pytest.mark.parametrize("site", [NAGANO, KAGOSHIMA], ids=lambda site: site.name)
@settings(max_examples=5)
@given(on=st.dates(dt.date(2016, 1, 1), dt.date(2025, 6, 1)))
def test_windows_move_by_half_a_year_and_verdicts_stay(site: Site, on: dt.date) -> None:
    north = readings(site)
    south = replace(north, first_day=north.first_day + HALF_YEAR)
    for here, there in zip(
        judged(site, north, on), judged(mirrored(site), south, on + HALF_YEAR), strict=True
    ):
        slack = EQUINOX_DAYS if waits_for_day_length(here) else LEAP_DAYS
        if here.verdict == there.verdict:
            assert_half_a_year_apart(here, there, slack)
        else:
            days = sorted(range(-slack, slack + 1), key=abs)
            nearby = (judged_again(site, here, on + dt.timedelta(days=n)).verdict for n in days)
            assert any(verdict == there.verdict for verdict in nearby), (here.species, here.job)


def assert_half_a_year_apart(here: Assessment, there: Assessment, slack: int) -> None:
    for ends in ("opens", "closes"):
        for part in ("p10", "p50", "p90"):
            mine, yours = (getattr(getattr(one, ends), part) for one in (here, there))
            assert (mine is None) == (yours is None)
            if mine is not None:
                allowed = slack if part == "p50" else slack + TAIL_DAYS
                assert abs((yours - mine - HALF_YEAR).days) <= allowed, (here.species, here.job, ends, part)


def judged_again(site: Site, window: Assessment, on: dt.date) -> Assessment:
    species = load_catalogue().find(window.species)
    prospect = Prospect(outlook_on(site, readings(site), on), species)
    asked = next(w for w in species.windows if (w.job, w.name) == (window.job, window.window))
    return assess(prospect, asked)
