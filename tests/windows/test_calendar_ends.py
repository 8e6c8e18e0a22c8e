"""Ends of windows that the calendar sets are told from those that weather does."""

from __future__ import annotations

import datetime as dt
from collections.abc import Mapping

import numpy as np
import pytest

from season_engine.markers.base import Marker
from season_engine.markers.kinds.share_of_years import FirstFrost, HotDayOdds, LastFrost, LastHotDay
from season_engine.site import Site
from season_engine.species.catalogue import load_catalogue
from season_engine.species.schema import Window
from season_engine.windows.assess import Prospect, assess
from season_engine.windows.assessment import End
from season_engine.windows.calendar_ends import of_calendar
from tests.yards import KAGOSHIMA, LAST_DAY, NORTH, SOUTH, view

ON = dt.date(2025, 6, 1)
OF_YEARS = (FirstFrost, LastFrost, HotDayOdds, LastHotDay)  # one day in every trace too, but weather's


def window(prospect: Prospect, job: str, name: str) -> Window:
    (found,) = (one for one in prospect.species.windows if (one.job, one.name) == (job, name))
    return found


def prospect(site: Site, species: str) -> Prospect:
    return Prospect(view(site, ON), load_catalogue().find(species))


def of_years(name: str, markers: Mapping[str, Marker]) -> bool:
    marker = markers[name]
    return isinstance(marker, OF_YEARS) or any(of_years(one, markers) for one in marker.depends_on)


def days_of(seen: Prospect, one: Window, end: End) -> set[float]:
    """Of the season, in all chances of past seasons and of this one."""
    openings = seen.opening(one, 0), seen.past_opening(one)
    return {
        float(day)
        for opening in openings
        for day in np.unique(getattr(opening, end)[opening.weights > 0]) - opening.traces.season_start
    }


@pytest.mark.parametrize("site", [NORTH, SOUTH, KAGOSHIMA])
@pytest.mark.parametrize(
    "species", ["Pinus thunbergii", "Juniperus chinensis", "Acer palmatum", "Ficus microcarpa"]
)
def test_the_calendar_sets_an_end_that_is_the_same_day_in_every_chance(site: Site, species: str) -> None:
    seen = Prospect(view(site, LAST_DAY), load_catalogue().find(species))
    markers = seen.species.markers
    found = set()
    for one in seen.species.windows:
        told = seen.told(one, 0)
        for end in ("opens", "closes"):
            days = days_of(seen, one, end)
            if any(of_years(name, markers) for name in getattr(one, end)) or days == {np.inf}:
                continue
            if len(days) == 1:
                assert end in told.calendar, (one.job, one.name, end)
            if end in told.calendar:
                dates = told.opens_quantiles if end == "opens" else told.closes_quantiles
                assert dates.p10 == dates.p50 == dates.p90
            found.add(end in told.calendar)
    assert found == ({False} if species == "Ficus microcarpa" else {True, False})  # that goes by warmth alone


def test_where_two_markers_compete_the_one_that_decides_here_does() -> None:
    pine = prospect(SOUTH, "Pinus thunbergii")
    a = assess(pine, window(pine, "grafting", "late winter, under glass"))
    assert (a.by, a.opens.by, a.closes.by) == ("weather", "calendar", "weather")
    # The dry months begin by the calendar, but where the cool season comes later still.
    assert assess(pine, window(pine, "deadwood", "dry months")).by == "calendar"


def test_where_weather_decides_whether_it_comes_at_all_its_odds_are_told() -> None:
    """In a mild yard buds are swollen by midwinter in some years."""
    quince = prospect(SOUTH, "Chaenomeles japonica")
    collecting = window(quince, "collecting", "before buds open")
    assert len(days_of(quince, collecting, "opens") - {np.inf}) == 1
    assert not quince.told(collecting, 0).calendar


def test_a_cool_day_that_midwinter_always_brings_is_midwinters() -> None:
    cedar = prospect(SOUTH, "Cedrus atlantica")
    autumn = window(cedar, "structural-pruning", "from autumn on")
    autumn = autumn.model_copy(update={"closes": ("cool_season",)})
    assert cedar.species.markers["cool_season"].decided_by == "weather"
    assert cedar.told(autumn, 0).set_by("closes") == "calendar"


def test_what_is_counted_from_weather_is_weathers_however_it_is_counted() -> None:
    markers = load_catalogue().find("Acer palmatum").markers
    assert of_calendar("midsummer", markers)
    assert of_calendar("growth_slows", markers), "so many days from midsummer"
    assert not of_calendar("leaves_hard", markers), "so many days from leaves"


def test_a_criterion_says_whether_weather_has_a_part_in_it() -> None:
    pine = prospect(SOUTH, "Pinus thunbergii")
    reasons = assess(pine, window(pine, "grafting", "late winter, under glass")).reasons
    assert [(one.role, one.by) for one in reasons] == [("opens", "calendar"), ("closes", "weather")]
