"""The backtest: what counts as a case, that nothing of the future is used, and a known truth found again."""

from __future__ import annotations

import datetime as dt
from collections.abc import Callable, Sequence
from dataclasses import replace
from functools import cache, partial
from operator import attrgetter

import numpy as np
import pytest

from season_engine.errors import GrowerError
from season_engine.phenology.forecast import Forecaster, StationRecord
from season_engine.phenology.train import SoftenedForecaster, train_forecaster
from season_engine.verify.backtest import backtest, known_until, station_cases
from season_engine.verify.calendar import Calendar
from season_engine.verify.cases import Case, Row, rows
from season_engine.verify.mending import mended
from season_engine.verify.observations import Observations
from season_engine.verify.scores import score
from season_engine.verify.station_files import Event
from season_engine.weather.series import DailySeries
from tests.once import once_a_run
from tests.verify.simple import FIRST_DAY, made_records, season_heat, season_softened, train_simple

MADE = Event("Arbor ficta", 61)
LEADS = (6.0, 2.0, 0.0)
SD_DAYS = 3.0
TRAIN_UNTIL = 2012
TRAINERS = [train_simple, train_forecaster]
NEEDS = {train_simple: 150.0, train_forecaster: 40.0}  # each tries a species that follows its kind of rule
LEVELS = {train_simple: season_heat, train_forecaster: season_softened}

Train = Callable[[Sequence[StationRecord], int], Forecaster]


@cache
def made_for(train: Train) -> tuple[list[StationRecord], dict[tuple[str, int], float]]:
    """The made species at yards of different warmth; the last is kept from training."""
    make = partial(made_records, 8, need=NEEDS[train], sd_days=SD_DAYS, levels=LEVELS[train])
    return once_a_run(f"records of {train.__name__}", make)


def made(train: Train = train_simple) -> tuple[StationRecord, ...]:
    return tuple(made_for(train)[0][:-1])


@cache
def found_with(train: Train) -> tuple[Case, ...]:
    observations = Observations({MADE: made(train)}, ())
    make = partial(backtest, observations, TRAIN_UNTIL, LEADS, lambda *_: trained(train))
    return once_a_run(f"cases of {train.__name__}", make).cases


@cache
def trained(train: Train) -> Forecaster:
    make = partial(train, known_until(made(train), TRAIN_UNTIL), TRAIN_UNTIL)
    return once_a_run(f"trained by {train.__name__}", make)


def row(train: Train, lead: float | None) -> Row:
    return next(one for one in rows(found_with(train)) if one.lead_weeks == lead)


def test_the_plain_forecaster_finds_the_made_need_and_error() -> None:
    forecaster = train_simple(known_until(made(), TRAIN_UNTIL), TRAIN_UNTIL)
    assert forecaster.need == pytest.approx(NEEDS[train_simple], rel=0.05)
    assert forecaster.sd_days == pytest.approx(SD_DAYS, rel=0.12)


def test_the_trained_forecaster_finds_the_made_rule() -> None:
    """Of the grid it searches, the made numbers come first; the need is fitted freely."""
    forecaster = trained(train_forecaster)
    assert isinstance(forecaster, SoftenedForecaster)
    best = forecaster.models[0]
    assert (best.steepness_per_c, best.middle_c, best.start, best.softening) == (0.3, 12.0, FIRST_DAY, 0.012)
    assert best.need == pytest.approx(NEEDS[train_forecaster], rel=0.05)


@pytest.mark.parametrize("train", TRAINERS)
def test_with_the_whole_weather_only_the_made_error_is_left(train: Train) -> None:
    """Of a normal error with spread s the mean size is 0.798 s, 80 % lie within 1.2816 s either way."""
    known = row(train, None).summary
    assert known.mae == pytest.approx(0.798 * SD_DAYS, rel=0.15)
    assert abs(known.bias) < 1.0
    assert known.width80 == pytest.approx(2 * 1.2816 * SD_DAYS, rel=0.2)
    assert 0.72 <= known.coverage80 <= 0.88  # 110 cases: a standard error of 4 %


@pytest.mark.parametrize("train", TRAINERS)
def test_the_middle_date_is_the_made_rule_s(train: Train) -> None:
    """With the whole weather the forecast names the day the known need is reached, whatever the noise did."""
    truth = made_for(train)[1]
    known = [case for case in found_with(train) if case.lead_weeks is None]
    errors = np.array([case.scored.p50 - truth[case.site, case.season.year] for case in known])
    assert len(errors) > 90
    assert abs(errors.mean()) < 1.0
    assert np.sqrt((errors**2).mean()) < 1.5


def test_forecasts_beat_the_calendar_and_sharpen() -> None:
    by_lead = [row(train_forecaster, lead) for lead in LEADS]
    assert all(one.summary.crps < one.crps_calendar for one in by_lead)
    widths = [one.summary.width80 for one in by_lead]
    assert widths == sorted(widths, reverse=True)
    assert all(0.68 <= one.summary.coverage80 <= 0.92 for one in by_lead if one.summary.n > 50)


@pytest.mark.parametrize("train", TRAINERS)
def test_the_rule_holds_at_a_place_it_never_saw(train: Train) -> None:
    records, truth = made_for(train)
    new = records[-1]
    cases = list(station_cases(MADE, trained(train), new, TRAIN_UNTIL, ()))
    errors = [case.scored.p50 - truth[case.site, case.season.year] for case in cases]
    assert len(errors) >= 10
    assert np.sqrt(np.mean(np.square(errors))) < 2.0  # of the day without the made error


def test_a_case_by_hand() -> None:
    """Site 0, season 2015/16, two weeks ahead: what the rows rest on."""
    record = made()[0]
    log = [record.observed[year] for year in range(2000, 2015)]
    case = next(
        one
        for one in found_with(train_simple)
        if (one.site, one.season.year, one.lead_weeks) == (record.site.name, 2015, 2.0)
    )
    assert case.day == record.observed[2015]
    assert case.calendar_day == pytest.approx(np.mean(log))
    assert case.issued_day == round(np.mean(log)) - 14
    assert case.season.label == "2015/16"


def test_past_events_are_no_cases() -> None:
    cases = found_with(train_simple)
    assert all(case.issued_day is None or case.issued_day < case.day for case in cases)
    assert {case.season.year for case in cases} == set(range(TRAIN_UNTIL, 2025))
    counts = [row(train_simple, lead).summary.n for lead in LEADS]
    assert counts == sorted(counts, reverse=True)
    assert counts[-1] < 0.75 * counts[0]


def test_processes_change_nothing() -> None:
    observations = Observations({MADE: made()[:5]}, ())
    one, two = (backtest(observations, TRAIN_UNTIL, (2.0,), train_simple, jobs=jobs) for jobs in (1, 2))
    assert one == two


def test_too_little_to_learn_from_is_an_error() -> None:
    with pytest.raises(GrowerError, match="no event has 10 dates"):
        backtest(Observations({MADE: made()[:1]}, ()), 1998, LEADS, train_simple)


def test_what_is_trained_on_ends_with_the_year() -> None:
    for record in known_until(made(), TRAIN_UNTIL):
        assert record.series.last_day == dt.date(TRAIN_UNTIL, 12, 31)
        assert max(record.observed) == TRAIN_UNTIL - 1


def raw_with_gaps(record: StationRecord, seed: int) -> DailySeries:
    random = np.random.default_rng(seed)
    values = np.array([record.series.tmin_c, record.series.tmax_c])
    for start in random.integers(0, values.shape[1] - 12, 25).tolist():
        values[:, start : start + int(random.integers(1, 9))] = np.nan
    return DailySeries(record.series.first_day, *values)


def changed_after(raw: DailySeries, on: dt.date, seed: int) -> DailySeries:
    """Every reading after a day is another, and some are gone."""
    random, later = np.random.default_rng(seed), (on - raw.first_day).days + 1
    values = np.array([raw.tmin_c, raw.tmax_c])
    values[:, later:] += random.normal(0, 8, values.shape[1] - later)
    values[:, later : later + 400][:, random.random(min(400, values.shape[1] - later)) < 0.1] = np.nan
    values[:, -1] = 3.0, 8.0  # the record stays as long as it was
    return DailySeries(raw.first_day, *values)


@pytest.mark.parametrize("train", TRAINERS)
@pytest.mark.parametrize("season_year", [TRAIN_UNTIL, 2024])
def test_nothing_after_the_day_of_issue_changes_a_forecast(train: Train, season_year: int) -> None:
    """Temperatures and events of later days are changed in what is read; the same forecast comes out."""
    forecaster, learnt_until = trained(train), dt.date(TRAIN_UNTIL, 12, 31)
    raw = raw_with_gaps(made(train)[1], 1)
    record = replace(made(train)[1], series=mended(raw, learnt_until).series)
    season = record.site.season_on(dt.date(season_year, 12, 1))
    usual = Calendar.of([day for year, day in sorted(record.observed.items()) if year < season_year])
    for lead in LEADS:
        issued = usual.issue_day(lead)
        on = season.date_of(issued)
        if on <= learnt_until:
            continue
        other = StationRecord(
            record.site,
            mended(changed_after(raw, on, season_year), learnt_until).series,
            {year: day if year < season_year else day + 30.0 for year, day in record.observed.items()},
        )
        one, two = (forecaster.at(it).forecast(season_year, issued) for it in (record, other))
        assert one.not_reached == two.not_reached
        assert np.array_equal(one.days, two.days), f"{lead:g} weeks ahead"
        assert np.array_equal(one.weights, two.weights)
        cut = replace(other, series=other.series.cut(on))
        assert np.array_equal(forecaster.at(cut).forecast(season_year, issued).days, one.days)


@pytest.mark.parametrize("train", TRAINERS)
def test_training_sees_nothing_later(train: Train) -> None:
    other = [
        replace(
            record,
            series=changed_after(record.series, dt.date(TRAIN_UNTIL, 12, 31), 3),
            observed={
                year: day + (40 if year >= TRAIN_UNTIL else 0) for year, day in record.observed.items()
            },
        )
        for record in made(train)[:2]
    ]
    one, two = (train(known_until(records, TRAIN_UNTIL), TRAIN_UNTIL) for records in (made(train)[:2], other))
    issued = 150
    forecasts = [it.at(made(train)[0]).forecast(TRAIN_UNTIL + 2, issued) for it in (one, two)]
    assert np.array_equal(forecasts[0].days, forecasts[1].days)
    assert np.array_equal(forecasts[0].weights, forecasts[1].weights)


@pytest.mark.parametrize("train", TRAINERS)
def test_forecasts_are_distributions_after_the_day_of_issue(train: Train) -> None:
    at_site = trained(train).at(made(train)[2])
    for issued in (100, 150, 175, 190):
        forecast = at_site.forecast(2019, issued)
        assert forecast.days.min(initial=np.inf) > issued
        assert (np.diff(forecast.days) >= 0).all()
        assert forecast.weights.sum() + forecast.not_reached == pytest.approx(1.0)


def test_the_calendar_is_the_last_fifteen_years() -> None:
    calendar = Calendar.of([500.0, *[100.0, 110.0] * 7, 105.0])
    assert calendar.mean == 105.0
    assert calendar.issue_day(2) == 91
    assert calendar.day(91) == calendar.day(None) == 105.0
    # Of half a normal distribution the mean lies sqrt(2 / pi) = 0.798 spreads off its middle.
    assert calendar.day(105) == pytest.approx(105.5 + 0.798 * calendar.spread, abs=0.5)
    left = calendar.forecast(105)
    assert left.days[0] == 106.0
    assert left.weights.sum() == pytest.approx(1.0)


def test_a_log_that_never_varies_is_no_error() -> None:
    calendar = Calendar.of([100.0] * 5)
    assert calendar.forecast(100).weights.sum() == pytest.approx(1.0)


@pytest.mark.parametrize("train", TRAINERS)
@pytest.mark.parametrize("log_years", [0, 1, 6])
def test_so_many_of_a_site_s_own_dates(train: Train, log_years: int) -> None:
    """Limiting the dates gives the forecasts of a file that holds no more; the cases stay the same."""
    record, forecaster = made(train)[0], trained(train)
    limited = list(station_cases(MADE, forecaster, record, TRAIN_UNTIL, (2.0,), log_years))
    known = list(station_cases(MADE, forecaster, record, TRAIN_UNTIL, (2.0,)))
    key = attrgetter("season", "lead_weeks", "issued_day", "day", "calendar_day")
    assert [key(one) for one in limited] == [key(one) for one in known]
    year = 2019
    last = sorted(before for before in record.observed if before < year)[-log_years or 99 :]
    short = forecaster.at(replace(record, observed={before: record.observed[before] for before in last}))
    for case in limited:
        if case.season.year == year:
            issued = case.issued_day
            made_so = short.whole_season(year) if issued is None else short.forecast(year, issued)
            assert case.scored == score(made_so, case.day)


def test_who_did_not_look_keeps_the_past_open() -> None:
    at_site = trained(train_forecaster).at(made(train_forecaster)[0])
    issued = round(at_site.usual_day(2019))
    looked, blind = (at_site.forecast(2019, issued, looked=known) for known in (True, False))
    assert looked.days.min() > issued >= blind.days.min()
    assert np.array_equal(looked.days, blind.days[blind.days > issued + 0.5])
    assert blind.weights.sum() + blind.not_reached == pytest.approx(1.0)
