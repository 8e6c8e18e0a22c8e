from __future__ import annotations

import math

import pytest

from season_engine.pot import FRESH_SNOW, MIXES, WALLS, WINDS, Pot


def test_litres_are_those_of_the_cylinder() -> None:
    pot = Pot.of_litres(10)
    assert math.pi / 4 * pot.diameter_m**2 * pot.depth_m * 1000 == pytest.approx(10)
    assert pot.diameter_m == pot.depth_m


def test_wind_on_a_cylinder_by_hand() -> None:
    """Re = 1.5 * 0.2 / 1.55e-5 = 19355; 0.26 Re^0.6 Pr^0.37 = 85.5; times 0.026 / 0.2, and 5.5."""
    assert Pot(0.2, 0.2).exchange_w_m2_k == pytest.approx(16.6, abs=0.1)


def test_the_docstrings_range_of_exchange() -> None:
    assert [round(Pot.of_litres(one).exchange_w_m2_k) for one in (1, 10, 60)] == [20, 16, 14]
    still, windy = (Pot.of_litres(10, wind_m_s=WINDS[one]).exchange_w_m2_k for one in ("still", "windy"))
    assert still == pytest.approx(11, abs=0.5) and windy == pytest.approx(24, abs=0.5)


def test_resistances_add_up() -> None:
    pot = Pot.of_litres(10, side_cover_m2_k_w=FRESH_SNOW, wall=WALLS["wood"])
    assert 1 / pot.side_w_m2_k == pytest.approx(1 / pot.exchange_w_m2_k + 1.0 + 0.15)
    assert pot.top_w_m2_k == pytest.approx(pot.exchange_w_m2_k)
    assert Pot.of_litres(10, wall=WALLS["dark plastic"]._replace(resistance_m2_k_w=0)).side_share == 0.8
    assert pot.side_share < 0.4


def test_mixes_conduct_and_hold_more_the_wetter() -> None:
    assert sorted(MIXES.values()) == [MIXES["dry"], MIXES["moist"], MIXES["wet"]]
    # Diffusivities of soils and mixes are 1 to 3e-7 square metres a second (from memory).
    assert all(1e-7 < one.conductivity_w_m_k / one.capacity_j_m3_k < 3e-7 for one in MIXES.values())


@pytest.mark.parametrize(
    "numbers",
    [
        {"diameter_m": 0},
        {"depth_m": math.nan},
        {"sun_share": 1.1},
        {"sun_share": -0.1},
        {"wind_m_s": 0},
        {"top_cover_m2_k_w": -1},
        {"side_cover_m2_k_w": math.inf},
        {"wall": WALLS["wood"]._replace(absorptance=2)},
    ],
)
def test_what_no_pot_can_have(numbers) -> None:
    with pytest.raises(ValueError, match=r"at (most|least)"):
        Pot(**{"diameter_m": 0.2, "depth_m": 0.2, **numbers})
