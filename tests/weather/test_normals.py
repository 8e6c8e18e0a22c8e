from __future__ import annotations

import numpy as np
from hypothesis import given
from hypothesis import strategies as st

from season_engine.weather.normals import middle_of


@given(st.lists(st.floats(-60, 60), min_size=1, max_size=60))
def test_the_middle_is_the_median(values: list[float]) -> None:
    """Against numpy."""
    assert middle_of(np.array(values)) == np.median(values)
