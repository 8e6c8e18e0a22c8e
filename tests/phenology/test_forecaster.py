"""A trained forecaster looks at nothing later, finds a known answer, and sharpens as the date comes near."""

from __future__ import annotations

import math
from dataclasses import replace
from functools import cache, partial
from itertools import product
from statistics import NormalDist

import numpy as np
import pytest

from season_engine.phenology.forecast import Forecast, StationRecord
from season_engine.phenology.season_rows import season_rows
from season_engine.phenology.softened_fit import SoftenedModel, dated, fit_softened
from season_engine.phenology.station_forecast import StationForecaster, still_to_come
from season_engine.phenology.train import SoftenedForecaster, train_forecaster
from season_engine.site import Season, Site, day_number
from season_engine.weather.series import DailySeries
from tests.once import once_a_run
from tests.phenology.stations import LAST_TRAINED, twelve

CHERRY = "Prunus x yedoensis"
NOISE_DAYS = 2.0
KNOWN = SoftenedModel(steepness_per_c=0.3, middle_c=14.0, start=92, softening=0.012, need=25.0)


@cache
def records() -> tuple[StationRecord, ...]:
    """From the north to the south of Japan."""
    return twelve()[CHERRY][::4]


@cache
def trained() -> SoftenedForecaster:
    return once_a_run("trained on cherries", partial(train_forecaster, records(), LAST_TRAINED))


def same(one: Forecast, other: Forecast) -> bool:
    return (
        np.array_equal(one.days, other.days)
        and np.array_equal(one.weights, other.weights)
        and one.not_reached == other.not_reached
    )


def season(record: StationRecord, year: int) -> Season:
    return Season(year, record.site.hemisphere)


# --- nothing later than the day of issue -----------------------------------------------------------------

ISSUES = [(2008, 0), (2011, 60), (2015, 152), (2019, 200)]


@pytest.mark.parametrize(("year", "issued"), ISSUES)
def test_a_record_cut_at_the_day_of_issue_gives_the_very_same_forecast(year: int, issued: int) -> None:
    """Day 152 is 2 March; 2008 and 2011/12 hold a leap day."""
    for record in records():
        today = season(record, year).date_of(issued)
        earlier = {season: day for season, day in record.observed.items() if season < year}
        cut = replace(record, series=record.series.cut(today), observed=earlier)
        whole = trained().at(record).forecast(year, issued)
        assert same(whole, trained().at(cut).forecast(year, issued)), (record.site.name, year, issued)
        assert whole.weights.sum() + whole.not_reached == pytest.approx(1)
        assert (whole.days > issued).all() and (np.diff(whole.days) >= 0).all()


def test_a_date_noted_after_the_record_ends_is_no_past_forecast() -> None:
    """Such as of a station that closed in winter, while somebody went on noting flowers."""
    record = records()[0]
    ended = replace(record, series=record.series.cut(season(record, 2004).date_of(90)))
    station = trained().at(ended)
    assert station.ratio(2004, 14) is None
    assert station.ratio(2003, 14) == trained().at(record).ratio(2003, 14) is not None


@pytest.mark.parametrize(("year", "issued"), ISSUES)
def test_other_weather_and_notes_after_it_change_nothing(year: int, issued: int) -> None:
    record = records()[1]
    today = season(record, year).date_of(issued)
    later = record.series.days > np.datetime64(today)
    hot = DailySeries(
        record.series.first_day, record.series.tmin_c + 9.0 * later, record.series.tmax_c + 14.0 * later
    )
    moved = {season: day + 40 * (season >= year) for season, day in record.observed.items()}
    changed = replace(record, series=hot, observed=moved)
    assert same(trained().at(record).forecast(year, issued), trained().at(changed).forecast(year, issued))


def test_todays_weather_and_last_years_note_do_change_it() -> None:
    """A test of leaks that nothing could fail would pass just so."""
    record = records()[0]
    before = trained().at(record).forecast(2011, 180)
    today = record.series.days == np.datetime64(season(record, 2011).date_of(180))
    hot = replace(record.series, tmax_c=record.series.tmax_c + 9.0 * today)
    assert not same(before, trained().at(replace(record, series=hot)).forecast(2011, 180))
    late = {season: day + 30 * (season == 2010) for season, day in record.observed.items()}
    after = trained().at(replace(record, observed=late)).forecast(2011, 180)
    assert after.quantile(0.5) > before.quantile(0.5) + 1


def test_training_learns_nothing_from_later_years() -> None:
    one_station = records()[2:]
    until = np.datetime64(f"{LAST_TRAINED}-12-31")
    changed = [
        replace(
            record,
            series=replace(record.series, tmax_c=record.series.tmax_c + 8.0 * (record.series.days > until)),
            observed={year: day + 25 * (year >= LAST_TRAINED) for year, day in record.observed.items()},
        )
        for record in one_station
    ]
    one, other = train_forecaster(one_station, LAST_TRAINED), train_forecaster(changed, LAST_TRAINED)
    assert one.models == other.models
    assert np.array_equal(one.spread.errors, other.spread.errors)
    assert np.array_equal(one.spread.ratios, other.spread.ratios)
    assert np.array_equal(one.persistence, other.persistence)


# --- sharper as the date comes near ----------------------------------------------------------------------


def test_forecasts_sharpen_and_err_less_near_the_date() -> None:
    widths, errors = [], []
    for lead in (42, 21, 7):
        made = [
            (found, record.observed[year])
            for record in records()
            for at in [trained().at(record)]
            for year in range(1995, LAST_TRAINED)
            if year in record.observed
            and record.observed[year] > (issued := round(at.usual_day(year)) - lead)
            for found in [at.forecast(year, issued)]
        ]
        widths.append(np.mean([found.quantile(0.9) - found.quantile(0.1) for found, _ in made]))
        errors.append(np.mean([abs(found.quantile(0.5) - day) for found, day in made]))
    assert widths == sorted(widths, reverse=True) and widths[-1] < 0.75 * widths[0]
    assert errors == sorted(errors, reverse=True) and errors[-1] < 0.75 * errors[0]


def test_once_the_usual_date_is_past_it_is_still_to_come() -> None:
    late = trained().at(records()[0]).forecast(2010, 300)
    assert late.days.min() > 300


def cut_normal(sd_days: float, cut_sd: float) -> tuple[NormalDist, Forecast]:
    """A normal forecast, and what is left of it after a day of issue 100, some spreads after its middle."""
    normal = NormalDist(100.0 - cut_sd * sd_days, sd_days)
    days = np.array([normal.inv_cdf((place + 0.5) / 4000) for place in range(4000)])
    left = still_to_come(days, 100)
    return normal, Forecast(left, np.full(left.size, 1 / left.size))


def odds_by(normal: NormalDist, day: float) -> float:
    """Odds that a whole day after 100 is not later than this one, where it is the normal's nearest."""
    past = normal.cdf(100.5)
    return (normal.cdf(math.floor(day) + 0.5) - past) / (1 - past)


@pytest.mark.parametrize("sd_days", [2.5, 4.0, 8.0])
@pytest.mark.parametrize("cut_sd", [-0.8, 0.0, 0.8])
def test_the_days_left_have_the_odds_of_whole_days_not_yet_come(sd_days: float, cut_sd: float) -> None:
    """Against the normal distribution's own odds, divided by those of all days after the day of issue."""
    normal, left = cut_normal(sd_days, cut_sd)
    for day in (101, 102, 105):
        share = float((left.days <= day + 0.5).mean())
        assert share == pytest.approx(odds_by(normal, day), abs=0.003)


def test_a_range_cut_at_the_day_of_issue_holds_four_in_five_whole_days() -> None:
    """As many come before it as after it, over forecasts as wide and as late as those of the backtest."""
    missed = []
    for sd_days, cut_sd in product(np.linspace(2.5, 9.0, 14), np.linspace(-1.0, 1.0, 11)):
        normal, left = cut_normal(float(sd_days), float(cut_sd))
        low, high = left.quantile(0.1), left.quantile(0.9)
        missed.append((odds_by(normal, math.ceil(low) - 1), 1 - odds_by(normal, high)))
    assert np.mean(missed, axis=0) == pytest.approx([0.1, 0.1], abs=0.02)


# --- a known answer --------------------------------------------------------------------------------------


@cache
def made() -> tuple[StationRecord, ...]:
    """The stations' weather with an invented species: its model known, and its error two days."""
    random = np.random.default_rng(4)
    result = []
    for record in records():
        rows = season_rows(record)
        days = np.floor(dated(rows, [KNOWN]) + random.normal(0, NOISE_DAYS, rows.years.size))
        observed = {
            int(year): float(day) for year, day in zip(rows.years, days, strict=True) if np.isfinite(day)
        }
        result.append(StationRecord(record.site, record.series, observed))
    return tuple(result)


def test_the_grid_finds_the_model_that_made_the_dates() -> None:
    """Near-equals trade steepness, middle and need; what must agree are the dates they give."""
    stations = [season_rows(record) for record in made()]
    models = fit_softened(stations, LAST_TRAINED)
    assert {model.start for model in models} & {60, 92}
    for rows in stations:
        whole = rows.whole()
        apart = dated(rows, models)[whole] - dated(rows, [KNOWN])[whole]
        assert np.abs(apart - apart.mean()).mean() < 1.0
        assert abs(apart.mean()) < 1.0


def test_the_known_error_comes_out_as_the_spread() -> None:
    forecaster = train_forecaster(made(), LAST_TRAINED)
    # a station's own log is a mean of some seven notes' worth and errs a little itself
    assert forecaster.spread.errors.std() == pytest.approx(NOISE_DAYS, rel=0.2)
    held, n = 0, 0
    for record in made():
        at = forecaster.at(record)
        for year in range(LAST_TRAINED + 1, 2024):
            found, day = at.whole_season(year), record.observed[year]
            held += found.quantile(0.1) <= day <= found.quantile(0.9)
            n += 1
    assert n > 40
    assert 0.68 <= held / n <= 0.92  # two standard errors about 0.8


# --- what cannot be said ---------------------------------------------------------------------------------


def test_what_never_comes_has_no_date_but_a_chance() -> None:
    rows = season_rows(records()[2])
    never = SoftenedModel(0.3, 14.0, 92, 0.012, need=1e6)
    at = StationForecaster(rows, [never], trained().spread, trained().persistence)
    found = at.forecast(2010, 150)
    assert (found.days.size, found.not_reached) == (0, 1.0)
    assert np.isposinf(found.quantile(0.5))
    assert at.whole_season(2010).not_reached == 1.0


def test_a_season_outside_the_record_is_an_error_that_says_so() -> None:
    with pytest.raises(ValueError, match="no season that begins in 1950"):
        trained().at(records()[0]).forecast(1950, 100)


def test_events_to_the_last_day_of_a_season_are_dated() -> None:
    record = records()[1]
    autumn = replace(record, observed={year: 352.0 + year % 5 for year in record.observed})
    forecaster = train_forecaster([autumn], LAST_TRAINED)
    found = forecaster.at(autumn).forecast(2010, 340)
    assert found.days.size and (found.days > 340).all()


# --- the other half of the earth -------------------------------------------------------------------------

HALF_A_YEAR = 182  # from 1 October to 1 April, 29 February left out


def turned_over(record: StationRecord) -> StationRecord:
    """The same weather half a year later, as far south of the equator."""
    series = record.series
    by_number = {day_number(day): place for place, day in reversed(list(enumerate(series.days.tolist())))}
    first = Season(series.first_day.year + 1, "south").start
    days = (np.datetime64(first, "D") + np.arange(len(series) - 600)).tolist()
    place = np.array([by_number[day_number(day) - HALF_A_YEAR] for day in days])
    site = Site(record.site.name, -record.site.latitude, record.site.longitude)
    observed = {year + 1: day for year, day in record.observed.items()}
    return StationRecord(site, DailySeries(first, series.tmin_c[place], series.tmax_c[place]), observed)


def test_the_south_is_forecast_like_the_north() -> None:
    """Only the sun isn't quite the same: the year's halves differ by some days, and so do the hours."""
    record = records()[1]
    south = turned_over(record)
    assert south.site.hemisphere == "south"
    for year, issued in ((2008, 150), (2014, 180)):
        found = trained().at(record).forecast(year, issued)
        other = trained().at(south).forecast(year + 1, issued)
        for odds in (0.1, 0.5, 0.9):
            assert other.quantile(odds) == pytest.approx(found.quantile(odds), abs=1.0)
