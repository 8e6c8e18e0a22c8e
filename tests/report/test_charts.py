"""The drawings' numbers: heights are chances, places are dates."""

from __future__ import annotations

import datetime as dt
import re
from itertools import pairwise

import pytest
from hypothesis import given
from hypothesis import strategies as st

from season_engine.report import charts
from season_engine.report.contents import SeasonSum
from season_engine.windows.assessment import WeekChance

from .factories import AS_OF, a_sum, an_assessment, days


def _numbers(path: str) -> list[float]:
    return [float(n) for n in re.findall(r"-?\d+(?:\.\d+)?(?:e-?\d+)?", path)]


def _heights(path: str) -> list[float]:
    return _numbers(path)[1::2]


def _weeks(chances: list[float]) -> list[WeekChance]:
    return [WeekChance(AS_OF + days(7 * i), chance, 0.0) for i, chance in enumerate(chances)]


def test_a_certain_week_fills_the_height_and_a_half_chance_half_of_it():
    drawing = charts.ribbon(_weeks([0.0, 1.0, 0.5]), AS_OF)
    assert drawing is not None
    assert min(_heights(drawing.chance)) == charts.RIBBON_MIDDLE - charts.RIBBON_HALF
    assert max(_heights(drawing.chance)) == charts.RIBBON_MIDDLE + charts.RIBBON_HALF
    half = charts.ribbon(_weeks([0.0, 0.5, 0.0]), AS_OF)
    assert half is not None
    assert min(_heights(half.chance)) == charts.RIBBON_MIDDLE - charts.RIBBON_HALF / 2
    assert half.usual == "", "nothing is drawn where there is no chance"


@given(st.lists(st.floats(0, 1), min_size=2, max_size=19))
def test_the_curve_never_leaves_the_span_of_the_two_weeks_it_joins(chances):
    points = [(10.0 * i, 26.0 * chance) for i, chance in enumerate(chances)]
    path = charts.leaf_path(points)
    if not path:
        assert not any(chances)
        return
    upper = path.split("L")[0].removeprefix("M")
    start, *pieces = upper.split("C")
    before = _numbers(start)
    for piece in pieces:
        x1, y1, x2, y2, x, y = _numbers(piece)
        assert before[0] - 0.06 <= x1 <= x + 0.06
        assert before[0] - 0.06 <= x2 <= x + 0.06
        low, high = sorted((before[1], y))
        assert low - 0.11 <= min(y1, y2) <= max(y1, y2) <= high + 0.11
        before = [x, y]


@given(st.lists(st.floats(allow_nan=True), min_size=2, max_size=60))
def test_any_number_gives_a_path_of_numbers_inside_the_drawing(chances):
    drawing = charts.ribbon(_weeks(chances), AS_OF)
    assert drawing is not None
    assert not re.search("nan|inf", drawing.chance)
    assert all(0 <= height <= charts.RIBBON_HEIGHT for height in _heights(drawing.chance))
    assert all(0 <= x <= charts.WIDTH for x in _numbers(drawing.chance)[::2])


def test_only_the_weeks_around_today_are_drawn():
    season = an_assessment().weeks
    drawing = charts.ribbon(season, AS_OF)
    assert drawing is not None
    shown = [w for w in season if AS_OF - days(63) <= w.date <= AS_OF + days(133)]
    assert drawing.chance.count("C") == 2 * (len(shown) - 1)
    assert charts.ribbon(season[:1], AS_OF) is None
    assert charts.ribbon((), AS_OF) is None


def test_ticks_stand_on_the_mondays_of_their_iso_weeks():
    first, last = dt.date(2026, 10, 1), dt.date(2027, 3, 31)
    scale = charts.Scale(first.toordinal(), last.toordinal(), 0.0, (last - first).days)
    ticks = charts.week_ticks(first, last, scale, every=4)
    assert [tick.label for tick in ticks] == ["44", "48", "52", "4", "8", "12"]
    for tick, year in zip(ticks, (2026, 2026, 2026, 2027, 2027, 2027), strict=True):
        week = int(tick.label.split()[-1])
        assert first + days(round(tick.at)) == dt.date.fromisocalendar(year, week, 1)


def test_the_line_of_this_season_ends_where_its_readings_end():
    s = a_sum()
    drawing = charts.sum_chart(s, AS_OF)
    assert drawing is not None and drawing.last is not None
    assert _numbers(drawing.so_far)[-2:] == list(drawing.last)
    assert drawing.today is not None
    day_before_today = drawing.today - drawing.last[0]
    assert day_before_today == pytest.approx((drawing.right - drawing.left) / 364, abs=0.11)


def test_today_is_not_marked_on_a_season_that_is_over():
    assert charts.sum_chart(a_sum(), AS_OF + days(400)).today is None


def test_a_larger_sum_stands_higher():
    drawing = charts.sum_chart(a_sum("chill", 62, "chill portions"), AS_OF)
    assert drawing is not None
    heights = _heights(drawing.middle)
    assert all(later <= earlier for earlier, later in pairwise(heights))
    assert [tick.label for tick in drawing.amounts] == ["0", "25", "50"]


def test_a_season_without_readings_or_warmth_is_still_drawn():
    none = (0.0, 0.0)
    empty = charts.sum_chart(SeasonSum("heat", "GDD", (AS_OF, AS_OF + days(1)), (), none, none, none), AS_OF)
    assert empty is not None
    assert empty.so_far == ""
    assert empty.last is None


@given(st.floats(1e-6, 1e7))
def test_round_steps_are_few_and_reach_no_further_than_the_top(top):
    steps = charts.round_steps(top)
    assert steps[0] == 0
    assert 2 <= len(steps) <= 4
    assert steps[-1] <= top * 1.00001
