from __future__ import annotations

import datetime as dt

import pytest
from hypothesis import given
from hypothesis import strategies as st

from season_engine.windows.assessment import Standing
from season_engine.windows.verdict import TOO_EVEN, halfway, season_shift, stands, too_even, verdict_on
from tests.factories import days

OPENS, CLOSES = dt.date(2026, 4, 1), dt.date(2026, 5, 10)
NOW = Standing(OPENS, CLOSES, unsure=False)
NONE = Standing(None, None, unsure=False)


def day(text: str) -> dt.date:
    return dt.date.fromisoformat(text)


@pytest.mark.parametrize(
    ("on", "verdict"),
    [
        # From the definitions: wait before O-14, soon to O, open to C-14, last-call to C, then closed.
        ("2026-03-17", "wait"),
        ("2026-03-18", "soon"),
        ("2026-03-31", "soon"),
        ("2026-04-01", "open"),
        ("2026-04-25", "open"),
        ("2026-04-26", "last-call"),
        ("2026-05-09", "last-call"),
        ("2026-05-10", "closed"),
    ],
)
def test_the_edges_of_every_verdict(on: str, verdict: str) -> None:
    assert verdict_on(day(on), NOW) == verdict


def test_a_window_under_a_fortnight_is_a_last_call_from_its_first_day() -> None:
    assert verdict_on(OPENS, Standing(OPENS, OPENS + dt.timedelta(days=10), unsure=False)) == "last-call"


def test_a_season_without_the_window_is_not_here() -> None:
    assert verdict_on(OPENS, NONE) == "not-here"
    assert season_shift(OPENS, NOW, NONE, NOW) == 0


@given(st.lists(st.integers(0, 364), min_size=2, max_size=2, unique=True))
def test_through_a_year_verdicts_come_in_order_without_going_back(ends: list[int]) -> None:
    opens, closes = (dt.date(2026, 1, 1) + dt.timedelta(days=n) for n in sorted(ends))
    order = ["wait", "soon", "open", "last-call", "closed"]
    now = Standing(opens, closes, unsure=False)
    seen = [order.index(verdict_on(dt.date(2025, 12, 1) + dt.timedelta(days=n), now)) for n in range(430)]
    assert seen == sorted(seen)


def test_a_closed_window_is_waited_for_from_halfway_to_the_next() -> None:
    after = Standing(dt.date(2027, 4, 2), dt.date(2027, 5, 11), unsure=False)
    middle = halfway(CLOSES, after.opens)
    assert season_shift(middle - dt.timedelta(days=1), NONE, NOW, after) == 0
    assert season_shift(middle, NONE, NOW, after) == 1
    before = Standing(dt.date(2025, 4, 2), dt.date(2025, 5, 11), unsure=False)
    turned = halfway(before.closes, OPENS)
    assert season_shift(turned - dt.timedelta(days=1), before, NOW, after) == -1
    assert season_shift(turned, before, NOW, after) == 0


def spans(*lengths: int | None) -> list[tuple[dt.date, dt.date | None]]:
    """Windows around one day, so many days long."""
    middle = dt.date(2026, 6, 10)
    opens = [middle - days((n or 0) // 2) for n in lengths]
    return [(day, None if n is None else day + days(n)) for day, n in zip(opens, lengths, strict=True)]


@pytest.mark.parametrize(
    ("lengths", "taken", "unsure"),
    [
        ((20, 25, 30), 20, False),
        ((7, 12, 20), 7, False),
        ((3, 9, 20), 9, True),  # no weekly report would find it open for three days
        ((-4, 5, 8), 8, True),
        ((5, 5, 5), 5, False),  # short in itself
        ((-4, -2, 5), 5, True),
        ((None, 9, 20), 9, True),
        ((-9, -5, -1), -1, True),
    ],
)
def test_dates_are_told_with_the_odds_wanted_as_far_as_they_leave_a_week(
    lengths: tuple[int | None, ...], taken: int, unsure: bool
) -> None:
    now = stands(spans(*lengths))
    assert now.opens is not None and now.closes is not None
    assert ((now.closes - now.opens).days, now.unsure) == (taken, unsure)


def test_a_day_likelier_shut_than_open_is_none_to_work_on() -> None:
    assert not too_even(TOO_EVEN, 0.5)
    assert too_even(TOO_EVEN - 0.01, 0.5)
    # between a date that has come with 0.8 and one that hasn't with 0.8, by the sum of both complements
    assert not too_even(0.6, 0.8)
    assert too_even(0.59, 0.8)
