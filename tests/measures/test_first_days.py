"""First days by whole arrays and trace by trace: the same to the bit."""

from __future__ import annotations

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st
from hypothesis.extra.numpy import arrays

from season_engine.measures.first_day_kernel import COMPILED
from season_engine.measures.first_days import IN_ARRAYS, NEVER
from season_engine.traces.days_on_ask import AT_ONCE, DaysOnAsk

CASES, TRACES, DAYS = 2, 3, 130
SHAPE = CASES, TRACES, DAYS
TENTHS = st.integers(-40, 90).map(lambda tenths: tenths / 10)  # as thermometers have them: sums meet needs
DAILY = arrays(np.float64, SHAPE, elements=TENTHS)
STARTS = arrays(
    np.float64, SHAPE[:2], elements=st.sampled_from([-np.inf, 0.0, 4.5, 60.0, 129.0, NEVER, np.nan])
)
NEEDS = arrays(np.float64, (), elements=st.integers(-20, 900).map(lambda tenths: tenths / 10))


def on_ask(daily: np.ndarray) -> DaysOnAsk:
    """The same days, worked out when they are asked for."""

    def fill(case: int, first: int, last: int, values: np.ndarray) -> None:
        assert np.isnan(values[:, first:last]).all()  # none of them twice
        values[:, first:last] = daily[case, :, first:last]

    return DaysOnAsk(daily.shape, fill)


@given(DAILY, NEEDS, STARTS, STARTS, st.booleans())
def test_the_days_are_the_same_by_arrays_by_loops_and_on_ask(daily, need, start, until, falling) -> None:
    values = IN_ARRAYS.of_values(daily, need, start, falling)
    sums = IN_ARRAYS.of_sum(daily, need=need, since=start)
    for days in (daily, on_ask(daily)):
        np.testing.assert_array_equal(COMPILED.of_values(days, need, start, falling), values)
    for days in (daily, on_ask(daily)):
        np.testing.assert_array_equal(COMPILED.of_sum(days, start, need), sums)
    rests = IN_ARRAYS.of_rest(daily, until, need, start)
    np.testing.assert_array_equal(COMPILED.of_rest(daily, until, need, start), rests)


@given(DAILY, arrays(np.float64, SHAPE, elements=TENTHS), STARTS)
def test_a_need_may_be_another_each_day(daily, need, start) -> None:
    np.testing.assert_array_equal(
        COMPILED.of_sum(on_ask(daily), start, need), IN_ARRAYS.of_sum(daily, start, need)
    )


def test_no_more_days_are_worked_out_than_somebody_asks_for() -> None:
    days = on_ask(np.ones(SHAPE))
    found = days.first_day_of_sum(np.full(SHAPE[:2], 10.0), np.full(SHAPE, 5.0))
    assert (found == 14.0).all()
    known = ~np.isnan(days._values).any(axis=1)
    assert known[:, 10 : 10 + AT_ONCE].all() and known.sum() == CASES * AT_ONCE
    assert (np.asarray(days) == 1.0).all()


@pytest.mark.parametrize("found", [COMPILED, IN_ARRAYS], ids=["by loops", "by arrays"])
def test_days_by_hand(found) -> None:
    daily = np.array([[[1.0, 2.0, 3.0, 4.0]]])
    first = np.zeros((1, 1))
    assert found.of_sum(daily, first, np.array(6.0)).item() == 2
    assert found.of_sum(daily, first + 1.5, np.array(6.0)).item() == 3
    assert found.of_sum(daily, first, np.array(10.5)).item() == NEVER
    assert found.of_rest(daily, first + 3, np.array(3.5), first).item() == 2  # 6, 5, 3 are left, then none
    assert found.of_values(daily, np.array(2.5), first, True).item() == 0
    assert found.of_values(daily, np.array(2.5), first + 1, False).item() == 2
