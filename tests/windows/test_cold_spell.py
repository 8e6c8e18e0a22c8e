"""A cold spell in a mild place: pines are thinned through it, in one run until candles move.

Common practice, no source: two windows where winters are hard, one where they are mild. The spells are real,
of the daily record at Tokyo (tests/data/japan); the hard winters are Nagano's and Sapporo's.
"""

from __future__ import annotations

import datetime as dt

import numpy as np
import pytest

from season_engine.measures.runs import mean_of_last
from season_engine.species.catalogue import load_catalogue
from season_engine.windows.assess import Assessment, Prospect, assess
from tests.practice.climates import view
from tests.yards import view_on

BLACK_PINE = load_catalogue().species["Pinus thunbergii"]


def needle_work(climate: str, on: dt.date, window: str) -> Assessment:
    whole = view(climate)
    prospect = Prospect(view_on(whole.site, whole.weather.series, on), BLACK_PINE)
    return assess(
        prospect, next(one for one in BLACK_PINE.windows if (one.job, one.name) == ("needle-work", window))
    )


def first_cold_spells(climate: str) -> list[dt.date]:
    """The first day of each winter on which ten days average 4 degC or less, by the end of January."""
    series = view(climate).weather.series
    mean_c = mean_of_last(10, (series.tmin_c + series.tmax_c) / 2)
    days = [series.first_day + dt.timedelta(days=place) for place in np.flatnonzero(mean_c <= 4).tolist()]
    winters = {}
    for day in days:
        if day.month in (10, 11, 12, 1):
            winters.setdefault(day.year + (day.month > 6), day)
    return [day for winter, day in winters.items() if winter > series.first_day.year + 10]


def test_it_closes_nothing_where_winters_are_mild() -> None:
    spells = first_cold_spells("TOK")
    assert len(spells) >= 2
    for day in spells:
        after = needle_work("TOK", day + dt.timedelta(days=2), "from autumn on")
        assert (after.verdict, after.today) == ("open", "do"), day


@pytest.mark.parametrize("climate", ["NAG", "SAP", "EUR"])
def test_it_closes_autumn_s_work_where_they_are_hard(climate: str) -> None:
    year = view(climate).on.year - 2
    assert needle_work(climate, dt.date(year, 1, 15), "from autumn on").verdict == "closed"
    assert needle_work(climate, dt.date(year, 1, 15), "late winter").verdict in ("wait", "soon")
