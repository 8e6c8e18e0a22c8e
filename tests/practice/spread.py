"""What rules from practice claim to be out by, beside what they are out by in the table."""

from __future__ import annotations

from collections.abc import Iterable, Iterator
from dataclasses import dataclass

import numpy as np

from season_engine.windows.calendar_ends import of_calendar
from tests.practice.ends import End
from tests.practice.left_out import ends_by_number, past_of, species_in

EIGHT_IN_TEN_SDS = 1.2816  # within so many standard deviations lie eight in ten of a normal error
FEWEST_ENDS = 5  # fewer tell too little


@dataclass(frozen=True)
class Spread:
    """Of a marker's dates, over the climates where ends of the table hang on it."""

    file: str
    marker: str
    ends: int
    out_days: float  # the standard deviation with which eight in ten of its errors would lie as near
    claimed_days: float  # the standard deviation of its draws, what it is counted from included


def spreads(ends: Iterable[End]) -> Iterator[Spread]:
    """Of numbers of ours on which ends enough hang, but for days that the calendar gives."""
    for number, those in ends_by_number(ends).items():
        if number is None or len(those) < FEWEST_ENDS:
            continue
        file, marker = number
        if of_calendar(marker, species_in(those[0].row).markers):
            continue
        out = float(np.quantile([end.off_days for end in those], 0.8)) / EIGHT_IN_TEN_SDS
        yield Spread(
            file, marker, len(those), out, float(np.nanmean([_claimed(end, marker) for end in those]))
        )


def _claimed(end: End, marker: str) -> float:
    """In the climate of an end; not a number where the marker never comes there."""
    dates = past_of(species_in(end.row).name, end.row.climate).dates[marker]
    spread = np.ma.masked_invalid(dates).std(axis=1).compressed()
    return float(spread.mean()) if spread.size else np.nan
