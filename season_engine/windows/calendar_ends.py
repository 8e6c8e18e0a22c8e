"""Which ends of a window the calendar sets: a marker decides there that is the same day every year."""

from __future__ import annotations

from collections.abc import Iterable, Mapping

import numpy as np
from numpy.typing import NDArray

from season_engine.markers.base import Marker
from season_engine.phenology.dating import SeasonDating

BoolArray = NDArray[np.bool_]
FloatArray = NDArray[np.float64]

NEARLY_ALL = 0.95  # of the chances; then the dates by 10 and by 90 in 100 are one


def set_by_calendar(
    names: Iterable[str], markers: Mapping[str, Marker], dating: SeasonDating, ends: FloatArray
) -> bool:
    """Whether of the markers that may decide one end, shape (traces, draws), it is the calendar's that do.

    So it is in nearly all chances, and on one day.
    """
    decides = np.zeros(ends.shape, dtype=bool)
    for name in names:
        dates = dating.plain[name]
        decides |= _by_calendar(name, markers, dating.plain)[:, None] & (ends == dates[:, None])
    on = ends[decides]
    return bool(on.size and np.ptp(on) == 0 and dating.weights[decides].sum() >= NEARLY_ALL)


def of_calendar(name: str, markers: Mapping[str, Marker]) -> bool:
    """Whether no weather has a part in a marker's date, nor in the dates it is counted from."""
    marker = markers[name]
    return marker.decided_by != "weather" and all(of_calendar(one, markers) for one in marker.depends_on)


def _by_calendar(name: str, markers: Mapping[str, Marker], dates: Mapping[str, FloatArray]) -> BoolArray:
    """Traces in which the calendar decides a marker's date, shape (traces,).

    Where what it waits for is there on the day it is counted from, it is that day which decides.
    """
    marker, date = markers[name], dates[name]
    if marker.decided_by is None:
        return _by_calendar(marker.depends_on[0], markers, dates)
    by_itself = np.isfinite(date) & (marker.decided_by == "calendar")
    if marker.never_before is None:
        return by_itself
    counted_from = _by_calendar(marker.never_before, markers, dates)
    return np.where(date == dates[marker.never_before], counted_from, by_itself)
