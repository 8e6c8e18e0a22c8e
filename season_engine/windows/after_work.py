"""What is still to be done after a tree's jobs, by the dates its species has at this site."""

from __future__ import annotations

import datetime as dt
from collections.abc import Sequence

from season_engine.trees.follow_ups import FollowUp, MarkerDates, follow_ups
from season_engine.trees.history import History
from season_engine.windows.assess import Prospect


def follow_ups_of(prospect: Prospect, history: History) -> tuple[FollowUp, ...]:
    """What is still to be done of a tree of the prospect's species."""
    return follow_ups(history, prospect.species, marker_dates(prospect), prospect.view.on)


def marker_dates(prospect: Prospect) -> MarkerDates:
    """When markers come, with even odds, in the season of a day; none in one before the readings begin."""
    site, on = prospect.view.site, prospect.view.on

    def dates(names: Sequence[str], day: dt.date) -> dt.date | None:
        name = next((one for one in names if one in prospect.species.markers), None)
        season = site.season_on(day)
        if name is None or season.start < prospect.view.weather.series.first_day:
            return None
        return prospect.marker_date(name, season.year - site.season_on(on).year)

    return dates
