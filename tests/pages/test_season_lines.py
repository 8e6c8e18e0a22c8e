"""A season's sum over every past one: heights are sums, places are dates."""

from __future__ import annotations

import re
from dataclasses import replace
from itertools import pairwise

import pytest
from hypothesis import given
from hypothesis import strategies as st

from season_engine.delivery import pictures
from season_engine.pages.pictures.season_lines import FOOT, TOP, season_lines
from season_engine.report.season_sums import FEWEST_DAYS, PastSum, SeasonSum
from season_engine.words.season import sum_line
from tests.factories import AS_OF, a_sum, days


def numbers(path: str) -> list[float]:
    return [float(n) for n in re.findall(r"-?\d+(?:\.\d+)?", path)]


def test_the_line_of_this_season_ends_where_its_readings_end():
    drawing = season_lines(a_sum(), AS_OF)
    assert drawing is not None and drawing.last is not None
    assert numbers(drawing.so_far)[-2:] == list(drawing.last)
    assert drawing.today is not None
    day_before_today = drawing.today - drawing.last[0]
    assert day_before_today == pytest.approx((drawing.right - drawing.left) / 364, abs=0.11)


def test_today_is_not_marked_on_a_season_that_is_over():
    drawing = season_lines(a_sum(), AS_OF + days(400))
    assert drawing is not None and drawing.today is None


def test_every_past_season_has_its_line_and_the_nearest_its_name():
    drawing = season_lines(a_sum(), AS_OF)
    assert drawing is not None
    assert len(drawing.past) == 4 and drawing.nearest
    assert [(line.kind, line.words) for line in drawing.key] == [
        ("this", "this season"),
        ("nearest", "most like 2022/23"),
        ("past", "every past season"),
    ]
    assert drawing.alt == "So far it is most like 2022/23."
    for path in (*drawing.past, drawing.nearest):
        assert all(later <= earlier for earlier, later in pairwise(numbers(path)[1::2]))


def test_a_larger_sum_stands_higher():
    drawing = season_lines(a_sum("chill", 62, "chill portions"), AS_OF)
    assert drawing is not None
    ends = [numbers(path)[-1] for path in drawing.past]
    assert ends == sorted(ends, reverse=True), "as the past seasons' totals are in order"
    assert [tick.label for tick in drawing.amounts] == ["0", "20", "40", "60"]
    assert [tick.label for tick in drawing.months][:3] == ["Apr", "May", "Jun"]


def test_the_nearest_season_has_the_least_mean_difference_over_the_days_so_far():
    """Worked by hand: after 30 days 'late' is the same to the day, though it ends far off."""
    dates = tuple(AS_OF + days(n) for n in range(60))
    so_far = tuple(float(n) for n in range(30))
    late = PastSum("late", (*so_far, *(900.0,) * 30))
    near = PastSum("near", tuple(n + 1.0 for n in range(60)))
    line = (0.0,) * 60
    s = SeasonSum("heat", "GDD", dates, so_far, line, line, line, (near, late))
    assert s.nearest is late
    assert replace(s, past=(near,)).nearest is near
    assert replace(s, so_far=so_far[: FEWEST_DAYS - 1]).nearest is None, "too soon to tell"
    assert replace(s, so_far=(0.0,) * 30).nearest is None, "nothing has been counted yet"
    assert replace(s, past=()).nearest is None


def test_a_season_without_readings_or_warmth_is_still_drawn():
    none = (0.0, 0.0)
    empty = season_lines(SeasonSum("heat", "GDD", (AS_OF, AS_OF + days(1)), (), none, none, none), AS_OF)
    assert empty is not None
    assert (empty.so_far, empty.last, empty.nearest) == ("", None, "")


@given(st.integers(0, 364), st.lists(st.floats(0, 5000), min_size=0, max_size=5))
def test_nothing_is_drawn_outside(passed, totals):
    s = a_sum()
    share = [n / 364 for n in range(365)]
    past = tuple(PastSum(f"{n}", tuple(total * x for x in share)) for n, total in enumerate(totals))
    so_far = tuple(3000 * x for x in share[:passed])
    drawing = season_lines(replace(s, past=past, so_far=so_far), s.days[0] + days(passed))
    assert drawing is not None
    for path in (*drawing.past, drawing.nearest, drawing.so_far):
        assert all(drawing.left <= x <= drawing.right for x in numbers(path)[::2])
        assert all(TOP <= y <= FOOT for y in numbers(path)[1::2])
    assert all(TOP <= one.y <= FOOT for one in drawing.key)
    assert TOP <= drawing.today_top < FOOT


def test_the_same_sum_gives_the_same_bytes():
    line = sum_line(a_sum(), AS_OF)
    made = pictures._drawings()
    assert str(made.season_sum(line, AS_OF)) == str(made.season_sum(line, AS_OF))
