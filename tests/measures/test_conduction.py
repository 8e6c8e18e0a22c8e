"""Lags of a cylinder against the periodic solutions of textbooks, their limits and printed roots."""

from __future__ import annotations

import numpy as np
import pytest
from scipy.special import iv, jv

from season_engine.measures.conduction import Lags, bessel_j, cylinder_modes, lags_of_middle, slab_modes
from season_engine.pot import MIXES, Pot

DAY = 2 * np.pi / 86400
DIFFUSIVITY = MIXES["moist"].conductivity_w_m_k / MIXES["moist"].capacity_j_m3_k


def wave(share: np.ndarray, rate: np.ndarray, speed: float = DAY) -> complex:
    """Height and delay of a wave after lags side by side, rates a second; what is left over has no lag."""
    return complex((share * rate / (rate + 1j * speed)).sum() + 1 - share.sum())


def test_bessel_functions_as_in_scipy() -> None:
    x = np.linspace(0, 80, 333)
    for order in (0, 1):
        np.testing.assert_allclose(bessel_j(order, x), jv(order, x), atol=1e-13)


# First roots and shares as heat-transfer textbooks print them for bodies that cool, from memory.
@pytest.mark.parametrize(
    ("biot", "slab", "cylinder"),
    [
        (0.1, (0.3111, 1.0161), (0.4417, 1.0246)),
        (1.0, (0.8603, 1.1191), (1.2558, 1.2071)),
        (10.0, (1.4289, 1.2620), (2.1795, 1.5677)),
    ],
)
def test_first_roots_as_printed(biot, slab, cylinder) -> None:
    share, root = slab_modes(biot)
    assert root[0] == pytest.approx(slab[0], abs=6e-5)
    assert share[0] == pytest.approx(slab[1] * np.cos(slab[0] / 2), abs=1e-4)
    share, root = cylinder_modes(biot)
    assert root[0] == pytest.approx(cylinder[0], abs=6e-5)
    assert share[0] == pytest.approx(cylinder[1], abs=1e-4)


@pytest.mark.parametrize("biot", [0.01, 0.5, 3.0, 8.0, 40.0, 1e6])
@pytest.mark.parametrize("across", [0.03, 0.1, 0.2, 0.43])
def test_a_cylinder_and_a_slab_in_a_daily_wave(biot, across) -> None:
    """``1 / (I0(z) + z I1(z) / Bi)``, ``cosh(z/2) / (cosh z + z sinh z / Bi)``; ``z = R sqrt(i w / a)``."""
    z = across * np.sqrt(1j * DAY / DIFFUSIVITY)
    share, root = cylinder_modes(biot)
    found = wave(share, DIFFUSIVITY * (root / across) ** 2)
    assert found == pytest.approx(1 / (iv(0, z) + z * iv(1, z) / biot), abs=2e-3)
    share, root = slab_modes(biot)
    found = wave(share, DIFFUSIVITY * (root / across) ** 2)
    assert found == pytest.approx(np.cosh(z / 2) / (np.cosh(z) + z * np.sinh(z) / biot), abs=2e-3)


def test_a_body_that_conducts_well_is_one_lag() -> None:
    """Biot to 0: a lump, its time constant heat capacity over exchange, C R / (2 h) for a long cylinder."""
    share, root = cylinder_modes(1e-4)
    assert share[0] == pytest.approx(1, abs=1e-3)
    assert root[0] ** 2 == pytest.approx(2 * 1e-4, rel=1e-3)
    pot = Pot(0.2, 0.3, mix=MIXES["moist"]._replace(conductivity_w_m_k=1e4))
    lags = lags_of_middle(pot)
    area = np.pi * 0.2 * 0.3 * pot.side_w_m2_k + np.pi / 4 * 0.2**2 * pot.top_w_m2_k
    capacity = np.pi / 4 * 0.2**2 * 0.3 * pot.mix.capacity_j_m3_k
    assert lags.share[0] == pytest.approx(1, abs=1e-3)
    assert lags.rate_per_h[0] == pytest.approx(area / capacity * 3600, rel=1e-3)


def test_deep_below_a_wide_surface_a_wave_dies_away_by_depth() -> None:
    """Half space: ``exp(-z sqrt(w / 2a))``, and as late in radians as it is low in powers of e."""
    depth = 2 / np.sqrt(DAY / 2 / DIFFUSIVITY)
    share, root = slab_modes(1e7)
    found = wave(share, DIFFUSIVITY * (root / (2 * depth)) ** 2)
    assert abs(found) == pytest.approx(np.exp(-2), rel=0.03)
    assert -np.angle(found) == pytest.approx(2, rel=0.03)


def test_lags_add_up_and_one_of_them_is_none() -> None:
    for litres in (0.05, 1, 60, 500):
        lags = lags_of_middle(Pot.of_litres(litres))
        assert isinstance(lags, Lags)
        assert lags.share.sum() == pytest.approx(1) and np.isinf(lags.rate_per_h[-1])
        assert abs(lags.share[-1]) < 0.05
