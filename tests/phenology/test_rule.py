"""The rule of one event: the catalogue's or one fitted, and what it errs."""

from __future__ import annotations

import datetime as dt
from dataclasses import replace
from functools import cache

import numpy as np
import pytest
from numpy.typing import ArrayLike

from season_engine.errors import GrowerError
from season_engine.phenology.dating import date_markers
from season_engine.phenology.fit import LEAST_NOTICE, RULES_KEPT, fit_rules
from season_engine.phenology.rule import (
    LEAST_SD_DAYS,
    MOST_SD_DAYS,
    catalogue_rule,
    dates_of,
    errors_of,
    fitted_rule,
)
from season_engine.phenology.seasons import past_seasons
from season_engine.phenology.station_record import StationRecord
from season_engine.species.catalogue import load_catalogue
from season_engine.verify.backtest import known_until
from season_engine.weather.filling import filled
from season_engine.weather.series import DailySeries
from tests.phenology.stations import twelve
from tests.traces.made_cases import since
from tests.verify.simple import day_reached, season_softened, thermal_rule
from tests.yards import NAGANO, NORTH, readings, view

CHERRY = load_catalogue().find("Prunus x yedoensis")
MAPLE = load_catalogue().find("Acer palmatum")

# --- the catalogue's ---------------------------------------------------------------------------------------


def test_a_rule_of_the_catalogue_is_what_its_event_hangs_on_and_dates_it_alike() -> None:
    rule = catalogue_rule(CHERRY, 61)
    assert rule is not None and rule.marker == "first_flowers"
    assert rule.of_event is CHERRY.markers["first_flowers"]
    assert set(rule.species.markers) < set(CHERRY.markers) and not rule.species.windows
    for marker in rule.species.markers.values():
        assert set(marker.depends_on) <= set(rule.species.markers)
    traces = view(NAGANO, dt.date(2021, 2, 10)).season()
    of_rule, of_species = date_markers(rule.species, traces), date_markers(CHERRY, traces)
    assert np.array_equal(of_rule.dates[rule.marker], of_species.dates[rule.marker])


def test_a_stage_is_foretold_by_the_marker_that_stands_for_it_or_by_none() -> None:
    assert catalogue_rule(CHERRY, 60).marker == "first_flowers"
    assert catalogue_rule(MAPLE, 1).marker == "buds_swelling"
    assert catalogue_rule(MAPLE, 65) is None


# --- what it errs ------------------------------------------------------------------------------------------

FLOWERS = thermal_rule(150.0, 5.0)


@cache
def weather() -> DailySeries:
    """Twenty-one seasons of a made yard."""
    return since(filled(readings(NORTH)), dt.date(2004, 9, 1))


@cache
def exact() -> dict[int, float]:
    """Day the made rule gives each season."""
    seasons = past_seasons([StationRecord(NORTH, weather(), {})])
    return dict(zip(seasons.years.tolist(), dates_of(FLOWERS, seasons).tolist(), strict=True))


def stations(off: ArrayLike) -> list[StationRecord]:
    """Stations under one sky, each so many days off in its seasons; one row a station."""
    rows = np.asarray(off, np.float64) + np.array(list(exact().values()))
    return [StationRecord(NORTH, weather(), dict(zip(exact(), row.tolist(), strict=True))) for row in rows]


def test_a_known_error_of_yards_and_years_is_found_again() -> None:
    """Yards four days off either way, years two more either way, two by two: every other step is of four.

    Half the mean square of the steps is then two times two.
    """
    yards = np.array([4.0, -4.0] * 6)[:, None]
    years = np.where(np.arange(len(exact())) % 4 < 2, 2.0, -2.0)
    sd_days, year_sd_days = errors_of(FLOWERS, stations(yards + years))
    assert sd_days == pytest.approx(np.sqrt(4**2 + 2**2), rel=0.01)
    assert year_sd_days == pytest.approx(2.0, rel=0.05)


def test_years_drawn_at_random_stray_as_far_as_they_were_made_to() -> None:
    random = np.random.default_rng(5)
    off = random.normal(0, 6.0, (12, 1)) + random.normal(0, 3.0, (12, len(exact())))
    sd_days, year_sd_days = errors_of(FLOWERS, stations(off))
    assert year_sd_days == pytest.approx(3.0, rel=0.12)  # 240 steps
    assert sd_days == pytest.approx(np.sqrt(np.mean(off**2)))


def test_the_slow_drift_of_a_station_is_not_taken_for_noise_of_a_year() -> None:
    """Five days a decade, as where trees grow old: part of the yard's own, not of the year's."""
    noise = np.random.default_rng(6).normal(0, 2.0, (6, len(exact())))
    drift = 0.5 * (np.arange(len(exact())) - 10)
    calm, calm_year = errors_of(FLOWERS, stations(noise))
    sd_days, year_sd_days = errors_of(FLOWERS, stations(noise + drift))
    assert sd_days > 1.5 * calm
    assert year_sd_days == pytest.approx(calm_year, rel=0.06)


def test_only_years_that_follow_at_one_station_make_a_step() -> None:
    """Every other year, or one date a station: nothing is known of years apart, so all is theirs.

    Between the stations there would be steps of one day only.
    """
    (five,) = stations([[5.0]])
    every_other = replace(five, observed={year: day for year, day in five.observed.items() if year % 2})
    assert errors_of(FLOWERS, [every_other]) == pytest.approx((5.0, 5.0))
    one_each = [
        replace(one, observed={2010 + place: one.observed[2010 + place]})
        for place, one in enumerate(stations([[5.0], [6.0], [5.0]]))
    ]
    whole = (86 / 3) ** 0.5
    assert errors_of(FLOWERS, one_each) == pytest.approx((whole, whole))


def test_a_perfect_rule_and_none_at_all_have_bounds() -> None:
    assert errors_of(FLOWERS, stations([[0.0]])) == (LEAST_SD_DAYS, LEAST_SD_DAYS)
    jumping = np.where(np.arange(len(exact())) % 2, 90.0, -90.0)
    assert errors_of(FLOWERS, stations([jumping])) == (MOST_SD_DAYS, MOST_SD_DAYS)
    assert errors_of(FLOWERS, [StationRecord(NORTH, weather(), {})]) == (MOST_SD_DAYS, MOST_SD_DAYS)


def test_a_season_without_the_warmth_has_no_date_and_no_error() -> None:
    never = thermal_rule(9000.0, 5.0)
    seasons = past_seasons([StationRecord(NORTH, weather(), exact())], noted=True)
    assert np.isposinf(dates_of(never, seasons)).all()
    assert errors_of(never, [StationRecord(NORTH, weather(), exact())]) == (MOST_SD_DAYS, MOST_SD_DAYS)
    nowhere = past_seasons([StationRecord(NORTH, weather(), {1950: 180.0})], noted=True)
    assert dates_of(FLOWERS, nowhere).size == 0


# --- fitted ------------------------------------------------------------------------------------------------

NEED, NOISE_DAYS = 40.0, 2.0


@cache
def made() -> tuple[tuple[StationRecord, ...], tuple[dict[int, float], ...]]:
    """Three stations from the north to the south of Japan with an invented species; its days without error.

    Its rule stands in `season_softened`, written out from its formula.
    """
    random, records, truth = np.random.default_rng(4), [], []
    for record in known_until(twelve()[CHERRY.name][::4], 2001):
        levels = season_softened(record.site, record.series)
        days = {year: day_reached(level, NEED) for year, level in levels.items() if not np.isnan(level).any()}
        noted = {year: round(day + random.normal(0, NOISE_DAYS)) for year, day in days.items()}
        records.append(replace(record, observed=noted))
        truth.append(days)
    return tuple(records), tuple(truth)


def test_a_fit_finds_the_dates_of_the_rule_that_made_them_and_their_error() -> None:
    """Near-equals trade steepness, middle and need; what must agree are the dates they give."""
    records, truth = made()
    rule = fitted_rule("Arbor ficta", 61, records)
    assert rule.of_event.sd_days == pytest.approx(NOISE_DAYS, rel=0.2)
    assert rule.of_event.year_sd_days == pytest.approx(NOISE_DAYS, rel=0.25)
    seasons = past_seasons(records, noted=True)
    exactly = [truth[at][year] for at, year in zip(seasons.station, seasons.years.tolist(), strict=True)]
    apart = dates_of(rule, seasons) - exactly
    assert abs(apart.mean()) < 0.5
    assert np.mean(apart > 0) - np.mean(apart < 0) < 0.25, "a need counted to the end of a day dates late"
    assert np.abs(apart).mean() < 0.6 * NOISE_DAYS
    # a station's own log takes away what it is off every year, so a fit may leave it some
    assert all(abs(apart[seasons.station == at].mean()) < 1.2 for at in range(3))


def test_a_fit_counts_from_well_before_the_earliest_dates_and_keeps_the_best_few() -> None:
    records, _ = made()
    one = [replace(records[2], observed={year: 112.0 for year in records[2].observed})]
    rules = fit_rules(one)
    assert len(rules) == RULES_KEPT == len(set(rules))
    assert all(rule.from_day <= 112 - LEAST_NOTICE for rule in rules)


def test_nothing_noted_within_the_temperatures_is_told() -> None:
    records, _ = made()
    with pytest.raises(GrowerError, match="no station has a date in a season with temperatures"):
        fit_rules([replace(records[0], observed={1950: 180.0})])
