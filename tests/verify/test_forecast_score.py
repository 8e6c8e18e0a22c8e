"""How far off kept forecasts were, beside what past years would have said."""

from __future__ import annotations

import datetime as dt

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st

from season_engine.site import day_number
from season_engine.verify.forecast_score import ForecastScore, forecast_score
from season_engine.weather.forecast.days import DayForecast, Issue
from season_engine.weather.series import DailySeries, Weather
from season_engine.weather.sources.origins import GivenOrigin
from season_engine.words.forecast_score import forecast_score_sentence
from season_engine.words.speech import speaking

FIRST, ON = dt.date(2001, 1, 1), dt.date(2006, 6, 30)
SIZE = (ON - FIRST).days + 1


def weather(seed: int = 0, *, unread: dt.date | None = None) -> Weather:
    low = np.random.default_rng(seed).normal(5.0, 4.0, SIZE)
    observed = np.ones(SIZE, bool)
    if unread:
        observed[(unread - FIRST).days] = False
    return Weather(DailySeries(FIRST, low, low + 10.0), observed, GivenOrigin("logger"))


def issue(day: dt.date, known: Weather, *, off_c: float = 0.0, days: int = 9) -> Issue:
    """A forecast of the days from its own on, out by as much and by one degree more at noon."""
    ahead = [day + dt.timedelta(days=n) for n in range(days + 1)]
    at = [min((date - FIRST).days, SIZE - 1) for date in ahead]
    low, high = known.series.tmin_c[at] + off_c, known.series.tmax_c[at] + off_c + 1.0
    rows = zip(ahead, low.tolist(), high.tolist(), strict=True)
    return Issue(dt.datetime.combine(day, dt.time(6)), tuple(DayForecast(*row) for row in rows))


def scored(*issues: Issue, of: Weather, on: dt.date = ON) -> ForecastScore:
    found = forecast_score("Ridge", issues, of, on)
    assert found is not None
    return found


def test_errors_by_hand() -> None:
    known, day = weather(), dt.date(2006, 3, 1)
    found = scored(
        issue(day, known, off_c=3.0), issue(day + dt.timedelta(days=1), known, off_c=-1.0), of=known
    )
    assert (found.issues, found.first, found.last) == (2, day, day + dt.timedelta(days=1))
    assert [(one.lead_days, one.n) for one in found.ahead] == [(lead, 2) for lead in range(1, 10)]
    for one in found.ahead:
        assert (one.tmin.bias_c, one.tmin.rmse_c) == pytest.approx((1.0, np.sqrt((9 + 1) / 2)))
        assert (one.tmax.bias_c, one.tmax.rmse_c) == pytest.approx((2.0, np.sqrt((16 + 0) / 2)))
        assert one.rmse_c == pytest.approx(np.sqrt((9 + 1 + 16 + 0) / 4))


def test_the_usual_is_the_middle_of_past_years_within_a_week_of_the_date() -> None:
    """Worked out anew by calendar dates; 29 February 2004 lies in no week asked about."""
    known, day = weather(), dt.date(2006, 5, 1)
    (first, *_) = scored(issue(day, known), of=known).ahead
    came = day + dt.timedelta(days=1)
    near = [
        (came.replace(year=year) + dt.timedelta(days=by) - FIRST).days
        for year in range(2001, 2006)
        for by in range(-7, 8)
    ]
    middle = np.median(known.series.tmin_c[near])
    assert first.tmin.usual_rmse_c == pytest.approx(abs(middle - known.series.tmin_c[(came - FIRST).days]))


@given(seed=st.integers(0, 99))
def test_nothing_from_the_day_of_issue_on_says_what_is_usual(seed: int) -> None:
    known, day = weather(), dt.date(2005, 8, 20)
    before = (day - FIRST).days
    low = known.series.tmin_c.copy()
    low[before + 10 :] += np.random.default_rng(seed).normal(0, 9, SIZE - before - 10)
    changed = Weather(DailySeries(FIRST, low, low + 10.0), known.observed, known.source)
    assert scored(issue(day, known), of=changed) == scored(issue(day, known), of=known)


def test_only_days_that_are_past_and_were_read_count() -> None:
    day = ON - dt.timedelta(days=3)
    known = weather(unread=ON - dt.timedelta(days=1))
    found = scored(issue(day, known), of=known)
    assert [one.lead_days for one in found.ahead] == [1, 3]
    assert forecast_score("Ridge", [issue(ON, known)], known, ON) is None
    assert forecast_score("Ridge", [issue(day, known)], known, day) is None
    assert forecast_score("Ridge", [], known, ON) is None


def test_a_young_record_has_nothing_usual() -> None:
    known = weather()
    (*_, last) = scored(issue(FIRST + dt.timedelta(days=90), known), of=known).ahead
    assert (last.tmin.usual_rmse_c, last.usual_rmse_c) == (None, None)
    assert day_number(FIRST) % 365 == 0


def test_the_sentence() -> None:
    known, day = weather(), dt.date(2006, 3, 1)
    one = scored(issue(day, known, off_c=-0.5), of=known)
    said = forecast_score_sentence(one)
    assert said.startswith("Ridge: the forecasts kept, on one day of issue from ")
    assert "were off by 0.5 °C one day ahead and 0.5 °C five days ahead, past years' middle by " in said
    with speaking("en", "degF"):
        assert "off by 0.9 °F" in forecast_score_sentence(one)
