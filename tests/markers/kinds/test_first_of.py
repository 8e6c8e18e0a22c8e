"""The first of several markers, trace by trace and draw by draw."""

from __future__ import annotations

import numpy as np
import pytest
from pydantic import ValidationError

from season_engine.markers.kinds.first_of import FirstOf
from season_engine.markers.progress import NEVER
from tests.markers.kinds.made_days import scene


def first_of(*markers: str, sd_days: float = 0) -> FirstOf:
    head = {"kind": "first_of", "label": "one of them", "from": "memory", "sd_days": sd_days}
    return FirstOf.model_validate({**head, "markers": markers})


@pytest.mark.parametrize(
    ("cold", "late", "first"), [(3.0, 7.0, 3), (9.0, 7.0, 7), (NEVER, 7.0, 7), (NEVER, NEVER, NEVER)]
)
def test_whichever_comes_first_and_never_where_none_does(cold: float, late: float, first: float) -> None:
    marker = first_of("cold", "late")
    assert marker.reached(scene([5.0] * 20, {"cold": cold, "late": late})).dates.item() == first
    assert marker.depends_on == ("cold", "late")
    assert marker.never_before is None


def test_its_draws_are_the_first_of_the_others_draws() -> None:
    draws = {"cold": np.array([[1.0, 5.0, 9.0]]), "late": np.array([[4.0, 4.0, NEVER]])}
    spread = first_of("cold", "late", sd_days=2).spread(np.array([4.0]), draws, np.array([-2.0, 0.0, 2.0]))
    assert spread.tolist() == [[-1.0, 4.0, 11.0]]


def test_one_alone_is_no_choice() -> None:
    with pytest.raises(ValidationError):
        first_of("cold")
