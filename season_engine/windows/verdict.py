"""Where a window stands on a day: pure decisions on dates."""

from __future__ import annotations

import datetime as dt

from season_engine.windows.assessment import NOWHERE, Standing, Verdict
from season_engine.windows.opening import Opening

NOTICE = dt.timedelta(days=14)


def standing(opening: Opening, floor: float) -> Standing:
    """Dates by which the window is open, and is still open, with the odds the job wants."""
    if opening.chance_given < 0.5:
        return NOWHERE
    opens, closes = opening.opened_by(floor), opening.closed_by(1 - floor)
    if opens is not None and closes is not None and opens < closes:
        return Standing(opens, closes, unsure=False)
    return Standing(opening.opened_by(0.5), opening.closed_by(0.5), unsure=True)


def verdict_on(on: dt.date, now: Standing) -> Verdict:
    """The verdict of one season's window, as fixed in the outside contract."""
    if now.opens is None or now.closes is None:
        return "not-here"
    if on >= now.closes:
        return "closed"
    if on < now.opens - NOTICE:
        return "wait"
    if on < now.opens:
        return "soon"
    return "last-call" if on >= now.closes - NOTICE else "open"


def halfway(closed: dt.date, opens: dt.date) -> dt.date:
    """The day on which a closed window turns into one that is waited for."""
    return closed + (opens - closed) / 2


def season_shift(on: dt.date, before: Standing, now: Standing, after: Standing) -> int:
    """Which season's window is judged: last (-1), this (0) or next (1)."""
    if now.opens is None or now.closes is None:
        return 0
    if on < now.opens and before.closes is not None and on < halfway(before.closes, now.opens):
        return -1
    if on >= now.closes and after.opens is not None and on >= halfway(now.closes, after.opens):
        return 1
    return 0
