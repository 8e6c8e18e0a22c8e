"""How far out a date was on this day of the calendar in the last years."""

from __future__ import annotations

import datetime as dt
from dataclasses import dataclass

from season_engine.species.catalogue import Species
from season_engine.species.schema import Window
from season_engine.traces import SeasonView
from season_engine.tree import Size
from season_engine.windows.assess import Prospect
from season_engine.windows.assessment import End

YEARS = 3
FEWEST_YEARS = 5  # of weather before that day; from less nothing is said


@dataclass(frozen=True, slots=True)
class PastErrors:
    """One end of a window as it would have been foretold on this day in past years, by weather alone."""

    end: End
    years: tuple[int, ...]  # in which the season began, the last one first
    days: tuple[int, ...]  # by which it came later than foretold; less than 0: earlier


class Hindsight:
    """A site as it looked on this day of the calendar in earlier years, without notes or forecast."""

    def __init__(self, view: SeasonView) -> None:
        self._now = view
        self._then: dict[int, SeasonView | None] = {}

    def errors(
        self, species: Species, window: Window, size: Size, season: int, end: End
    ) -> PastErrors | None:
        """Errors of the middle date in the seasons before the one that began in year `season`.

        Only years in which it was still to come on that day, and had come by now. None where there are none.
        """
        shift = season - self._now.site.season_on(self._now.on).year
        now = Prospect(self._now, species, size)
        found: dict[int, int] = {}
        for back in range(1, YEARS + 1):
            view = self._view(back)
            if view is None:
                break
            said = Prospect(view, species, size).opening(window, shift).middle(end)
            came = now.opening(window, shift - back).middle(end)
            if said and came and view.on < came <= self._now.weather.data_through:
                found[season - back] = (came - max(said, view.on)).days
        return PastErrors(end, tuple(found), tuple(found.values())) if found else None

    def _view(self, back: int) -> SeasonView | None:
        if back not in self._then:
            on = years_before(self._now.on, back)
            known = (on - self._now.weather.series.first_day).days >= FEWEST_YEARS * 366
            self._then[back] = self._now.earlier(on) if known else None
        return self._then[back]


def years_before(on: dt.date, years: int) -> dt.date:
    """The same day of the calendar; 28 February for a 29th."""
    leap = (on.month, on.day) == (2, 29)
    return on.replace(year=on.year - years, day=28 if leap else on.day)
