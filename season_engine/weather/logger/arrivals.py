"""Of several columns of times, those in which readings were taken, and not merely received or stored."""

from __future__ import annotations

from collections.abc import Sequence

import numpy as np

from season_engine.weather.logger.dates import Ambiguous
from season_engine.weather.logger.kinds import Kinds
from season_engine.weather.logger.order import IntArray
from season_engine.weather.logger.stamp_rows import UNREAD, Clock
from season_engine.weather.logger.stamps import MixedOrders, read_stamps
from season_engine.weather.logger.vocabulary import says

_VARYING_SECONDS = 1800  # by which delays differ: clocks of two zones do so by hours, and seldom
_FEWEST_DELAYS = 4  # different ones


def taken_at(kinds: Kinds, stamps: Sequence[int]) -> list[int]:
    """The columns of times without those of arrival, by their names or as their delays differ.

    A reading is received after it was taken, and never before.
    """
    named = [at for at in stamps if not says(kinds.name(at), "arrival")]
    if named and len(named) < len(stamps):
        return named
    read = {at: seconds for at in stamps if (seconds := _seconds(kinds.texts(at))) is not None}
    late = {at for at, one in read.items() for other in read.values() if _comes_after(one, other)}
    return [at for at in stamps if at not in late]


def _seconds(texts: Sequence[str]) -> IntArray | None:
    try:
        return read_stamps({"stamp": list(texts)}, Clock(None, None, 0.0, False, "", None)).seconds
    except (Ambiguous, MixedOrders, ValueError):
        return None


def _comes_after(one: IntArray, other: IntArray) -> bool:
    if one.size != other.size:
        return False
    both = (one != UNREAD) & (other != UNREAD)
    delays = (one - other)[both]
    if not delays.size or delays.min() < 0:
        return False
    return bool(np.ptp(delays) >= _VARYING_SECONDS and np.unique(delays).size >= _FEWEST_DELAYS)
