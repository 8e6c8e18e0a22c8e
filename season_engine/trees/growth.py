"""When growth showed, or will show, that a tree has got over what was done to it."""

from __future__ import annotations

import datetime as dt
from dataclasses import dataclass

from season_engine.site import Site
from season_engine.species.spacing import Growth

# A flush that hardens within a month of the work grew before it: from memory.
FLUSH_AFTER = dt.timedelta(days=30)
# Where the catalogue doesn't say when shoots harden: so long after the longest day, from memory.
HARD_AFTER_LONGEST = dt.timedelta(days=47)


@dataclass(frozen=True, slots=True)
class GrowthDates:
    """Where a tree stands, and the days on which a flush of its growth was hard or is foreseen to be."""

    site: Site
    hard: tuple[dt.date, ...] = ()  # in order

    def sign_after(self, work: dt.date, sign: Growth) -> dt.date | None:
        """When a sign of growth came after a piece of work, or will come; None: no day is known yet."""
        if sign == "hard flush":
            return self._hard_from(work + FLUSH_AFTER)
        spring = self.site.next_shortest_day(work)
        if sign == "next spring":
            return spring
        if sign == "next spring's shoots hard":
            return self._hard_from(spring + dt.timedelta(days=1))
        return self.site.next_season(spring)

    def _hard_from(self, day: dt.date) -> dt.date | None:
        return next((one for one in self.hard if one >= day), None)
