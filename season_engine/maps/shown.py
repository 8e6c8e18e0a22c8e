"""What a map shows of each site as a number, why some have none, and where its lines of equal value run."""

from __future__ import annotations

import datetime as dt
from collections.abc import Mapping
from dataclasses import dataclass, field
from enum import IntEnum

import numpy as np
from numpy.typing import NDArray

from season_engine.errors import GrowerError
from season_engine.maps.batch_rows import BatchRows, Dates, State
from season_engine.maps.whats import What
from season_engine.site import Hemisphere, Season

FloatArray = NDArray[np.float64]

HEMISPHERES: tuple[Hemisphere, ...] = ("north", "south")
ODDS = (0.1, 0.3, 0.5, 0.7, 0.9)
DAY_STEPS = (1, 2, 3, 5, 7, 10, 14, *range(21, 7 * 1000, 7))
WEEK_STEPS = range(7, 7 * 1000, 7)
MOST_LINES = 7
AGREED = (5.0, 95.0)  # the lines divide what lies between these hundredths; a few extremes don't stretch them


class Blank(IntEnum):
    """Why a site shows no value."""

    SHOWN = 0
    NOT_HERE = 1
    OTHER_SEASON = 2  # its dates are those of a season that most sites aren't judged on
    NO_DATE = 3  # the window is there, but no such date is known
    REFUSED = 4


@dataclass(frozen=True, eq=False)
class Shown:
    """One quantity at all sites of a map.

    `values` [site]: odds from 0 to 1, or days, NaN where `blank` says why. Days of "opens" and "usual" count
    from the start of the season in `seasons`, so that north and south share one scale; those of "monday" from
    the first Monday from the map's day on; those of "early-late" from the usual date, later positive.
    """

    what: What
    values: FloatArray
    blank: NDArray[np.int8]
    south: NDArray[np.bool_]  # [site]
    first_monday: dt.date
    seasons: Mapping[Hemisphere, Season] = field(default_factory=dict)  # none where no season is told

    def date(self, days: float, hemisphere: Hemisphere) -> dt.date:
        """The date that a value, or a line between values, stands for."""
        start = self.seasons[hemisphere].start if hemisphere in self.seasons else self.first_monday
        return start + dt.timedelta(days=round(days))

    def lines(self) -> FloatArray:
        """The values, rising, at which lines of equal value run: few, and round ones."""
        known = self.values[~np.isnan(self.values)]
        if not known.size:
            return np.empty(0)
        if self.what == "chance":
            return np.array([odds for odds in ODDS if known.min() < odds <= known.max()])
        low, high = np.percentile(known, AGREED, method="inverted_cdf")
        steps = WEEK_STEPS if self.what == "monday" else DAY_STEPS
        step = next(one for one in steps if (high - low) / one <= MOST_LINES)
        first = max(np.floor(low / step), np.floor(known.min() / step) + 1)  # one more on each side
        last = min(np.floor(high / step) + 1, np.floor(known.max() / step))
        return np.arange(first, last + 1) * float(step)


def shown(rows: BatchRows, what: What) -> Shown:
    """What a map shows of a quantity; raises GrowerError where it isn't known of a single site."""
    blank = np.full(len(rows.sites), Blank.SHOWN, dtype=np.int8)
    blank[rows.state == State.NOT_HERE] = Blank.NOT_HERE
    blank[rows.state == State.REFUSED] = Blank.REFUSED
    first_monday = rows.on + dt.timedelta(days=-rows.on.weekday() % 7)
    seasons: dict[Hemisphere, Season] = {}
    match what:
        case "opens" | "usual":
            seasons = {half: season for half in HEMISPHERES if (season := rows.told_season(half))}
            blank[(blank == Blank.SHOWN) & ~_of_seasons(rows, seasons)] = Blank.OTHER_SEASON
            dates = rows.dates["opens_p50" if what == "opens" else "usual_opens"]
            values = _days_of_season(dates, rows, seasons)
        case "early-late":
            values = rows.days_after_usual
        case "monday":
            values = _days_from(rows.dates["earliest_safe_monday"], first_monday)
        case "chance":
            values = rows.numbers["chance_open"]
    blank[(blank == Blank.SHOWN) & np.isnan(values)] = Blank.NO_DATE
    values = np.where(blank == Blank.SHOWN, values, np.nan)
    if np.isnan(values).all():
        refused, not_here = (np.count_nonzero(blank == why) for why in (Blank.REFUSED, Blank.NOT_HERE))
        raise GrowerError(
            f"there is nothing to draw: of {blank.size} sites {refused} were refused, at {not_here} the "
            "window seldom comes, and the others have no such date.",
            hint="Try another --show, --job or --window.",
        )
    return Shown(what, values, blank, rows.south, first_monday, seasons)


def _of_seasons(rows: BatchRows, seasons: Mapping[Hemisphere, Season]) -> NDArray[np.bool_]:
    """Sites judged on the season that the map tells of their hemisphere."""
    labels = {half: seasons[half].label if half in seasons else "" for half in HEMISPHERES}
    told: NDArray[np.bool_] = rows.texts["season"] == np.where(rows.south, labels["south"], labels["north"])
    return told


def _days_of_season(dates: Dates, rows: BatchRows, seasons: Mapping[Hemisphere, Season]) -> FloatArray:
    values = np.full(len(rows.sites), np.nan)
    for half, season in seasons.items():
        here = rows.south == (half == "south")
        values[here] = _days_from(dates[here], season.start)
    return values


def _days_from(dates: Dates, start: dt.date) -> FloatArray:
    days = dates - np.datetime64(start, "D")
    return np.where(np.isnat(days), np.nan, days.astype(np.float64))
