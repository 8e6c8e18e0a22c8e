"""A season's sum against past ones: heights are sums, places are dates."""

from __future__ import annotations

import re
from itertools import pairwise

import pytest

from season_engine.pages.pictures.bands import sum_chart
from season_engine.report.season_sums import SeasonSum
from tests.factories import AS_OF, a_sum, days


def _numbers(path: str) -> list[float]:
    return [float(n) for n in re.findall(r"-?\d+(?:\.\d+)?", path)]


def test_the_line_of_this_season_ends_where_its_readings_end():
    s = a_sum()
    drawing = sum_chart(s, AS_OF)
    assert drawing is not None and drawing.last is not None
    assert _numbers(drawing.so_far)[-2:] == list(drawing.last)
    assert drawing.today is not None
    day_before_today = drawing.today - drawing.last[0]
    assert day_before_today == pytest.approx((drawing.right - drawing.left) / 364, abs=0.11)


def test_today_is_not_marked_on_a_season_that_is_over():
    assert sum_chart(a_sum(), AS_OF + days(400)).today is None


def test_a_larger_sum_stands_higher():
    drawing = sum_chart(a_sum("chill", 62, "chill portions"), AS_OF)
    assert drawing is not None
    heights = _numbers(drawing.middle)[1::2]
    assert all(later <= earlier for earlier, later in pairwise(heights))
    assert [tick.label for tick in drawing.amounts] == ["0", "20", "40", "60"]


def test_a_season_without_readings_or_warmth_is_still_drawn():
    none = (0.0, 0.0)
    empty = sum_chart(SeasonSum("heat", "GDD", (AS_OF, AS_OF + days(1)), (), none, none, none), AS_OF)
    assert empty is not None
    assert empty.so_far == ""
    assert empty.last is None
