"""Forecast days in the traces: their share, the spread they leave, and all that they must not touch."""

from __future__ import annotations

import datetime as dt
from dataclasses import replace

import numpy as np
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from season_engine.report.season_sums import season_sums
from season_engine.site import Site
from season_engine.traces import SeasonView
from season_engine.traces.forecast import blended, forecast_error_c
from season_engine.weather.checks import check_and_fill
from season_engine.weather.forecast.days import ForecastDay, ForecastDays
from season_engine.weather.notices import ForecastTooOld
from season_engine.weather.series import DailySeries
from season_engine.weather.sources.origins import ForecastFileOrigin, GivenOrigin
from tests.yards import NAGANO, readings

ON = dt.date(2019, 4, 2)
FAR = np.array([40.0, 50.0])  # so far off that its share shows


def forecast(on: dt.date, days: int = 9, tmin_c: float = -6.0, tmax_c: float = 3.0) -> ForecastDays:
    ahead = (ForecastDay(on + dt.timedelta(days=n), tmin_c, tmax_c, n) for n in range(1, days + 1))
    return ForecastDays(
        "used", ForecastFileOrigin("test.csv"), dt.datetime(on.year, on.month, on.day, 6), tuple(ahead)
    )


def view(on: dt.date, ahead: ForecastDays | None, site: Site = NAGANO, **series: DailySeries) -> SeasonView:
    weather = check_and_fill(series.get("series", readings(site)).cut(on), source=GivenOrigin("test"))
    return SeasonView(site, replace(weather, forecast=ahead) if ahead else weather, on)


def test_a_forecast_keeps_its_share_by_what_it_is_wrong_by() -> None:
    """r = 1 - e^2 / (2 s^2): by hand for traces of spread 4 degC and a forecast off by 3.2 degC: 0.68."""
    own = np.array([[[-4.0], [4.0]], [[6.0], [14.0]]])
    lows, highs = blended(own, np.array([[10.0], [20.0]]), np.array([3.2]), np.array([0.5, 0.5]))
    assert lows.mean() == pytest.approx(0.68 * 10)
    assert highs.mean() == pytest.approx(0.68 * 20 + 0.32 * 10)
    assert lows.std() == pytest.approx(4 * np.sqrt(1 - 0.68**2))


@settings(max_examples=10)
@given(lead=st.integers(1, 9), anomaly=st.floats(-8, 8), spread=st.floats(2.5, 6))
def test_the_spread_left_is_that_of_days_on_which_such_a_forecast_was_given(
    lead: int, anomaly: float, spread: float
) -> None:
    """Against a million made-up days: those forecast about like this one, as they turned out.

    The forecasts spread as the weather does and miss it by what forecasts of their lead do.
    """
    random = np.random.default_rng(7)
    error = min(float(forecast_error_c(np.array(lead))), spread * np.sqrt(2))
    truth = random.normal(0, spread, 1_000_000)
    alike = 1 - error**2 / (2 * spread**2)
    said = alike * truth + np.sqrt(1 - alike**2) * random.normal(0, spread, truth.size)
    assert np.sqrt(np.mean((said - truth) ** 2)) == pytest.approx(error, rel=0.01)
    given_so = truth[np.abs(said - anomaly) < 0.25]
    own = random.normal(0, spread, (2, 20_000, 1))
    lows, _ = blended(own, np.full((2, 1), anomaly), np.array([error]), np.full(20_000, 1 / 20_000))
    tolerance = 0.15 + 6 * spread / np.sqrt(given_so.size)
    assert lows.mean() == pytest.approx(given_so.mean(), abs=tolerance)
    assert lows.std() == pytest.approx(given_so.std(), abs=tolerance)


def test_the_share_fades_with_the_lead() -> None:
    plain, ahead = view(ON, None).season(), view(ON, forecast(ON, tmin_c=40, tmax_c=50)).season()
    first = plain.observed_days
    middle = plain.tmin_c[:, first : first + 9].mean(axis=0)
    share = (ahead.tmin_c[:, first : first + 9].mean(axis=0) - middle) / (40 - middle)
    assert (np.diff(share) < 0).all()
    assert share[0] > 0.8
    assert 0 <= share[-1] < 0.3


def test_only_the_days_forecast_change_and_none_becomes_an_observation() -> None:
    plain, ahead = view(ON, None).season(), view(ON, forecast(ON)).season()
    assert (plain.forecast_days, ahead.forecast_days) == (0, 9)
    assert ahead.observed_days == plain.observed_days
    inside = slice(plain.observed_days, plain.observed_days + 9)
    for before, after in ((plain.tmin_c, ahead.tmin_c), (plain.tmax_c, ahead.tmax_c)):
        assert not np.allclose(before[:, inside], after[:, inside])
        np.testing.assert_array_equal(np.delete(before, inside, 1), np.delete(after, inside, 1))
    assert (ahead.tmin_c <= ahead.tmax_c).all()


def test_what_is_usual_and_what_is_so_far_know_nothing_of_it() -> None:
    plain, ahead = view(ON, None), view(ON, forecast(ON, tmin_c=40, tmax_c=50))
    np.testing.assert_array_equal(plain.past.tmin_c, ahead.past.tmin_c)
    np.testing.assert_array_equal(plain.past.tmax_c, ahead.past.tmax_c)
    assert ahead.past.forecast_days == 0
    assert season_sums(plain) == season_sums(ahead)
    assert ahead.weather.data_through == ON
    np.testing.assert_array_equal(plain.weather.observed, ahead.weather.observed)


def test_a_reading_goes_before_a_forecast_and_late_readings_leave_days_of_the_past_years() -> None:
    """Readings to 30 March only, and a forecast issued on 2 April: from then back to them nobody knows."""
    late = readings(NAGANO).cut(ON - dt.timedelta(days=3))
    plain, ahead = view(ON, None, series=late).season(), view(ON, forecast(ON), series=late).season()
    first = plain.observed_days
    assert ahead.forecast_days == 3 + 9
    np.testing.assert_array_equal(ahead.tmin_c[:, : first + 3], plain.tmin_c[:, : first + 3])
    assert np.isnan(ahead.forecast_tmin_c[:3]).all()
    early = view(ON, forecast(ON - dt.timedelta(days=4))).season()
    assert early.forecast_days == 5
    last = early.observed_days
    np.testing.assert_array_equal(early.tmin_c[:, :last], view(ON, None).season().tmin_c[:, :last])


def test_the_leap_day_is_left_out_and_the_day_after_keeps_its_place() -> None:
    on = dt.date(2020, 2, 27)
    ahead = view(on, forecast(on, days=4)).season()
    assert ahead.forecast_days == 3
    assert ahead.days[ahead.observed_days + 1].item() == dt.date(2020, 3, 1)


def test_a_stale_forecast_changes_nothing() -> None:
    stale = ForecastDays("stale", issued=dt.datetime(2019, 3, 30), trouble=ForecastTooOld(2))
    np.testing.assert_array_equal(view(ON, stale).season().tmin_c, view(ON, None).season().tmin_c)


def test_half_a_year_and_a_hemisphere_away_the_same_forecast_gives_the_same_days() -> None:
    half = dt.timedelta(days=183)
    north = readings(NAGANO)
    south = DailySeries(north.first_day + half, north.tmin_c, north.tmax_c)
    mirrored = replace(NAGANO, latitude=-NAGANO.latitude)
    there = view(ON + half, forecast(ON + half), mirrored, series=south).season()
    here = view(ON, forecast(ON)).season()
    for hemisphere in (here, there):
        assert hemisphere.forecast_days == 9
    first, second = here.observed_days, there.observed_days
    here_c, there_c = (s.tmin_c[-20:, at : at + 9] for s, at in ((here, first), (there, second)))
    # past years' days lie up to two apart in the two calendars, of which leap days are dropped
    np.testing.assert_allclose(here_c.mean(axis=0), there_c.mean(axis=0), atol=1.0)
