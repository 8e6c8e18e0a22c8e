"""Past openings of a yard's windows as they were foreseen."""

from __future__ import annotations

import csv
import datetime as dt
import io
import json
from collections import Counter
from dataclasses import replace
from functools import cache

import numpy as np
import pytest

from season_engine.documents.backtest import backtest_document
from season_engine.documents.backtest_csv import cases_csv
from season_engine.documents.model import json_text
from season_engine.pages.pictures.backtest_charts import reliability_chart, skill_chart
from season_engine.phenology.dating import DRAWS
from season_engine.prints.backtest import backtest_text
from season_engine.site import Season
from season_engine.species.catalogue import load_catalogue
from season_engine.verify.cases import Case, rows, set_by_calendar
from season_engine.verify.hindcast import Question, answers, draw_of, questions
from season_engine.weather.series import DailySeries
from season_engine.windows.assess import Prospect
from tests.schemas import assert_valid
from tests.yards import NAGANO, SOUTH, readings, view_on

ON = dt.date(2025, 11, 1)
LEADS = (6.0, 2.0, 0.0)
BY_CALENDAR = ("winter-tidy", "Juniperus chinensis")  # a day of the season, in the catalogue
KINDS = ("Acer palmatum", "Larix decidua", "Pinus thunbergii", "Ulmus parvifolia")


@cache
def asked(site=NAGANO, job: str = "repotting", species: str = "Acer palmatum") -> tuple[Question, ...]:
    kind = load_catalogue().find(species)
    window = next(window for window in kind.windows if window.job == job)
    prospect = Prospect(view_on(site, readings(site), ON), kind)
    return tuple(questions(prospect, window, "medium", LEADS))


def answered(question: Question, series: DailySeries, site=NAGANO) -> Case:
    (case,) = answers(view_on(site, series, question.issued), [question])
    return case


@cache
def cases_of(job: str = "repotting", species: str = "Acer palmatum") -> tuple[Case, ...]:
    return tuple(answered(one, readings(NAGANO)) for one in asked(NAGANO, job, species))


def test_the_last_ten_whole_seasons_are_asked_about() -> None:
    years = {one.season.year for one in asked()}
    assert years == set(range(2014, 2024))  # a season's traces end in the March after it
    for one in asked():
        assert one.issued_day < one.day
        assert one.issued == one.season.date_of(one.calendar.issue_day(one.lead_weeks))


# --- what came is drawn ------------------------------------------------------------------------------------


def test_what_came_is_one_chance_of_what_check_would_have_said_with_the_whole_season() -> None:
    """All traces of a view from after the season have its weather, so that the rule's error alone is left."""
    off = []
    for one in (one for one in asked() if one.lead_weeks == 2.0):
        on = one.season.last_trace_day
        after = Prospect(view_on(NAGANO, readings(NAGANO), on), one.species)
        opening = after.opening(one.window, one.season.year - NAGANO.season_on(on).year)
        days = opening.opens[0] - opening.traces.season_start
        draw = draw_of(NAGANO, one.species.name, one.season)
        assert days[draw] == pytest.approx(one.day, abs=1)
        off.append(one.day - days[len(DRAWS) // 2])
    assert np.abs(off).max() > 3, "the error is in what came"


def test_a_draw_is_the_same_for_all_windows_of_a_species_and_season_and_whenever_it_is_asked_for() -> None:
    """Windows that open with the same markers open on the same day; each season has a chance of its own."""
    one, other = (asked(NAGANO, job, "Larix decidua") for job in ("repotting", "sectional-repotting"))
    assert one[0].window.opens == other[0].window.opens
    assert {(case.season, case.day) for case in one} == {(case.season, case.day) for case in other}
    draws = [draw_of(NAGANO, "Acer palmatum", Season(year, "north")) for year in range(2000, 2024)]
    assert draws == [draw_of(NAGANO, "Acer palmatum", Season(year, "north")) for year in range(2000, 2024)]
    assert len(set(draws)) > 8
    assert draws != [draw_of(NAGANO, "Acer ginnala", Season(year, "north")) for year in range(2000, 2024)]
    assert draws != [draw_of(SOUTH, "Acer palmatum", Season(year, "north")) for year in range(2000, 2024)]


def test_all_draws_are_as_likely() -> None:
    """Chi-squared with 20 degrees of freedom: above 45.3 once in a thousand (scipy.stats.chi2)."""
    many = Counter(draw_of(NAGANO, "Acer palmatum", Season(year, "north")) for year in range(1, 2101))
    assert sum((many[draw] - 100) ** 2 / 100 for draw in range(len(DRAWS))) < 45.3


def test_the_odds_keep_their_whole_error_and_hold_what_came() -> None:
    """Of 80 in 100 a little more, as ends are whole days; the kinds share each year's weather."""
    cases = [case for kind in KINDS for case in cases_of("repotting", kind)]
    scored = [case.scored for case in cases]
    held = np.mean([one.p10 <= case.day <= one.p90 for one, case in zip(scored, cases, strict=True)])
    assert len(cases) >= 80
    assert 0.7 <= held <= 0.95
    assert 0.35 <= np.mean([one.pit for one in scored]) <= 0.65
    assert min(one.p90 - one.p10 for one in scored) > 0
    sd_days = max(marker.sd_days for marker in load_catalogue().find("Acer palmatum").markers.values())
    (row, *_) = rows(cases_of())
    assert row.summary.width80 > 0.9 * 2 * 1.2816 * min(sd_days, 8.0)  # of a normal error


# --- nothing later than the day of issue -------------------------------------------------------------------


@pytest.mark.parametrize("place", [0, 7, 20])
def test_nothing_after_the_day_of_issue_changes_the_forecast(place: int) -> None:
    one, raw = asked()[place], readings(NAGANO)
    later = (one.issued - raw.first_day).days + 1
    noise = np.random.default_rng(place).normal(0, 6, len(raw) - later)
    values = np.array([raw.tmin_c, raw.tmax_c])
    values[:, later:] += noise
    assert answered(one, raw) == answered(one, DailySeries(raw.first_day, *values))


def test_forecasts_near_the_date_are_better_than_far_ones_and_than_the_calendar() -> None:
    by_lead = {row.lead_weeks: row for row in rows(case for kind in KINDS for case in _as_one(kind))}
    assert by_lead[2.0].summary.crps < by_lead[6.0].summary.crps
    assert by_lead[2.0].summary.crps < by_lead[2.0].crps_calendar


def _as_one(kind: str) -> list[Case]:
    """Cases of a kind under the first one's name, so that they make one row."""
    subject = cases_of()[0].subject
    return [replace(case, subject=subject) for case in cases_of("repotting", kind)]


def test_a_southern_yard_counts_its_own_season() -> None:
    questions_south = asked(SOUTH)
    assert questions_south
    for one in questions_south[::9]:
        case = answered(one, readings(SOUTH), SOUTH)
        assert case.season.hemisphere == "south"
        assert 60 < case.day < 190  # June to September: common practice, no source; give or take the error
        assert case.scored.p10 <= case.scored.p50 <= case.scored.p90


# --- what the calendar sets --------------------------------------------------------------------------------


def test_what_the_calendar_sets_is_counted_apart() -> None:
    cases = cases_of(*BY_CALENDAR)
    assert cases and all(case.by_calendar for case in cases)
    assert rows(cases) == []
    assert not any(case.by_calendar for case in cases_of())
    (apart,) = set_by_calendar([*cases, *cases_of()])
    assert (apart.n, apart.on_the_day) == (len(cases), len(cases))


def test_what_the_calendar_sets_is_told_with_its_number_and_without_skill() -> None:
    cases = [*cases_of(), *cases_of(*BY_CALENDAR)]
    number = len(cases_of(*BY_CALENDAR))
    document = json.loads(json_text(backtest_document(cases, None)))
    assert_valid(document, "backtest")
    assert {row["job"] for row in document["rows"]} == {"repotting"}
    (apart,) = document["set_by_calendar"]
    assert (apart["job"], apart["n"], apart["on_the_day"]) == ("winter-tidy", number, number)
    text = backtest_text(cases, None)
    assert f"{number:>6}{number:>6}  Chinese juniper, winter tidy: opens\n" in text
    assert "winter tidy" not in text[: text.index("Set by the calendar")]
    assert "Set by the calendar" not in backtest_text(cases_of(), None)
    by = Counter(line["by"] for line in csv.DictReader(io.StringIO(cases_csv(cases))))
    assert by == {"weather": len(cases_of()), "calendar": number}


@pytest.mark.parametrize("draw", [skill_chart, reliability_chart])
def test_what_the_calendar_sets_is_in_no_drawing(draw) -> None:
    both = draw([*cases_of(), *cases_of(*BY_CALENDAR)])
    assert "winter tidy" not in both and "set by the calendar" in both
    drawn = [line for line in both.splitlines() if "set by the calendar" not in line]
    assert drawn == [
        line
        for line in draw(cases_of()).splitlines()
        if "ahead</text>" not in line and "odds given" not in line
    ]
