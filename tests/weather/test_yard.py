"""From a station to the yard: learnt from common days, checked on others, not used if no better."""

from __future__ import annotations

import datetime as dt
from dataclasses import replace
from pathlib import Path

import numpy as np
import pytest

from season_engine.weather.notices import YardFit
from season_engine.weather.second import correction as correction_module
from season_engine.weather.second.correction import as_this_yard, corrected, correction_for, learnt
from season_engine.weather.second.yard_terms import laid_on
from season_engine.weather.series import DailySeries
from tests import yards
from tests.benchmarks.bench_yard import before_and_after
from tests.yards import NAGANO, readings

TAKAYAMA = readings(yards.TAKAYAMA)
START = dt.date(2010, 4, 1)


def year(series: DailySeries, days: int = 365) -> DailySeries:
    return laid_on(series, START, days)


@pytest.mark.parametrize("start", [dt.date(1990, 7, 1), START])
def test_a_year_of_readings_betters_later_years(start: dt.date) -> None:
    # Two real stations 100 km apart. Source: Japan Meteorological Agency. See docs/evidence/mending.md.
    low, high, low_after, high_after, low_foreseen, _ = before_and_after(
        TAKAYAMA, readings(NAGANO), start, 12
    )
    assert low_after < 0.75 * low
    assert high_after < 1.02 * high
    assert low_foreseen == pytest.approx(low_after, abs=0.2)  # the error it gives itself is an honest one


def test_a_known_difference_is_learnt() -> None:
    """Colder by a degree, and by a tenth of the day's range more at night."""
    station = year(TAKAYAMA)
    spread = station.tmax_c - station.tmin_c
    noise = np.random.default_rng(2).normal(0, 0.1, (2, 365))
    tmin_c, tmax_c = station.tmin_c - 1.0 - 0.1 * spread + noise[0], station.tmax_c - 1.0 + noise[1]
    here = DailySeries(START, tmin_c, tmax_c)
    correction = learnt(station, here)
    assert correction.used and correction.seasonal
    made = corrected(station, correction)
    np.testing.assert_allclose(made.tmin_c, tmin_c - noise[0], atol=0.2)
    np.testing.assert_allclose(made.tmax_c, tmax_c - noise[1], atol=0.2)
    assert max(correction.error_after_c) < 0.2
    assert correction.fit == YardFit(
        correction.days, correction.error_before_c, correction.error_after_c, all_year=True
    )


def test_a_few_false_readings_hardly_count() -> None:
    station = year(TAKAYAMA)
    here = DailySeries(START, station.tmin_c - 2.0, station.tmax_c - 2.0)
    here.tmin_c[::40] += 25.0
    made = corrected(station, learnt(station, here))
    assert np.median(np.abs(made.tmin_c - (station.tmin_c - 2.0))) < 0.3


def test_a_correction_that_is_no_better_is_not_made() -> None:
    station = year(TAKAYAMA)
    noise = np.random.default_rng(1).normal(0, 1, (2, 365))
    here = DailySeries(START, station.tmin_c + noise[0], station.tmax_c + noise[1])
    correction = learnt(station, here)
    assert not correction.used
    assert corrected(station, correction) is station
    assert correction.fit is not None and correction.fit.corrected_c is None


def test_one_extreme_may_be_bettered_and_the_other_left() -> None:
    station = year(TAKAYAMA)
    noise = np.random.default_rng(1).normal(0, 1, 365)
    here = DailySeries(START, station.tmin_c - 4.0 + noise, station.tmax_c + noise)
    correction = learnt(station, here)
    made = corrected(station, correction)
    assert np.mean(made.tmin_c - station.tmin_c) == pytest.approx(-4.0, abs=0.3)
    np.testing.assert_allclose(made.tmax_c, station.tmax_c)
    assert correction.error_after_c[1] == correction.error_before_c[1]


@pytest.mark.parametrize("days", [0, 1, 59])
def test_too_few_common_days_teach_nothing(days: int) -> None:
    correction = learnt(TAKAYAMA, year(readings(NAGANO), days))
    assert (correction.days, correction.used, correction.fit) == (days, False, None)


def test_a_season_never_seen_is_said_to_be_worse() -> None:
    correction = learnt(TAKAYAMA, year(readings(NAGANO), 120))
    assert not correction.seasonal
    assert correction.fit is not None and not correction.fit.all_year


def test_no_term_is_taken_beyond_what_was_met() -> None:
    """A summer's lesson on a winter's day stays a summer's lesson: it never runs away."""
    correction = learnt(TAKAYAMA, year(readings(NAGANO), 100))
    correction = correction if correction.used else replace(correction)
    made = corrected(TAKAYAMA, correction)
    assert np.nanmax(np.abs(made.tmin_c - TAKAYAMA.tmin_c)) < 12.0
    both = ~np.isnan(made.tmax_c)
    assert (made.tmin_c <= made.tmax_c)[both].all()


def test_learning_is_the_same_each_time_and_kept(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    here = year(readings(NAGANO))
    first = correction_for(TAKAYAMA, here, cache=tmp_path, site="ridge")
    assert first == learnt(TAKAYAMA, here)
    (kept,) = tmp_path.iterdir()
    assert kept.name.startswith("yard-ridge-") and kept.suffix == ".json"
    monkeypatch.setattr(correction_module, "learnt", None)
    assert correction_for(TAKAYAMA, here, cache=tmp_path, site="ridge") == first


@pytest.mark.parametrize("damage", ["", "{", "[]", '{"key": 1}', '"x"'])
def test_a_damaged_lesson_is_learnt_again(tmp_path: Path, damage: str) -> None:
    here = year(readings(NAGANO), 100)
    first = correction_for(TAKAYAMA, here, cache=tmp_path, site="ridge")
    (kept,) = tmp_path.iterdir()
    kept.write_text(damage, encoding="utf-8")
    assert correction_for(TAKAYAMA, here, cache=tmp_path, site="ridge") == first


def test_a_day_more_is_another_lesson_and_days_not_common_are_none(tmp_path: Path) -> None:
    here = year(readings(NAGANO))
    first = correction_for(TAKAYAMA, here, cache=tmp_path, site="ridge")
    older = laid_on(TAKAYAMA, dt.date(2005, 1, 1), 2500)
    assert correction_for(older, here, cache=tmp_path, site="ridge") == first
    assert correction_for(TAKAYAMA, year(readings(NAGANO), 366), cache=tmp_path, site="ridge") != first


def test_the_cut_holds_for_what_is_learnt(tmp_path: Path) -> None:
    on = START + dt.timedelta(days=200)
    later = DailySeries(TAKAYAMA.first_day, TAKAYAMA.tmin_c.copy(), TAKAYAMA.tmax_c.copy())
    later.tmin_c[(on - later.first_day).days + 1 :] = -40.0
    here = year(readings(NAGANO)).cut(on)
    first, second = (
        as_this_yard(one.cut(on), here, cache=tmp_path, site="ridge") for one in (TAKAYAMA, later)
    )
    np.testing.assert_array_equal(first[0].tmin_c, second[0].tmin_c)
    assert first[1] == second[1]
