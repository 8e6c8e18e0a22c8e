from __future__ import annotations

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st

from season_engine.measures.degree_days import area_above, degree_days_by, degree_days_from_curve
from season_engine.measures.heat import growing_degree_days

CURVES, SPANS = ("triangle", "sine"), ("whole_day", "two_half_days")
ABOVE_UPPER = ("stops", "folded_back", "held_level")

# Zalom et al. (1983), Degree-days, Table 7, degF, lower threshold 55, upper 90, horizontal cutoff (read in a
# secondary copy, the test data of the R package degday): Tmin, Tmax, next Tmin; single triangle, double
# triangle, single sine, double sine. One printed entry is a known misprint, left out: 24.88 for the double
# triangle of 60, 100, 75, where the area itself comes to 27.12.
MISPRINT = None
ZALOM = [
    ((96, 110, 91), (35, 35, 35, 35)),
    ((91, 105, 96), (35, 35, 35, 35)),
    ((45, 54, 38), (0, 0, 0, 0)),
    ((38, 50, 45), (0, 0, 0, 0)),
    ((60, 80, 75), (15, 18.75, 15, 18.75)),
    ((75, 88, 60), (26.5, 22.75, 26.5, 22.75)),
    ((50, 82, 45), (11.39, 10.62, 11.85, 11.31)),
    ((45, 70, 50), (4.5, 5.06, 5.31, 5.70)),
    ((60, 100, 75), (23.75, MISPRINT, 22.82, 26.26)),
    ((75, 95, 60), (29.38, 25.76, 28.91, 25.30)),
    ((50, 101, 48), (19.56, 19.19, 18.95, 18.69)),
    ((48, 95, 50), (16.76, 17.13, 16.96, 17.23)),
]
METHODS = [(curve, span) for curve in CURVES for span in SPANS]
ENTRIES = [
    (day, *method, printed)
    for day, row in ZALOM
    for method, printed in zip(METHODS, row, strict=True)
    if printed is not MISPRINT
]

temperatures = st.floats(-40, 50)
spreads = st.floats(0, 40)


def test_zaloms_table_is_here_whole_but_for_one_entry():
    assert len(ENTRIES) == 12 * 4 - 1


@pytest.mark.parametrize(("day", "curve", "span", "printed"), ENTRIES)
def test_table_7_of_zalom(day, curve, span, printed):
    tmin, tmax, next_tmin = day
    got = degree_days_from_curve([tmin], [tmax], 55, 90, curve=curve, span=span, next_tmin_c=[next_tmin])
    assert got == pytest.approx(printed, abs=0.0051)


@pytest.mark.parametrize(("day", "curve", "span", "printed"), ENTRIES)
def test_methods_by_their_names_in_the_handbook(day, curve, span, printed):
    tmin, tmax, next_tmin = day
    method = f"{'single' if span == 'whole_day' else 'double'}_{curve}"
    got = degree_days_by(method, [tmin, next_tmin], [tmax, next_tmin], 55, 90)
    assert got[0] == pytest.approx(printed, abs=0.0051)


def test_the_modified_average_is_the_second_reading():
    # McMaster & Wilhelm (1997), method 2, as in test_heat: -2 to 8 degC over a base of 0 gives 4.
    assert degree_days_by("modified_average", [-2.0], [8.0], 0.0) == [4.0]


# Days of two sheets of Michigan State University, base 50 degF: 65/40 and 60/35 from "Calculating growing
# degree days" by J. Nugent, 83/61 and 57/33 from "Understanding growing degree-days" (read in stored copies,
# as in test_heat). The warm part of a cold day counts with a curve where the average gives nothing. Numbers
# are pins of our own run, but for 22.0, where the whole day lies above the base and the curve's mean is the
# average.
@pytest.mark.parametrize(
    ("tmin", "tmax", "expected"), [(40, 65, 5.309), (35, 60, 2.809), (61, 83, 22.0), (33, 57, 1.656)]
)
def test_sine_of_an_extension_handbooks_days(tmin, tmax, expected):
    assert degree_days_from_curve([tmin], [tmax], 50) == pytest.approx(expected, abs=5e-4)


# Pins of our own run for the three cutoffs, 10 and 30 degC. Their definitions: UC IPM, degree-day glossary.
@pytest.mark.parametrize(
    ("tmin", "curve", "held", "folded", "stops"),
    [
        (15, "sine", 13.910, 12.820, 7.243),
        (15, "triangle", 14.375, 13.750, 9.375),
        (5, "sine", 10.0, 9.118, 4.646),
        (5, "triangle", 10.0, 9.583, 6.667),
    ],
)
def test_three_ways_above_the_upper_threshold(tmin, curve, held, folded, stops):
    got = [
        degree_days_from_curve([tmin], [35], 10, 30, curve=curve, above_upper=way)[0]
        for way in ("held_level", "folded_back", "stops")
    ]
    assert got == pytest.approx([held, folded, stops], abs=5e-4)


def by_small_steps(tmin, tmax, next_tmin, lower, upper, curve, span, above_upper):
    """The definition, added up in small steps along the curve."""
    phase = (np.arange(200_000) + 0.5) / 200_000
    height = (1 - np.cos(2 * np.pi * phase)) / 2 if curve == "sine" else 1 - np.abs(2 * phase - 1)
    foot = np.where((phase > 0.5) & (span == "two_half_days"), next_tmin, tmin)
    curve_c = foot + (tmax - foot) * height
    over = {
        "held_level": np.minimum(curve_c, upper),
        "folded_back": np.where(curve_c > upper, 2 * upper - curve_c, curve_c),
        "stops": np.where(curve_c > upper, lower, curve_c),
    }[above_upper]
    return np.maximum(over - lower, 0).mean()


@pytest.mark.parametrize("above_upper", ABOVE_UPPER)
@pytest.mark.parametrize("span", SPANS)
@pytest.mark.parametrize("curve", CURVES)
@pytest.mark.parametrize(
    ("tmin", "tmax", "next_tmin"),
    [(2, 9, 4), (12, 26, 11), (5, 24, 12), (14, 37, 8), (3, 55, 20), (31, 36, 20), (8, 8, 8)],
)
def test_equals_the_area_added_up_in_small_steps(tmin, tmax, next_tmin, curve, span, above_upper):
    got = degree_days_from_curve(
        [tmin], [tmax], 10, 30, curve=curve, span=span, above_upper=above_upper, next_tmin_c=[next_tmin]
    )
    expected = by_small_steps(tmin, tmax, next_tmin, 10, 30, curve, span, above_upper)
    assert got == pytest.approx(expected, abs=2e-4)


@given(temperatures, spreads, temperatures, st.sampled_from(METHODS), st.floats(-5, 15), st.floats(16, 40))
def test_stops_is_least_and_held_level_most(tmin, spread, next_tmin, method, lower, upper):
    curve, span = method
    tmax = max(tmin + spread, next_tmin)
    stops, folded, held = (
        degree_days_from_curve(
            [tmin], [tmax], lower, upper, curve=curve, span=span, above_upper=way, next_tmin_c=[next_tmin]
        )[0]
        for way in ABOVE_UPPER
    )
    assert 0 <= stops <= folded + 1e-9
    assert folded <= held + 1e-9
    assert held <= upper - lower + 1e-9


@given(temperatures, spreads, st.floats(0, 20), st.sampled_from(METHODS), st.sampled_from(ABOVE_UPPER))
def test_warmth_never_lowers_heat_below_the_upper_threshold(tmin, spread, warmer, method, above_upper):
    curve, span = method
    tmax = tmin + spread
    upper = max(tmax + warmer, 10)

    def heat(more):
        return degree_days_from_curve(
            [tmin + more], [tmax + more], 5, upper, curve=curve, span=span, above_upper=above_upper
        )[0]

    assert heat(warmer) >= heat(0) - 1e-9


@given(temperatures, spreads, st.sampled_from(CURVES), st.floats(-5, 15))
def test_a_curve_never_gives_less_than_the_average(tmin, spread, curve, base):
    """It counts the warm part of a day whose mean is too cold; above the base all day they are the same."""
    got = degree_days_from_curve([tmin], [tmin + spread], base, curve=curve)[0]
    average = growing_degree_days(tmin, tmin + spread, base)
    assert got >= average - 1e-9
    if tmin >= base:
        assert got == pytest.approx(average, abs=1e-9)


@given(temperatures, spreads, st.floats(-50, 60), st.sampled_from(CURVES))
def test_what_lies_above_a_level_less_what_lies_below_is_the_mean(tmin, spread, level, curve):
    tmax = tmin + spread
    above = area_above(level, np.array(tmin), np.array(tmax), curve)
    below = area_above(-level, np.array(-tmax), np.array(-tmin), curve)
    assert above - below == pytest.approx((tmin + tmax) / 2 - level, abs=1e-9)


def test_the_next_days_minimum_is_taken_from_the_series():
    tmin, tmax = np.array([[6.0, 9.0, 2.0]]), np.array([[20.0, 21.0, 14.0]])
    got = degree_days_from_curve(tmin, tmax, 10, span="two_half_days")
    given_ = degree_days_from_curve(tmin, tmax, 10, span="two_half_days", next_tmin_c=[[9.0, 2.0, 2.0]])
    np.testing.assert_array_equal(got, given_)


@pytest.mark.parametrize("curve", CURVES)
@pytest.mark.parametrize("above_upper", ABOVE_UPPER)
def test_missing_stays_missing_and_swapped_extremes_are_no_day(curve, above_upper):
    tmin = [5.0, np.nan, 5.0, 12.0, np.nan]
    tmax = [20.0, 20.0, np.nan, 11.0, np.nan]
    got = degree_days_from_curve(tmin, tmax, 10, 25, curve=curve, above_upper=above_upper)
    assert np.isnan(got).tolist() == [False, True, True, True, True]
    halves = degree_days_from_curve([5.0, np.nan], [20.0, 20.0], 10, curve=curve, span="two_half_days")
    assert np.isnan(halves).all()  # the first day comes down to a minimum nobody knows
