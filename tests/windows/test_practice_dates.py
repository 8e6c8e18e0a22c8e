"""Windows against the dates growers give for two kinds of yard.

The dates are common practice, no source: ranges for a cool inland yard at about 51 degrees north and for a
mild one by the sea at about 38 degrees south, good to a fortnight. The yards' weather is made up from monthly
normals (from memory), so this is a check of sense and not of skill.
"""

from __future__ import annotations

import datetime as dt

import pytest

from season_engine.phenology.dating import date_markers
from season_engine.species.catalogue import load_catalogue
from season_engine.windows.opening import open_window
from tests.yards import NORTH, SOUTH, outlook

ON = {NORTH: dt.date(2024, 11, 1), SOUTH: dt.date(2024, 5, 1)}
GOOD_TO_DAYS = 14

# site, species, job, window, first and last day of growers' range
PRACTICE = [
    (NORTH, "Acer palmatum", "repotting", "spring", "03-05", "04-10"),
    (SOUTH, "Acer palmatum", "repotting", "spring", "08-01", "09-10"),
    (NORTH, "Pinus thunbergii", "repotting", "spring", "03-15", "04-30"),
    (SOUTH, "Pinus thunbergii", "repotting", "spring", "07-25", "09-15"),
    (NORTH, "Pinus sylvestris", "repotting", "spring", "03-25", "05-10"),
    (SOUTH, "Pinus sylvestris", "repotting", "spring", "08-10", "09-25"),
    (NORTH, "Juniperus chinensis", "repotting", "spring", "04-01", "05-31"),
    (SOUTH, "Juniperus chinensis", "repotting", "spring", "08-20", "10-31"),
    (NORTH, "Pinus thunbergii", "decandling", "early summer", "06-08", "07-05"),
    (SOUTH, "Pinus thunbergii", "decandling", "early summer", "12-10", "01-25"),
    (NORTH, "Pinus thunbergii", "needle-work", "autumn", "10-15", "11-30"),
    (NORTH, "Pinus thunbergii", "needle-work", "late winter", "02-01", "03-15"),
    (SOUTH, "Pinus thunbergii", "needle-work", "autumn", "05-01", "07-20"),
    (NORTH, "Pinus parviflora", "needle-work", "autumn", "10-15", "11-30"),
    # needle work ends as candles move, which in these comes later: growers' date for the start of repotting
    (SOUTH, "Pinus parviflora", "needle-work", "autumn", "05-01", "08-10"),
]


@pytest.mark.parametrize(("site", "species", "job", "window", "first", "last"), PRACTICE)
def test_windows_open_and_close_near_growers_dates(site, species, job, window, first, last) -> None:
    traces = outlook(site, ON[site]).past
    kind = load_catalogue().find(species)
    one = next(w for w in kind.windows if (w.job, w.name) == (job, window) and w.size in (None, "medium"))
    opening = open_window(date_markers(kind, traces), one.opens, one.closes)
    for found, growers in ((opening.opened_by(0.5), first), (opening.closed_by(0.5), last)):
        assert found is not None
        assert abs(days_apart(found, growers)) <= GOOD_TO_DAYS, f"{found} against {growers}"


def days_apart(found: dt.date, growers: str) -> int:
    """Days from the growers' date to the one found, whichever year brings them nearer."""
    month, day = map(int, growers.split("-"))
    return min(
        ((found - dt.date(year, month, day)).days for year in (found.year - 1, found.year, found.year + 1)),
        key=abs,
    )


def test_mild_southern_yards_have_no_late_winter_needle_work_of_their_own() -> None:
    """Where the cold never sets in, needle work goes on from autumn till candles move (common practice)."""
    kind = load_catalogue().find("Pinus thunbergii")
    window = next(w for w in kind.windows if w.name == "late winter")
    opening = open_window(date_markers(kind, outlook(SOUTH, ON[SOUTH]).past), window.opens, window.closes)
    assert opening.chance_given < 0.5
