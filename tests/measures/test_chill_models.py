from __future__ import annotations

import math

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st

from season_engine.measures import chill
from season_engine.measures.chill_days import (
    cesaraccio_chill_days,
    haenninen_units,
    legave_units,
    triangle,
)
from season_engine.measures.chill_models import CHILL_MODELS
from season_engine.measures.degree_days import degree_days_from_curve
from season_engine.measures.soft_response import heat_needed_after_chill

temperatures = st.floats(-40, 45)

# Edges and units of each class model, as the R package dormancyR has them (read there; the papers themselves
# are cited in the docstrings). Each class holds its upper edge: edge, units up to it, units beyond.
IN_CLASSES = [
    (
        chill.positive_utah_units,
        [(1.4, 0, 0.5), (2.4, 0.5, 1), (9.1, 1, 0.5), (12.4, 0.5, 0), (15.9, 0, 0), (18.0, 0, 0)],
    ),
    (
        chill.north_carolina_units,
        [
            *[(-1.1, 0, 0.5), (1.6, 0.5, 1), (7.2, 1, 0.5), (13.0, 0.5, 0), (16.5, 0, -0.5)],
            *[(19.0, -0.5, -1), (20.7, -1, -1.5), (22.1, -1.5, -2), (23.3, -2, -2)],
        ],
    ),
    (
        chill.low_chill_units,
        [
            *[(1.0, 0, 0.5), (1.8, 0.5, 1), (7.9, 1, 0.5), (13.9, 0.5, 0)],
            *[(16.9, 0, -0.5), (19.4, -0.5, -1), (21.5, -1, -1)],
        ],
    ),
]
EDGES = [(model, *edge) for model, edges in IN_CLASSES for edge in edges]


@pytest.mark.parametrize(("model", "edge", "at_edge", "beyond"), EDGES)
def test_class_models_on_both_sides_of_each_edge(model, edge, at_edge, beyond):
    assert model(math.nextafter(edge, -math.inf)) == model(edge) == at_edge
    assert model(math.nextafter(edge, math.inf)) == beyond


@given(temperatures)
def test_positive_utah_zeroes_negative_hours_and_nothing_else(temperature):
    assert chill.positive_utah_units(temperature) == max(chill.utah_units(temperature), 0)


def test_zeroing_negative_hours_is_not_zeroing_negative_days():
    """The first is the model of Linsley-Noakes & Allan (1994); xclim's option does the second."""
    day = np.repeat([5.0, 20.0], [10, 14])
    assert chill.positive_utah_units(day).sum() == 10
    assert max(chill.utah_units(day).sum(), 0) == 0


# sin(2 pi T / 28) between 0 and 21 degC, 0 below, -1 above (dormancyR): so 1 at 7, 0 at 14.
@pytest.mark.parametrize(
    ("temperature", "units"),
    [(-5, 0), (0, 0), (3.5, math.sqrt(0.5)), (7, 1), (14, 0), (17.5, -math.sqrt(0.5)), (21, -1), (35, -1)],
)
def test_smooth_utah_units(temperature, units):
    assert chill.smooth_utah_units(temperature) == pytest.approx(units, abs=1e-12)


# Hänninen (1990) as in dormancyR: 0.159 T + 0.506 from -3.4 to 3.5 degC, -0.159 T + 1.621 to 10.4, else 0.
@pytest.mark.parametrize(
    ("mean", "units"),
    [(-3.5, 0), (0, 0.506), (3.5, 1.0625), (3.6, 1.0486), (10, 0.031), (10.4, 0), (10.5, 0), (-20, 0)],
)
def test_haenninens_triangle(mean, units):
    assert haenninen_units(mean) == pytest.approx(units, abs=1e-9)


# Legave et al. (2008) as in dormancyR: 1 - |T - 1| / 24.
@pytest.mark.parametrize(("mean", "units"), [(1, 1), (-23, 0), (25, 0), (13, 0.5), (-11, 0.5), (30, 0)])
def test_legaves_triangle(mean, units):
    assert legave_units(mean) == pytest.approx(units, abs=1e-12)


@given(temperatures)
def test_a_triangle_is_highest_at_its_best(mean):
    assert 0 <= triangle(mean, -4, 4, 12) <= triangle(4, -4, 4, 12) == 1


# Pins of our own run of the closed form, single triangle, threshold 7: Tmin, Tmax; chill and anti-chill days.
@pytest.mark.parametrize(
    ("tmin", "tmax", "chill_days", "anti_chill_days"),
    [(2, 12, -3.75, 1.25), (-4, 6, -1.8, 0), (-4, 10, -3.25, 0.3214), (8, 16, 0, 5)],
)
def test_chill_days(tmin, tmax, chill_days, anti_chill_days):
    got = cesaraccio_chill_days([tmin], [tmax], 7.0)
    assert got.chill == pytest.approx(chill_days, abs=5e-5)
    assert got.anti_chill == pytest.approx(anti_chill_days, abs=5e-5)


@given(st.floats(-20, 30), st.floats(0.01, 30), st.floats(5, 9))
def test_chill_days_as_the_cases_of_the_paper(tmin, spread, threshold):
    """Cesaraccio et al. (2004), the five cases as dormancyR writes them out."""
    tmax = tmin + spread
    mean = (tmin + tmax) / 2
    beyond = (tmax - threshold) ** 2 / (2 * spread)
    if tmax <= 0 or tmin >= threshold:
        expected = 0.0
    elif tmin >= 0:
        expected = mean - tmin - (beyond if tmax > threshold else 0)
    else:
        expected = tmax**2 / (2 * spread) - (beyond if tmax > threshold else 0)
    assert -cesaraccio_chill_days([tmin], [tmax], threshold).chill[0] == pytest.approx(expected, abs=1e-8)


@given(temperatures, st.floats(0, 30))
def test_anti_chill_days_are_degree_days(tmin, spread):
    got = cesaraccio_chill_days([tmin], [tmin + spread], 7.0).anti_chill
    assert got == pytest.approx(degree_days_from_curve([tmin], [tmin + spread], 7.0, curve="triangle"))


def test_missing_days_stay_missing():
    assert np.isnan(haenninen_units([np.nan, 3])).tolist() == [True, False]
    assert np.isnan(legave_units([np.nan, 3])).tolist() == [True, False]
    for tmin, tmax in ((np.nan, 9.0), (np.nan, -2.0), (1.0, np.nan)):
        assert np.isnan(cesaraccio_chill_days([tmin], [tmax])).all()


# Pins of our own run: the curve for Picea sitchensis, 67.4 + 4401.8 exp(-0.042 C), its numbers from memory.
@pytest.mark.parametrize(("chill_days", "heat"), [(60, 421.6), (100, 133.4), (140, 79.7)])
def test_heat_needed_falls_with_chill(chill_days, heat):
    assert heat_needed_after_chill(chill_days, 67.4, 4401.8, 0.042) == pytest.approx(heat, abs=0.05)


def test_models_are_listed_by_year_under_author_and_year():
    years = [model.year for model in CHILL_MODELS.values()]
    assert years == sorted(years)
    for key, model in CHILL_MODELS.items():
        assert key == model.key
        assert key.endswith(f"_{model.year}")
        assert f"({model.year})" in model.source


def whole_winter(model, temperature):
    if model.needs == "daily extremes":
        return -model.increments(np.full(100, temperature - 1e-6), np.full(100, temperature + 1e-6)).sum()
    return model.increments(np.full(2400, float(temperature))).sum()


@pytest.mark.parametrize("model", [m for m in CHILL_MODELS.values() if m.needs != "daily extremes"])
def test_each_model_chills_within_its_range_and_not_beyond(model):
    low, high = model.chills_between_c
    inside = [whole_winter(model, t) for t in np.linspace(low, high, 101)]
    assert max(inside) > 0
    for outside in (low - 0.1, low - 8, high + 0.1, high + 8):
        assert whole_winter(model, outside) <= 0.01 * max(inside), outside


def test_every_model_gives_one_number_a_step():
    steps = np.array([[3.0, 6.0], [9.0, np.nan]])
    for model in CHILL_MODELS.values():
        arguments = (steps - 2, steps + 2) if model.needs == "daily extremes" else (steps,)
        units = model.increments(*arguments)
        assert units.shape == steps.shape, model.key
        assert np.isnan(units).tolist() == [[False, False], [False, True]], model.key
