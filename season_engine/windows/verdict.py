"""Where a window stands on a day: pure decisions on dates."""

from __future__ import annotations

import datetime as dt
from collections.abc import Sequence

from season_engine.phenology.date_odds import ROUNDING
from season_engine.site import Season
from season_engine.windows.assessment import NOWHERE, Standing, Verdict
from season_engine.windows.opening import Opening

Ends = tuple[dt.date | None, dt.date | None]  # when it opens and closes

MIDDLE = 0.5
A_DAY, A_WEEK = dt.timedelta(days=1), dt.timedelta(days=7)
NOTICE = dt.timedelta(days=14)
TOO_EVEN = (
    0.4  # where a window's ends overlap, each likely date may be right and the day likelier shut than open
)


def standing(opening: Opening, floor: float) -> Standing:
    """Dates by which the window is open, and is still open, with the odds the job wants."""
    given = opening.chance_given
    if not mostly_given(given):
        return NOWHERE
    odds = odds_tried(floor)
    opens = opening.opens_odds.by(odds).tolist()
    closes = opening.closes_odds.by([1 - one for one in odds]).tolist()
    date_of = opening.traces.date_of
    return stands([(date_of(first), date_of(last)) for first, last in zip(opens, closes, strict=True)])


def odds_tried(floor: float) -> tuple[float, ...]:
    """The odds by which a window's dates may be told, those that the job wants first."""
    return (floor,) if floor == MIDDLE else (floor, (floor + MIDDLE) / 2, MIDDLE)


def mostly_given(chance: float) -> bool:
    """Whether at least half the chances have a window."""
    return chance >= 0.5 - ROUNDING


def stands(ends: Sequence[Ends]) -> Standing:
    """A window that is given, by its two dates with the odds the job wants, else lower: the middle last.

    Where those dates leave less than a week, no weekly report would ever find it open.
    """
    enough = min(A_WEEK, _open_for(ends[-1]))
    for opens, closes in ends:
        if _open_for((opens, closes)) >= max(enough, A_DAY):
            return Standing(opens, closes, unsure=(opens, closes) != ends[0])
    return Standing(*ends[-1], unsure=True)


def _open_for(ends: Ends) -> dt.timedelta:
    opens, closes = ends
    return dt.timedelta(0) if opens is None or closes is None else closes - opens


def too_even(chance_open: float, floor: float) -> bool:
    """Whether a day between a window's two dates is still no day to work on.

    A day after the one with the odds wanted, and before the other, is open with this chance at the least.
    """
    return chance_open < max(TOO_EVEN, 2 * floor - 1) - ROUNDING


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


def may_be_last(on: dt.date, now: Standing, season: Season) -> bool:
    """Whether last season's window may still be the one to judge, however late it closes in its traces."""
    return (
        now.opens is not None
        and on < now.opens
        and on < halfway(season.shifted(-1).last_trace_day, now.opens)
    )


def may_be_next(on: dt.date, now: Standing, season: Season) -> bool:
    """Whether the next season's window may be the one to judge, however early it opens in its traces."""
    return (
        now.closes is not None
        and on >= now.closes
        and on >= halfway(now.closes, season.shifted(1).first_trace_day)
    )


def season_shift(on: dt.date, before: Standing, now: Standing, after: Standing) -> int:
    """Which season's window is judged: last (-1), this (0) or next (1)."""
    if now.opens is None or now.closes is None:
        return 0
    if on < now.opens and before.closes is not None and on < halfway(before.closes, now.opens):
        return -1
    if on >= now.closes and after.opens is not None and on >= halfway(now.closes, after.opens):
        return 1
    return 0
