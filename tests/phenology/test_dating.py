from __future__ import annotations

import datetime as dt

import numpy as np
import pytest

from season_engine.markers.scene import Scene
from season_engine.phenology.dating import DRAWS, MEDIUM_POT_L, date_markers
from season_engine.species.catalogue import Species, load_catalogue
from season_engine.traces import Traces
from tests.yards import KAGOSHIMA, NAGANO, SOUTH, view

ON = dt.date(2021, 2, 10)


@pytest.mark.parametrize("site", [NAGANO, KAGOSHIMA, SOUTH], ids=lambda site: site.name)
def test_no_marker_passes_the_one_it_is_counted_from(site) -> None:
    for species in load_catalogue().species.values():
        dating = date_markers(species, view(site, ON).season())
        for name, marker in species.markers.items():
            after = getattr(marker, "after", None)
            if after and not (marker.kind == "days_after" and marker.days < 0):
                assert after in marker.depends_on
                assert (dating.dates[name] >= dating.dates[after]).all(), (species.name, name)


def test_the_draws_are_centred_and_as_wide_as_a_normal_error() -> None:
    assert DRAWS.mean() == pytest.approx(0, abs=1e-12)
    assert DRAWS.std() == pytest.approx(1, abs=0.06)


def test_the_spread_of_a_marker_is_its_own(n_days: float = 9) -> None:
    """To whole days, which add a twelfth of a day to the variance (Sheppard's correction)."""
    species = load_catalogue().find("Acer palmatum")
    dates = date_markers(species, view(NAGANO, ON).season()).dates["buds_swelling"]
    variance = np.var(dates, axis=1)
    assert variance == pytest.approx((n_days * DRAWS.std()) ** 2 + 1 / 12, rel=0.015)


@pytest.mark.parametrize("on", [dt.date(2023, 2, 1), dt.date(2023, 8, 20)])
def test_a_share_of_the_usual_heat_is_the_same_sum_this_season_and_in_past_ones(on: dt.date) -> None:
    """A hot season doesn't raise what its heat is held against."""
    pine, seen = load_catalogue().find("Pinus sylvestris"), view(NAGANO, on)
    (name,) = (name for name, marker in pine.markers.items() if marker.kind == "heat_share")
    needs = [need_of(pine, name, traces) for traces in (seen.season(), seen.season(1), seen.past)]
    assert needs[0] == needs[1] == needs[2]


def need_of(species: Species, name: str, traces: Traces) -> float:
    scene = Scene(traces, date_markers(species, traces).plain, MEDIUM_POT_L)
    return species.markers[name].progress(scene).need.item()
