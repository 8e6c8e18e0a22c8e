"""A mean that must come before another marker, or doesn't come at all."""

from __future__ import annotations

import datetime as dt

import numpy as np
import pytest

from season_engine.markers.kinds.running_mean import MeanBelow
from season_engine.site import Site
from season_engine.weather.series import DailySeries
from tests.markers.scenes import MIDWINTER, scene_of
from tests.yards import view_on

FIRST, ON = dt.date(2012, 1, 1), dt.date(2020, 10, 1)


def cold_from(month: int, day: int, years: range = range(2012, 2021)):
    """A scene of past seasons with 10 degC, and in some years 0 degC on the twenty days from one date on."""
    days = [FIRST + dt.timedelta(days=place) for place in range((ON - FIRST).days)]
    begins = [dt.date(one.year, month, day) for one in days]
    cold = [
        (one - begun).days % 365 < 20 and one.year in years for one, begun in zip(days, begins, strict=True)
    ]
    mean_c = np.where(cold, 0.0, 10.0)
    half_range_c = 3 + np.cos(np.arange(mean_c.size)) / 2  # else it looks like a stuck sensor
    series = DailySeries(FIRST, mean_c - half_range_c, mean_c + half_range_c)
    return scene_of(view_on(Site("made up", 45.0, 5.0, 10), series, ON).past)


def cold(until: str | None, winters_c: float | None = None) -> MeanBelow:
    return MeanBelow.model_validate(
        {
            "kind": "mean_below",
            "label": "lasting cold",
            "after": "season_start",
            "until": until,
            "level_c": 4,
            "days": 10,
            "winters_c": winters_c,
            "from": "practice",
        }
    )


@pytest.mark.parametrize(("begins", "comes"), [((12, 10), 75), ((12, 22), 87), ((12, 30), None)])
def test_cold_counts_until_a_marker_or_not_at_all(begins: tuple[int, int], comes: int | None) -> None:
    """Ten days average 4 degC once six of them are cold; midwinter's new year is day 92."""
    scene = cold_from(*begins)
    start = scene.traces.season_start
    scene.dates["season_start"] = scene.season_start()
    dates = cold("midwinter").progress(scene).dates()
    assert (dates == (np.inf if comes is None else start + comes)).all()
    assert comes is None or comes < MIDWINTER


def test_without_one_later_cold_counts_too() -> None:
    scene = cold_from(12, 30)
    scene.dates["season_start"] = scene.season_start()
    assert np.isfinite(cold(None).progress(scene).dates()).all()
    assert cold("midwinter").depends_on == ("season_start", "midwinter")
    assert cold(None).depends_on == ("season_start",)


@pytest.mark.parametrize(
    ("years", "winters_c", "comes"),
    [
        (range(2012, 2021), 2, True),  # each winter has twenty days of 0 degC
        (range(2012, 2021), -1, False),
        (range(2012, 2021), None, True),
        (range(2019, 2020), 2, False),  # one cold spell is no winter
        (range(2012, 2019), 2, True),
    ],
)
def test_a_cold_spell_of_a_mild_place_is_no_winter(
    years: range, winters_c: float | None, comes: bool
) -> None:
    scene = cold_from(12, 1, years)
    scene.dates["season_start"] = scene.season_start()
    dates = cold(None, winters_c).progress(scene).dates()
    assert np.isfinite(dates).any() == comes
    assert ("middle winter" in str(cold(None, winters_c).numbers)) == (winters_c is not None)
