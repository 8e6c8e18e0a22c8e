"""A note that something has not come yet: no chance stays in the past, and the forecast gets no worse."""

from __future__ import annotations

import datetime as dt

import numpy as np
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from season_engine.species.catalogue import load_catalogue
from season_engine.windows.assess import Prospect
from tests.windows.not_yet import SPECIES, days_and_weights, looked_on_the_usual_date, not_yet, staged_window
from tests.yards import NAGANO, view

DAY = dt.date(2024, 5, 31)  # late: some notes rule out every chance


@settings(max_examples=12)
@given(
    st.sampled_from(SPECIES),
    st.lists(st.tuples(st.integers(0, 110), st.integers(0, 9)), min_size=1, max_size=3),
)
def test_no_chance_stays_before_the_day_of_a_note(
    asked: tuple[str, str], looks: list[tuple[int, int]]
) -> None:
    """Whatever stages were looked for in vain, and when: nothing that waits for them has come by then."""
    kind = load_catalogue().find(asked[0])
    staged = [name for name, marker in kind.markers.items() if marker.bbch not in (None, 0)]
    looked = [(staged[which % len(staged)], DAY - dt.timedelta(days=ago)) for ago, which in looks]
    notes = [not_yet(kind, marker, on) for marker, on in looked]
    seen = Prospect(view(NAGANO, DAY), kind, "medium", notes)
    weights = seen.dating(0).weights
    assert weights.sum() == pytest.approx(1.0)
    for marker, on in looked:
        column = seen.dating(0).traces.column(on)
        assert weights[seen.dating(0).dates[marker] <= column].sum() == 0.0
        for window in kind.windows:
            if marker in window.opens:
                opening = seen.opening(window, 0)
                assert opening.weights[opening.opens <= column].sum() == 0.0
                assert opening.chance_open(on) == 0.0


@pytest.mark.parametrize(("species", "job"), SPECIES)
def test_looking_on_the_usual_date_makes_the_forecast_no_worse(species: str, job: str) -> None:
    """Over the seasons in which nothing had come; truths are drawn from the rule's error in each."""
    found = looked_on_the_usual_date(species, job, range(1996, 2025, 4))
    errors = []
    for one in found:
        assert one.chance_in_the_past == 0.0
        errors.append(one.errors)
    known, blind, clipped = np.mean(errors, axis=0)
    assert len(errors) > 50
    assert known <= blind
    assert known <= clipped


def test_the_window_moves() -> None:
    kind, window, marker = staged_window("Acer palmatum", "repotting")
    on = dt.date(2024, 4, 1)
    blind, known = (
        Prospect(view(NAGANO, on), kind, "medium", notes) for notes in ((), (not_yet(kind, marker, on),))
    )
    before, after = (one.opening(window, 0).opens_quantiles for one in (blind, known))
    assert before.p10 < on < after.p10
    assert before.p50 < after.p50
    days, weights = days_and_weights(known.opening(window, 0))
    assert weights[days <= NAGANO.season_on(on).day_of(on)].sum() == 0.0
