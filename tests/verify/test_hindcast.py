"""Past openings of a yard's windows as they were foreseen."""

from __future__ import annotations

import datetime as dt
from functools import cache

import numpy as np
import pytest

from season_engine.species.catalogue import load_catalogue
from season_engine.verify.cases import Case
from season_engine.verify.hindcast import Question, answers, questions
from season_engine.weather.series import DailySeries
from season_engine.windows.assess import Prospect
from tests.yards import NAGANO, SOUTH, readings, view_on

ON = dt.date(2025, 11, 1)
LEADS = (6.0, 2.0, 0.0)


@cache
def asked(site=NAGANO, job: str = "repotting", species: str = "Acer palmatum") -> tuple[Question, ...]:
    kind = load_catalogue().find(species)
    window = next(window for window in kind.windows if window.job == job)
    prospect = Prospect(view_on(site, readings(site), ON), kind)
    return tuple(questions(prospect, window, "medium", LEADS))


def answered(question: Question, series: DailySeries, site=NAGANO) -> Case:
    (case,) = answers(view_on(site, series, question.issued), [question])
    return case


def test_the_last_ten_whole_seasons_are_asked_about() -> None:
    years = {one.season.year for one in asked()}
    assert years == set(range(2014, 2024))  # a season's traces end in the March after it
    for one in asked():
        assert one.issued_day < one.day
        assert one.issued == one.season.date_of(one.calendar.issue_day(one.lead_weeks))


def test_what_came_is_what_check_would_have_said_with_the_whole_season() -> None:
    """The middle opening of a view from after the season is the same date."""
    for one in asked()[::7]:
        after = Prospect(view_on(NAGANO, readings(NAGANO), one.season.last_trace_day), one.species)
        shift = one.season.year - NAGANO.season_on(one.season.last_trace_day).year
        said = after.opening(one.window, shift).opens_quantiles.p50
        assert said is not None
        assert one.season.day_of(said) == pytest.approx(one.day, abs=1)


@pytest.mark.parametrize("place", [0, 7, 20])
def test_nothing_after_the_day_of_issue_changes_the_forecast(place: int) -> None:
    one, raw = asked()[place], readings(NAGANO)
    later = (one.issued - raw.first_day).days + 1
    noise = np.random.default_rng(place).normal(0, 6, len(raw) - later)
    values = np.array([raw.tmin_c, raw.tmax_c])
    values[:, later:] += noise
    assert answered(one, raw) == answered(one, DailySeries(raw.first_day, *values))


def test_forecasts_near_the_date_are_better_than_far_ones_and_than_the_calendar() -> None:
    cases = [answered(one, readings(NAGANO)) for one in asked()]
    errors = {
        lead: np.mean([abs(c.scored.p50 - c.day) for c in cases if c.lead_weeks == lead]) for lead in LEADS
    }
    assert errors[2.0] < errors[6.0]
    near = [case for case in cases if case.lead_weeks == 2.0]
    assert errors[2.0] < np.mean([abs(case.calendar_day - case.day) for case in near])


def test_a_southern_yard_counts_its_own_season() -> None:
    questions_south = asked(SOUTH)
    assert questions_south
    for one in questions_south[::9]:
        case = answered(one, readings(SOUTH), SOUTH)
        assert case.season.hemisphere == "south"
        assert 60 < case.day < 180  # June to September: common practice, no source
        assert case.scored.p10 <= case.scored.p50 <= case.scored.p90
