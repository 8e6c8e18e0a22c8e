"""Dates in which a spreadsheet took the day for the month: those up to the twelfth, and no others."""

from __future__ import annotations

import datetime as dt
from collections.abc import Mapping, Sequence
from typing import Literal

import numpy as np

from season_engine.weather.logger.dates import DAY_SECONDS, Ambiguous, DateOrder, order_of, parts_of
from season_engine.weather.logger.order import IntArray

_EPOCH = dt.date(1970, 1, 1)
_NEXT = 0.8  # share of dates that are the day after the one before, in a record put right
_FEWEST = 6  # dates, swapped and others, by which it can be told
_FEWEST_BACK = 2  # steps back in time
Verdict = Literal["as written", "swapped", "unclear"]


def days_by_form(texts: Sequence[str], way: DateOrder) -> dict[str, int]:
    """Seconds at each date's midnight, each by its own form: the year first, by name, or as `way` has it."""
    apart = [text for text in texts if (parts := parts_of(text)) and way.order not in parts.orders]
    try:
        other = order_of(apart, within_day=True) if apart else way
    except Ambiguous:
        return {}
    found = {}
    for text in texts:
        parts = parts_of(text)
        if parts is None or not parts.orders:
            continue
        order = way if way.order in parts.orders else other
        try:
            found[text] = order.of(parts, text)
        except ValueError:
            continue
    return found


def swapped(seconds: int) -> int | None:
    """The date with day and month changed about; None where that is no other date."""
    day = _EPOCH + dt.timedelta(seconds=seconds)
    if day.day > 12 or day.day == day.month:
        return None
    return (day.replace(month=day.day, day=day.month) - _EPOCH).days * DAY_SECONDS


def put_right(days: Mapping[str, int]) -> tuple[Verdict, dict[str, int]]:
    """Whether days, in the order of the file, follow one another as written or swapped; and they, put right.

    Nothing is changed where they go one way as they are, or where the swapped ones don't go one way either.
    """
    as_written = np.array(list(days.values())) // DAY_SECONDS
    if _one_way(as_written):
        return "as written", dict(days)
    other = {text: swapped(seconds) for text, seconds in days.items()}
    changed = sum(seconds is not None for seconds in other.values())
    if min(changed, len(days) - changed) < _FEWEST or _steps_back(as_written) < _FEWEST_BACK:
        return "unclear", dict(days)
    mended = {text: days[text] if one is None else one for text, one in other.items()}
    put = np.array(list(mended.values())) // DAY_SECONDS
    if _one_way(put) and _follow_on(put) >= _NEXT:
        return "swapped", mended
    return "unclear", dict(days)


def seems_swapped(days: Mapping[str, int]) -> bool:
    """Whether days would follow one another far better with day and month changed about in some."""
    other = [swapped(seconds) or seconds for seconds in days.values()]
    as_written, put = (np.array(one) // DAY_SECONDS for one in (list(days.values()), other))
    return _follow_on(put) >= _NEXT and _steps_back(as_written) > 2 * _steps_back(put)


def all_seem_swapped(days: Mapping[str, int]) -> bool:
    """Whether dates a month apart each follow one another with day and month changed about."""
    other = [swapped(seconds) for seconds in days.values()]
    if len(days) < _FEWEST or sum(seconds is None for seconds in other) > 1:
        return False
    put = [seconds if one is None else one for seconds, one in zip(days.values(), other, strict=True)]
    as_written = np.array(list(days.values())) // DAY_SECONDS
    return _follow_on(np.array(put) // DAY_SECONDS) >= _NEXT and _follow_on(as_written) == 0


def _one_way(days: IntArray) -> bool:
    steps = np.diff(days)
    return bool((steps > 0).all() or (steps < 0).all())


def _steps_back(days: IntArray) -> int:
    steps = np.diff(days)
    return int(min(np.count_nonzero(steps < 0), np.count_nonzero(steps > 0)))


def _follow_on(days: IntArray) -> float:
    return float(np.mean(np.abs(np.diff(days)) == 1)) if days.size > 1 else 0.0
