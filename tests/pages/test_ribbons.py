"""Ribbons: heights are chances, places are dates, and all stand on one axis."""

from __future__ import annotations

import re
from dataclasses import replace

from hypothesis import given
from hypothesis import strategies as st

from season_engine.pages.pictures import ribbons
from season_engine.pages.pictures.charts import WIDTH
from season_engine.report.contents import under
from season_engine.windows.assessment import WeekChance
from season_engine.words.window_card import Card, cards
from tests.factories import AS_OF, a_site_report, an_assessment, days


def _numbers(path: str) -> list[float]:
    return [float(n) for n in re.findall(r"-?\d+(?:\.\d+)?(?:e-?\d+)?", path)]


def _heights(path: str) -> list[float]:
    return _numbers(path)[1::2]


def _card(weeks: tuple[WeekChance, ...]) -> Card:
    site = a_site_report()
    (card,) = cards(site, [an_assessment(weeks=weeks)])
    return card


def _ribbon(chances: list[float], usual: float = 0.0) -> ribbons.Ribbon:
    weeks = tuple(WeekChance(AS_OF + days(7 * i), chance, usual) for i, chance in enumerate(chances))
    drawing = ribbons.strip([_card(weeks)], AS_OF)
    assert drawing is not None
    return drawing.ribbons[0]


def test_a_certain_week_fills_the_height_and_a_half_chance_half_of_it():
    drawn = _ribbon([0.0, 1.0, 0.5])
    assert min(_heights(drawn.chance)) == ribbons.MIDDLE - ribbons.HALF
    assert max(_heights(drawn.chance)) == ribbons.MIDDLE + ribbons.HALF
    half = _ribbon([0.0, 0.5, 0.0])
    assert min(_heights(half.chance)) == ribbons.MIDDLE - ribbons.HALF / 2
    assert half.usual == "", "nothing is drawn where there is no chance"


def test_weeks_without_a_chance_at_either_end_are_left_out():
    assert _ribbon([0, 0, 0, 1, 0, 0, 0]).chance == _ribbon([0, 0, 0, 1, 0]).chance


@given(st.lists(st.floats(0, 1), min_size=2, max_size=19))
def test_the_curve_never_leaves_the_span_of_the_two_weeks_it_joins(chances):
    path = ribbons.leaf_path([(10.0 * i, 26.0 * chance) for i, chance in enumerate(chances)])
    if not path:
        assert not any(chances)
        return
    start, *pieces = path.split("L")[0].removeprefix("M").split("C")
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
    drawn = _ribbon(chances)
    assert not re.search("nan|inf", drawn.chance)
    assert all(0 <= height <= ribbons.ROW for height in _heights(drawn.chance))
    assert all(0 <= x <= WIDTH for x in _numbers(drawn.chance)[::2])


def test_only_the_weeks_around_today_are_drawn():
    always = tuple(replace(week, chance=1.0) for week in an_assessment().weeks)
    drawing = ribbons.strip([_card(always)], AS_OF)
    assert drawing is not None
    shown = [w for w in always if AS_OF - days(63) <= w.date <= AS_OF + days(133)]
    assert drawing.ribbons[0].chance.count("C") == 2 * (len(shown) - 1)
    assert ribbons.strip([_card(always[:1])], AS_OF) is None
    assert ribbons.strip([_card(())], AS_OF) is None


def test_ribbons_stand_one_below_the_other_with_their_words_between():
    site = a_site_report()
    both = cards(site, under("now", site.windows) + under("soon", site.windows))
    drawing = ribbons.strip(both, AS_OF)
    assert drawing is not None
    assert len(drawing.ribbons) == len(both) == 4
    bottoms = [drawing.head, *(ribbon.top + drawing.row for ribbon in drawing.ribbons)]
    for bottom, ribbon in zip(bottoms, drawing.ribbons, strict=False):
        assert ribbon.top - bottom >= ribbons.LINE * (len(ribbon.label) + 1)
    assert drawing.height == bottoms[-1] + drawing.foot
    assert "Japanese maple, repotting (spring): Closes about Sun 6 Sep" in drawing.alt
    assert "Chinese elm, repotting (spring): Opens about Mon 17 Aug" in drawing.alt


def test_a_long_name_is_cut_to_two_lines():
    (card,) = cards(a_site_report(), [an_assessment(common_name="Longbarrow maple " * 20)])
    drawing = ribbons.strip([card], AS_OF)
    assert drawing is not None
    assert len(drawing.ribbons[0].label) == 2
    assert all(len(line) <= ribbons.LETTERS for line in drawing.ribbons[0].label)
    assert drawing.ribbons[0].label[1].endswith("…")
