"""The days ahead: warmer is higher, floors stand at their levels, and what is drawn is said."""

from __future__ import annotations

import re

from hypothesis import given
from hypothesis import strategies as st

from season_engine.advice.first_screen import FirstScreen
from season_engine.delivery import pictures
from season_engine.pages.pictures.days_ahead import FOOT, LABEL, NEAR_C, TOP, days_ahead_drawing
from season_engine.report.days_ahead import DayAhead, Spread
from season_engine.words.days_ahead import Floor, days_ahead_words, floors_of
from season_engine.words.speech import speaking
from tests.factories import AS_OF, a_site_report, days, some_days_ahead

FREEZING = Floor("freezing", 0.0)
TENDER = Floor("the fig's leaves", -2.0)


def numbers(path: str) -> list[float]:
    return [float(n) for n in re.findall(r"-?\d+(?:\.\d+)?", path)]


def test_each_day_stands_on_the_axis_with_its_month_named_once():
    drawing = days_ahead_drawing(some_days_ahead(), (), AS_OF)
    assert drawing is not None
    assert [tick.label for tick in drawing.dates] == [str(n) for n in range(12, 22)]
    assert [tick.label for tick in drawing.months] == ["Aug"]
    later = days_ahead_drawing(
        [DayAhead(AS_OF + days(n), Spread(1, 2, 3), Spread(4, 5, 6), False) for n in range(17, 24)], (), AS_OF
    )
    assert later is not None
    assert [(tick.at, tick.label) for tick in later.months] == [
        (later.dates[0].at, "Aug"),
        (later.dates[4].at, "Sep"),
    ]


def test_the_middle_lies_within_its_band_and_nights_below_days():
    drawing = days_ahead_drawing(some_days_ahead(), (FREEZING,), AS_OF)
    assert drawing is not None
    for fan in (drawing.nights, drawing.days):
        ys = numbers(fan.band)[1::2]
        highs, lows = ys[:10], ys[10:][::-1]
        assert all(high < y < low for high, (_, y), low in zip(highs, fan.points, lows, strict=True))
    assert all(
        night > day for (_, night), (_, day) in zip(drawing.nights.points, drawing.days.points, strict=True)
    )


def test_a_floor_is_drawn_at_its_level_with_its_words():
    drawing = days_ahead_drawing(some_days_ahead(), (FREEZING, TENDER), AS_OF)
    assert drawing is not None
    freezing, tender = drawing.floors
    (zero,) = (tick.at for tick in drawing.degrees if tick.label == "0 °C")
    assert freezing.y == zero < tender.y
    assert (freezing.label, tender.label) == ("0 °C, freezing", "-2 °C, the fig's leaves")
    assert (freezing.degrees, tender.degrees) == ("0 °C", "-2 °C")
    assert freezing.label_y < tender.label_y, "the key goes from the warmest down"
    near = days_ahead_drawing(some_days_ahead(), (FREEZING, Floor("roots", -0.1)), AS_OF)
    assert near is not None
    first, second = near.floors
    assert second.degrees_y - first.degrees_y >= LABEL - 1, "nor does one lie upon the other"


def test_a_floor_far_from_the_coldest_night_is_left_out_but_said():
    far = Floor("roots", -7.0 - NEAR_C)
    drawing = days_ahead_drawing(some_days_ahead(), (FREEZING, far), AS_OF)
    assert drawing is not None
    assert [floor.label for floor in drawing.floors] == ["0 °C, freezing"]
    assert "-13 °C (roots): no night is likely to reach it." in drawing.alt


def test_what_it_shows_is_said():
    assert days_ahead_words(some_days_ahead(4), (FREEZING, Floor("fig", -3.0)), AS_OF) == (
        "Coldest night about -2 °C, Sat 15 Aug; warmest day about 11 °C, Wed 12 Aug. "
        "0 °C (freezing): any night may reach it. "
        "-3 °C (fig): the night of 14 Aug or 15 Aug may reach it."
    )
    drawing = days_ahead_drawing(some_days_ahead(), (), AS_OF)
    assert drawing is not None
    assert drawing.alt.startswith("As forecast where there is a forecast, else as past years had them.")
    assert days_ahead_words((), (FREEZING,), AS_OF) == ""


def test_degrees_are_round_in_the_units_of_the_workspace():
    with speaking("en", "degF"):
        drawing = days_ahead_drawing(some_days_ahead(), (FREEZING,), AS_OF)
    assert drawing is not None
    assert [tick.label for tick in drawing.degrees] == ["20 °F", "30 °F", "40 °F", "50 °F", "60 °F"]
    assert drawing.floors[0].label == "32 °F, freezing"


def test_a_yard_tells_of_freezing_of_what_hurts_a_tree_worked_now_and_of_trees_that_stand_in_danger():
    mild = FirstScreen()
    assert floors_of(a_site_report(first=mild)) == (Floor("freezing", 0.0), Floor("harm after work", -2.0))
    assert floors_of(a_site_report(first=mild, frost=())) == (Floor("freezing", 0.0),)
    assert floors_of(a_site_report()) == (Floor("freezing", 0.0), Floor("P2", -2.0))


@st.composite
def some_days(draw: st.DrawFn) -> list[DayAhead]:
    def spread() -> Spread:
        return Spread(*sorted(draw(st.lists(st.floats(-40, 45), min_size=3, max_size=3))))

    return [DayAhead(AS_OF + days(n), spread(), spread(), False) for n in range(draw(st.integers(2, 12)))]


@given(some_days(), st.lists(st.floats(-50, 50), max_size=4), st.sampled_from(["degC", "degF"]))
def test_nothing_is_drawn_outside(some, levels, units):
    with speaking("en", units):
        drawing = days_ahead_drawing(some, [Floor("level", level) for level in levels], AS_OF)
    assert drawing is not None
    for fan in (drawing.nights, drawing.days):
        places = numbers(fan.band)
        assert all(drawing.left <= x <= drawing.right for x in places[::2])
        assert all(TOP <= y <= FOOT for y in places[1::2])
    assert all(TOP <= floor.y <= FOOT for floor in drawing.floors)
    assert all(TOP - 0.1 <= tick.at <= FOOT + 0.1 for tick in drawing.degrees)
    _, _, _, height = numbers(drawing.view_box)
    assert all(floor.label_y < height for floor in drawing.floors) and drawing.key_y < height


def test_one_day_is_no_drawing_and_the_same_days_give_the_same_bytes():
    assert days_ahead_drawing(some_days_ahead(1), (), AS_OF) is None
    made = pictures._drawings()
    one, other = (str(made.ahead(some_days_ahead(), (TENDER,), AS_OF)) for _ in range(2))
    assert one == other and "the fig&#39;s leaves" in one
