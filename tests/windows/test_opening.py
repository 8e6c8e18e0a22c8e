from __future__ import annotations

import datetime as dt

import numpy as np
import pytest

from season_engine.phenology.dating import DRAWS, Dating
from season_engine.species.catalogue import load_catalogue
from season_engine.traces import CaseTraces
from season_engine.windows.assess import Prospect, assess
from season_engine.windows.opening import ends_of, open_window
from season_engine.windows.verdict import standing
from tests.yards import NAGANO, view

TRACES = view(NAGANO, dt.date(2021, 2, 10)).season()


def dating(**columns: object) -> Dating:
    shape = (len(TRACES), DRAWS.size)
    dates = {name: np.broadcast_to(np.asarray(c, float), shape) for name, c in columns.items()}
    return Dating(TRACES, {}, dates, {})


def test_it_opens_at_the_last_opening_marker_and_closes_at_the_first_after_it() -> None:
    opening = open_window(dating(a=200, b=210, early=190, c=260, d=250), ["a", "b"], ["early", "c", "d"])
    assert (opening.opens == 210).all()
    assert (opening.closes == 250).all()


def test_a_closing_marker_on_the_day_of_opening_closes_it_and_not_the_next_weeks_later() -> None:
    """The first closing marker at or after the opening: such a window has no day."""
    opening = open_window(dating(a=200, c=200, d=250), ["a"], ["c", "d"])
    assert (opening.closes == 200).all()
    assert opening.chance_given == pytest.approx(1)
    assert opening.chances_open([TRACES.date_of(day) for day in (199, 200, 201, 249)]) == [0, 0, 0, 0]


def test_without_a_closing_marker_there_is_no_window() -> None:
    opening = open_window(dating(a=200, early=190), ["a"], ["early"])
    assert opening.chance_given == 0
    assert opening.opened_by(0.5) is None
    assert standing(opening, 0.5).given is False


def test_after_a_long_summer_it_may_open_when_the_season_is_over_but_not_half_a_year_on() -> None:
    end = TRACES.season_start + 365
    late = open_window(dating(a=end + 30, c=end + 60), ["a"], ["c"])
    assert late.chance_given == pytest.approx(1)
    assert late.opened_by(0.5) == TRACES.date_of(end + 30)
    assert open_window(dating(a=end + 100, c=end + 120), ["a"], ["c"]).chance_given == 0


def test_a_trace_that_never_opens_counts_as_later_than_any_date() -> None:
    never = np.full((len(TRACES), 1), 200.0)
    never[: len(TRACES) // 4] = np.inf
    opening = open_window(dating(a=never, c=300), ["a"], ["c"])
    assert opening.opens_quantiles.p50 is not None
    assert opening.opens_quantiles.p90 is None
    assert opening.chance_given == pytest.approx(1 - (len(TRACES) // 4) / len(TRACES))


def test_the_day_of_closing_is_no_longer_open() -> None:
    opening = open_window(dating(a=200, c=210), ["a"], ["c"])
    days = [TRACES.date_of(day) for day in (199, 200, 209, 210)]
    assert [opening.chance_open(day) for day in days] == pytest.approx([0, 1, 1, 0])


def test_a_window_too_unsure_for_its_floor_is_judged_by_its_middle_dates() -> None:
    column = np.linspace(180, 240, len(TRACES))[:, None]
    opening = open_window(dating(a=column, c=column + 20), ["a"], ["c"])
    now = standing(opening, 0.8)
    assert now.unsure
    assert (now.opens, now.closes) == (opening.opened_by(0.5), opening.closed_by(0.5))


def test_cases_side_by_side_have_each_the_ends_it_has_alone() -> None:
    random = np.random.default_rng(2)
    shape = (3, len(TRACES), DRAWS.size)
    dates = {name: random.integers(180, 300, shape).astype(float) for name in ("a", "b", "c", "d")}
    dates["c"][1] = np.inf
    weights = np.broadcast_to(TRACES.weights, shape[:2])
    arrays = {name: np.stack([getattr(TRACES, name)] * 3) for name in ("tmin_c", "tmax_c", "day_length_h")}
    cases = CaseTraces(
        **arrays,
        weights=weights,
        observed=np.full(3, TRACES.observed_days),
        season_start=TRACES.season_start,
        bench_frost_allowance_c=np.zeros(3),
    )
    together = ends_of(Dating(cases, {}, dates, {}), ["a", "b"], ["c", "d"])
    for case in range(3):
        alone = open_window(
            Dating(TRACES, {}, {name: columns[case] for name, columns in dates.items()}, {}),
            ["a", "b"],
            ["c", "d"],
        )
        assert np.array_equal(together.opens[case], alone.opens)
        assert np.array_equal(together.closes[case], alone.closes)
        assert together.given[case] == pytest.approx(alone.chance_given)
        assert together.opens_odds.by(0.5)[case] == alone.opens_odds.by(0.5)
        assert together.open_on(250)[case] == pytest.approx(alone.chance_open(TRACES.date_of(250)))


def test_what_is_usual_is_the_middle_of_whole_past_seasons() -> None:
    seen = view(NAGANO, dt.date(2021, 2, 10))
    kind = load_catalogue().find("Acer palmatum")
    window = next(one for one in kind.windows if one.job == "repotting")
    prospect = Prospect(seen, kind)
    usual, past = assess(prospect, window).usual, prospect.past_opening(window)
    for found, columns in ((usual.opens_p50, past.opens), (usual.closes_p50, past.closes)):
        assert seen.season().column(found) == pytest.approx(np.median(columns), abs=1)
    assert usual.years == len(seen.past)
